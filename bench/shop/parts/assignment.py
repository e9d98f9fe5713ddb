"""Who is on what: taking a part, handing it over, giving it back, sharing the faces of a coat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from bench.process.parts.part import Mark, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import marks_json
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.parts.equipment import pass_on_for
from bench.shop.people.painters import not_trained, note_training


def take_part(shop: Shop, target: Target, by: str) -> Outcome | Refusal:
    """Take a part that nobody is on, before anything of it is begun."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        on_it = job.part.on_it()
        if painter in on_it:
            return Refusal(f"{painter} is on it already")
        if on_it:
            who = " and ".join(on_it)
            return Refusal(f"{job.called()}: {who} is on it", "", "help, or it is handed over")
        record = job.part.current()
        if record is None:
            return Refusal("everything on its route is done", "", "take it off the stand")
        job.row.taken_by = [painter]
        return job.done(f": {painter} takes it, {record.step.name}")

    return act_on_part(shop, "take part", target, by, work)


def hand_to(shop: Shop, target: Target, by: str, to: str) -> Outcome | Refusal:
    """Hand a part to the other painter, in hand or not, with the equipment its step took.

    Pressed by somebody who is not on it, it is the one who is that hands it over.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        other = job.act.painter(to)
        if isinstance(other, Refusal):
            return other
        leaves = _who_leaves(job, painter, other)
        if isinstance(leaves, Refusal):
            return leaves
        if leaves == other:
            return Refusal(f"{other} is on it already", "", "name the other painter")
        record = job.part.current()
        in_hand = record is not None and record.status == "in hand"
        if record is not None and in_hand and (no := not_trained(job, record, [other])):
            return no
        stay = [name for name in job.part.on_it() if name not in (leaves, other)]
        job.row.taken_by = [other, *stay]
        if record is not None and in_hand:
            note_training(job, record, [other])
            row = job.step_row(record)
            row.painters = list(dict.fromkeys([*row.painters, other]))
            pass_on_for(job.act, job.row, leaves, other)
        step = f", {record.step.name}" if record else ""
        return job.done(f": {leaves} hands it to {other}{step}")

    return act_on_part(shop, "hand to", target, by, work)


def give_part_back(shop: Shop, target: Target, by: str) -> Outcome | Refusal:
    """Take a painter off a part. Somebody stays on what is in hand."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        leaves = _who_leaves(job, painter)
        if isinstance(leaves, Refusal):
            return leaves
        record = job.part.current()
        stay = [name for name in job.part.on_it() if name != leaves]
        if record is not None and record.status == "in hand":
            if not stay:
                return Refusal(
                    f"{job.called()}: {record.step.name} is in progress",
                    f"nobody but {leaves} is on it",
                    "finish it, or hand it over",
                )
            pass_on_for(job.act, job.row, leaves, stay[0])
        job.row.taken_by = stay
        words = f"{leaves} returns it"
        if leaves != painter:
            words = f"given back by {painter}, for {leaves}"
        return job.done(f": {words}")

    return act_on_part(shop, "give part back", target, by, work)


def _who_leaves(job: PartAction, painter: str, to: str = "") -> str | Refusal:
    """Who hands over: whoever presses, if on it; else the only one who is."""
    on_it = job.part.on_it()
    if not on_it:
        return Refusal(f"{job.called()}: nobody is on it", "", "take it, or begin it")
    if painter in on_it and painter != to:
        return painter
    others = [name for name in on_it if name != to] or list(on_it)
    if len(others) == 1:
        return others[0]
    return Refusal(f"{job.called()}: {' and '.join(on_it)} are on it", "", "one of them says so")


def share_faces(
    shop: Shop, target: Target, by: str, faces: Mapping[str, Sequence[str]]
) -> Outcome | Refusal:
    """Say who sprays which of the open faces: painter's name to faces.

    Ticked by anybody, such a face bears the name of whom it was given to: whoever is signed in
    ticks for the one who has the gun.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        record = job.part.current()
        if record is None or record.step.kind != "coat" or not record.open_marks():
            name = record.step.name if record else "everything on its route is done"
            return Refusal(f"{job.called()}: no faces to share", name, "share those of a coat")
        shared = _share_marks(job, record, faces)
        if isinstance(shared, Refusal):
            return shared
        marks, names = shared
        if no := not_trained(job, record, names):
            return no
        row = job.step_row(record)
        row.marks = marks_json(marks)
        on_it = job.part.on_it() or (painter,)
        job.row.taken_by = list(dict.fromkeys([*on_it, *names]))
        if record.status == "in hand":
            row.painters = list(dict.fromkeys([*row.painters, *names]))
        words = ", ".join(f"{name} {' '.join(names[name])}" for name in names)
        return job.done(f": {record.step.name}: {words}")

    return act_on_part(shop, "share faces", target, by, work)


def _share_marks(
    job: PartAction, record: StepRecord, faces: Mapping[str, Sequence[str]]
) -> tuple[tuple[Mark, ...], dict[str, list[str]]] | Refusal:
    marks = {mark.name.casefold(): mark for mark in record.marks}
    names: dict[str, list[str]] = {}
    for who, letters in faces.items():
        name = job.act.painter(who)
        if isinstance(name, Refusal):
            return name
        for face in letters:
            mark = marks.get(face.strip().casefold())
            if mark is None:
                there = " ".join(mark.name for mark in record.marks)
                return Refusal(f"no face '{face[:40]}' in {record.step.name}", "", there)
            if mark.done_at is not None:
                by = f"by {mark.by}" if mark.by else ""
                return Refusal(f"face {mark.name} is sprayed already", by, "share the open ones")
            marks[face.strip().casefold()] = replace(mark, by=name)
            names.setdefault(name, []).append(mark.name)
    if not names:
        return Refusal("no face is named", "", "say who sprays which")
    return tuple(marks.values()), names

"""Sharing the faces of one coat between two painters."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.part import Mark, StepRecord


def dealt(record: StepRecord, painters: Sequence[str]) -> dict[str, str]:
    """Who sprays which open face: those given already stay, the others go round in their order.

    One behind the other down the two rails, so that nobody sprays at the other.
    """
    left = [mark for mark in record.open_marks() if mark.by not in painters]
    fresh = {mark.name: painters[place % len(painters)] for place, mark in enumerate(left)}
    return {mark.name: fresh.get(mark.name, mark.by) for mark in record.open_marks()}


def initials(marks: Sequence[Mark]) -> dict[str, str]:
    """A letter or two for everybody who has a face, enough to tell them apart."""
    names = list(dict.fromkeys(mark.by for mark in marks if mark.by))
    firsts = [name[:1] for name in names]
    long = len(set(firsts)) < len(firsts)
    return {name: name[: 2 if long else 1] for name in names}

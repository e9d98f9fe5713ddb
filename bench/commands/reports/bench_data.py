"""The bench as data: what ``paintbench status --json`` gives.

Times are ISO 8601 in UTC; where something opens or closes it is the hour that the bench shows.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime
from typing import Any

from bench.process.clocks.conditions import Conditions, usual_verdict
from bench.process.clocks.edges import Edge
from bench.process.clocks.pots import Gun, Pot, gun_left_s, pot_word
from bench.process.clocks.stand_state import StandState
from bench.process.parts.notes import Note
from bench.process.parts.part import Part, StepRecord
from bench.process.safety.masks import room_in_full
from bench.process.stock.equipment import AirUse, Equipment
from bench.shop.core.bench_view import BenchView, PlacedPart

BenchData = dict[str, Any]


def bench_data(view: BenchView, now: datetime) -> BenchData:
    """Return the whole bench at ``now``."""
    conditions = view.conditions(now)
    return {
        "now": iso(now),
        "clock": "wrong" if view.doubtful else "ok",
        "stands": [
            stand_data(number, placed, view.state(number, now), now)
            for number, placed in view.stands
        ],
        "off_stand": [
            {
                **stand_data(None, placed, placed.state(now), now),
                "last_stand": placed.part.last_stand,
            }
            for placed in view.off_stand
        ],
        "wants": [
            {"word": want.word.lower(), "stand": want.stand, "tag": want.tag, "text": want.text}
            for want in view.wants(now)
        ],
        "room": room_data(view, now),
        "pots": [pot_data(pot, now) for pot in view.pots],
        "guns": [gun_data(gun, now) for gun in view.guns],
        "equipment": [equipment_data(item) for item in view.equipment],
        "air": air_data(view.air()),
        "notes": [note_data(note) for note in view.notes],
        "painters": [{"name": name, "left_at": iso(view.left.get(name))} for name in view.painters],
        "conditions": conditions_data(conditions, now) if conditions else None,
    }


OF_A_PART = (
    *("tag", "part", "count", "step", "step_number", "steps", "seconds_left"),
    *("opens_at", "closes_at", "painter", "on_it", "faces", "notes", "job", "owner", "substrate"),
    *("zone", "note", "test", "rework", "hold", "basis", "reading_age_s", "tests", "faces_open"),
    "coat",
)
"""What a stand says only of a part; null where it is empty."""


def stand_data(
    number: int | None, placed: PlacedPart | None, state: StandState, now: datetime
) -> BenchData:
    """Return a stand, or a part on no stand. Without a part everything but the word is null."""
    word = state.word.lower()
    if placed is None:
        return {"stand": number, "state": word, **dict.fromkeys(OF_A_PART)}
    part = placed.part
    record = part.current()
    place, steps = part.progress()
    return {
        "stand": number,
        "tag": part.tag,
        "part": part.name,
        "count": part.count,
        "step": step_name(part),
        "step_number": place,
        "steps": steps,
        "state": word,
        "seconds_left": seconds_left(state, now),
        "opens_at": shown_at(state.opens),
        "closes_at": shown_at(state.closes),
        "painter": ", ".join(in_hand_by(record)) or None,
        "on_it": list(part.on_it()),
        "faces": faces_data(record),
        "notes": [note_data(note) for note in placed.notes],
        "job": part.job or None,
        "owner": part.owner or None,
        "substrate": part.substrate,
        "zone": state.zone or None,
        "note": state.note or None,
        "test": state.test or None,
        "rework": part.rework or None,
        "hold": part.hold or None,
        "basis": state.basis,
        "reading_age_s": reading_age_s(placed, state, now),
        "tests": tests_data(placed),
        "faces_open": faces_open(record),
        "coat": coat_data(placed),
    }


def coat_data(placed: PlacedPart) -> BenchData | None:
    """Say how thick the last coat came out, and how much longer it waits; None for no coat."""
    record = placed.part.clock_step()
    if record is None or record.step.kind != "coat":
        return None
    return {
        "step": record.step.name,
        "weight": record.weight,
        "wet_um": record.wet_um,
        "dry_um": record.dry_um,
        "times_as_long": max((span.times for span in placed.clocks.spans), default=1.0),
    }


def reading_age_s(placed: PlacedPart, state: StandState, now: datetime) -> int | None:
    """Return the age of the last reading that its times rest on, None where they rest on none."""
    read_at = placed.clocks.read_at
    if read_at is None or not (state.aged or (state.closes is not None and state.closes.aged)):
        return None
    return math.floor((now - read_at).total_seconds())


def tests_data(placed: PlacedPart) -> list[BenchData]:
    """Return what painters said of the test that must be passed next."""
    return [
        {
            "at": iso(opinion.at),
            "painter": opinion.painter,
            "passed": opinion.passed,
            "wait_s": None if opinion.passed else opinion.wait_s,
        }
        for opinion in placed.tests
    ]


def step_name(part: Part) -> str | None:
    """Name the step in hand or next; the last one when everything is done."""
    record = part.current() or (part.steps[-1] if part.steps else None)
    return record.step.name if record else None


def in_hand_by(record: StepRecord | None) -> tuple[str, ...]:
    """Name who is on it now."""
    return record.painters if record and record.status == "in hand" else ()


def faces_open(record: StepRecord | None) -> list[str] | None:
    """Name the faces or zones that are still to do, None where nothing is ticked."""
    if record is None or not record.marks:
        return None
    return [mark.name for mark in record.open_marks()]


def seconds_left(state: StandState, now: datetime) -> int | None:
    """Count the seconds to the target, below zero for an overrun; None where nothing runs out."""
    left = state.seconds_left(now)
    return None if left is None or state.word == "WORKING" else math.ceil(left)


def room_data(view: BenchView, now: datetime) -> BenchData:
    """Say whether masks are on and why; until is null while the work goes on.

    masks_on is never false: null says that nothing is known, not that one may come off.
    """
    room = view.room(now)
    return {
        "state": "masks on" if room.on else "not known",
        "masks_on": True if room.on else None,
        "reason": room.reason or None,
        "until": iso(room.until) if room.on else None,
        "words": room_in_full(room, view.local(now)),
        "clearance_measured": room.measured is not None,
        "measured_on": room.measured.on.isoformat() if room.measured else None,
        "measured_by": room.measured.by if room.measured else None,
    }


def pot_data(pot: Pot, now: datetime) -> BenchData:
    """Return an open pot."""
    ends = pot.use_from if now < pot.use_from else pot.bin_by
    return {
        "pot": pot.letter,
        "product": pot.product,
        "name": pot.name,
        "state": pot_word(pot, now).lower(),
        "seconds_left": math.ceil((ends - now).total_seconds()) if ends else None,
        "total_ml": None if pot.total_ml is None else round(pot.total_ml, 1),
        "mixed_at": iso(pot.mixed_at),
        "use_from": iso(pot.use_from),
        "bin_by": iso(pot.bin_by),
        "basis": pot.basis,
        "against": list(pot.against),
        "off_ratio": pot.off or None,
    }


def gun_data(gun: Gun, now: datetime) -> BenchData:
    """Return a loaded gun, by the pot it was loaded from."""
    left = gun_left_s(gun, now)
    return {
        "pot": gun.letter,
        "name": gun.name,
        "flush_by": iso(gun.flush_by),
        "seconds_left": None if left is None else math.ceil(left),
    }


def faces_data(record: StepRecord | None) -> list[BenchData] | None:
    """Say of each face or zone whose it is, and when it was done; None where nothing is ticked."""
    if record is None or not record.marks:
        return None
    return [
        {"face": mark.name, "by": mark.by or None, "done_at": iso(mark.done_at)}
        for mark in record.marks
    ]


def note_data(note: Note) -> BenchData:
    """Return a note; tag is null for the bench."""
    return {
        "number": note.number,
        "tag": note.tag or None,
        "painter": note.painter,
        "at": iso(note.at),
        "text": note.text,
    }


def equipment_data(item: Equipment) -> BenchData:
    """Say who holds an item and who waits for it. placeholder: nobody typed its figures yet."""
    return {
        "equipment": item.key,
        "name": item.name,
        "kind": item.kind,
        "holder": item.holder or None,
        "held_at": iso(item.held_at),
        "held_for": item.held_for or None,
        "queue": list(item.queue),
        "needs_l_min": item.needs_l_min,
        "gives_l_min": item.gives_l_min,
        "placeholder": item.placeholder,
    }


def air_data(air: AirUse) -> BenchData:
    """Return the compressor's air in use. gives_l_min is null where nobody knows what it gives."""
    return {
        "needs_l_min": air.needs_l_min,
        "gives_l_min": air.gives_l_min,
        "short": air.short,
        "mask_starves": air.starves,
        "drawn_by": [item.key for item in air.drawn],
        "gives_typed": air.gives_typed,
    }


def conditions_data(conditions: Conditions, now: datetime) -> BenchData:
    """Return the newest reading; its margin by the air where the surface may be colder."""
    reading = conditions.newest
    dew_c, margin_c = dew(conditions)
    return {
        "at": iso(reading.at),
        "age_seconds": math.ceil((now - reading.at).total_seconds()),
        "air_c": reading.air_c,
        "rh_pct": reading.rh_pct,
        "metal_c": reading.metal_c,
        "dew_point_c": dew_c,
        "dew_margin_c": margin_c,
        "margin_from": "air" if conditions.by_air else "metal",
    }


def dew(conditions: Conditions) -> tuple[float | None, float | None]:
    """Return dew point and margin in C, each None without a humidity to calculate them from."""
    air = usual_verdict(conditions)
    return (round(air.dew_point_c, 1), round(air.margin_c, 1)) if air else (None, None)


def shown_at(edge: Edge | None) -> str | None:
    """Return the time of an opening or closing as the bench shows it."""
    return iso(edge.shown) if edge is not None else None


def iso(at: datetime | None) -> str | None:
    """Write an instant as ISO 8601 in UTC with its offset, to the second."""
    return None if at is None else at.astimezone(UTC).isoformat(timespec="seconds")

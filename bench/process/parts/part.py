"""A part or lot on its route, as plain values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from bench.process.parts.zinc_answers import Galvanised
from bench.process.sheets.route import Step, StepKind
from bench.process.sheets.system_film import is_mist
from bench.process.wording.time_text import format_duration

StepStatus = Literal["todo", "in hand", "done", "skipped", "struck"]

Weight = Literal["thin", "as meant", "heavy"]
"""How thick a coat came out, as a painter saw it."""

ALREADY_DONE = "already done"
"""The one reason for leaving a step out that says what it would have done is there."""

REPAIR = "repair"
"""The step that rework begins with."""

REPAIRS = (REPAIR, "put right")
"""Its name, and the one that data of earlier versions have."""


@dataclass(frozen=True)
class Mark:
    """A face of a coat (done when sprayed) or a zone of a wash (begun, then rinsed).

    pot: the number of the pot a face was sprayed from, None where it was from none.
    """

    name: str
    begun_at: datetime | None = None
    done_at: datetime | None = None
    by: str = ""
    pot: int | None = None


@dataclass(frozen=True)
class StepRecord:
    """One step as it went on this part. first_at and last_at are its two edges.

    weight: how thick a coat came out; wet_um, dry_um: its film where it was measured.
    """

    number: int
    step: Step
    status: StepStatus = "todo"
    first_at: datetime | None = None
    last_at: datetime | None = None
    painters: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    passed_at: datetime | None = None
    passed_by: str = ""
    not_before: datetime | None = None
    reason: str = ""
    flags: tuple[str, ...] = ()
    weight: Weight = "as meant"
    wet_um: float | None = None
    dry_um: float | None = None

    def times(self) -> list[datetime]:
        """Return every instant at which something was done on it, in no order."""
        marks = [at for mark in self.marks for at in (mark.begun_at, mark.done_at)]
        return [at for at in (self.first_at, self.last_at, self.passed_at, *marks) if at]

    def open_marks(self) -> tuple[Mark, ...]:
        """Return the faces not sprayed yet, or zones not rinsed yet."""
        return tuple(mark for mark in self.marks if mark.done_at is None)


@dataclass(frozen=True)
class Part:
    """A part, or a lot of ``count`` alike ones: tag is what it is, stand is only where it is.

    bungs: how many went in and came out; contacts: where it hung or stood, and those touched up.
    taken_by: who is on it now; on a step in hand at least those who are working on it.
    zinc: what was answered about it, None where nobody was asked. area_m2: of all faces of one
    piece, None where only its shape's is known.
    """

    tag: str
    name: str
    count: int
    job: str
    owner: str
    substrate: str
    shape: str
    stand: int | None
    last_stand: int | None
    steps: tuple[StepRecord, ...]
    hold: str = ""
    rework: str = ""
    bungs: tuple[int, int] = (0, 0)
    contacts: tuple[int, int] = (0, 0)
    taken_by: tuple[str, ...] = ()
    zinc: Galvanised | None = None
    area_m2: float | None = None

    def on_it(self) -> tuple[str, ...]:
        """Give who is on it now; of a step in hand, where nobody was written down, who began it."""
        if self.taken_by:
            return self.taken_by
        record = self.current()
        return record.painters if record is not None and record.status == "in hand" else ()

    def current(self) -> StepRecord | None:
        """Return the step in hand or next to do; None when the whole route is behind it."""
        for record in self.steps:
            if record.status in ("todo", "in hand"):
                return record
        return None

    def progress(self) -> tuple[int, int]:
        """Return which step of how many, from 1; struck ones are kept but not counted."""
        numbers = [record.number for record in self.steps if record.status != "struck"]
        current = self.current()
        return (numbers.index(current.number) + 1 if current else len(numbers)), len(numbers)

    def clock_step(self) -> StepRecord | None:
        """Return the last step that was really done: its clock decides when the next can start."""
        finished = [record for record in self.steps if record.status == "done"]
        return finished[-1] if finished else None

    def kind_after(self, record: StepRecord) -> StepKind:
        """Return the kind of the next step that follows one."""
        later = (r for r in self.steps if r.number > record.number)
        return next((r.step.kind for r in later if r.status == "todo"), "cure")

    def coat_to_come(self, record: StepRecord) -> tuple[StepRecord, ...]:
        """Give a step that is still to do, with the builds that continue it: together one coat."""
        whole = [record]
        for later in self.steps:
            if later.number <= record.number or later.status != "todo":
                continue
            if not later.step.continues:
                break
            whole.append(later)
        return tuple(whole)

    def done_coats(self) -> tuple[StepRecord, ...]:
        """Return the coats that are on it, the first one first."""
        return tuple(r for r in self.steps if r.status == "done" and r.step.kind == "coat")

    def is_mist(self, record: StepRecord) -> bool:
        """Return whether a coat is a mist: the next step of the route goes on with it."""
        gone = ("struck", "skipped")
        later = (r.step for r in self.steps if r.number > record.number and r.status not in gone)
        return is_mist(record.step, next(later, None))

    def coat_first_at(self, record: StepRecord) -> datetime | None:
        """Return the first face of the whole coat: of the mist, where the build continues it."""
        return self.coat_begun_with(record).first_at

    def coat_begun_with(self, record: StepRecord) -> StepRecord:
        """Return the step the whole coat began with: itself, or the mist that it continues."""
        return self.whole_coat(record)[-1]

    def whole_coat(self, record: StepRecord) -> tuple[StepRecord, ...]:
        """Return the steps of a coat, newest first: itself, and the mist that it continues.

        Abraded or repaired in between, the coat below is a ground and no half of this one.
        """
        coat = [record]
        for earlier in reversed([r for r in self.steps if r.number < record.number]):
            if earlier.status == "struck":
                continue
            is_coat = earlier.status == "done" and earlier.step.kind == "coat"
            if not (coat[-1].step.continues and is_coat):
                break
            coat.append(earlier)
        return tuple(coat)


def step_as_finished(record: StepRecord, first_at: datetime, last_at: datetime) -> StepRecord:
    """Return a step as if its first and last faces were done then, and nobody had tested it."""
    return replace(
        record,
        status="done",
        first_at=first_at,
        last_at=last_at,
        passed_at=None,
        not_before=None,
    )


def points_left(part: Part) -> str:
    """Return what is still to be counted out or touched up, in words; empty when nothing is.

    >>> points_left(Part("1", "Axle", 1, "", "", "zinc", "axle", 1, 1, (), bungs=(8, 6)))
    '2 of 8 bungs are still in'
    """
    phrases = []
    if part.bungs[1] < part.bungs[0]:
        phrases.append(f"{part.bungs[0] - part.bungs[1]} of {part.bungs[0]} bungs are still in")
    if part.contacts[1] < part.contacts[0]:
        bare = part.contacts[0] - part.contacts[1]
        phrases.append(f"{bare} of {part.contacts[0]} contact points are not touched up")
    return ", ".join(phrases)


def last_event_at(part: Part) -> datetime | None:
    """Return the latest thing that happened to the part, None when nothing has."""
    return max((at for record in part.steps for at in record.times()), default=None)


def soak_flag(record: StepRecord, mark: Mark) -> str:
    """Return the note on a zone that soaked too short or too long; empty for neither."""
    if not record.step.most_s or mark.begun_at is None or mark.done_at is None:
        return ""
    soaked_s = (mark.done_at - mark.begun_at).total_seconds()
    if record.step.least_s <= soaked_s <= record.step.most_s:
        return ""
    side = "early" if soaked_s < record.step.least_s else "late"
    return f"{mark.name} rinsed {side}, after {soak_words(record.step, soaked_s)}"


def soak_flags(record: StepRecord) -> list[str]:
    """Return the notes on each zone of a step, or on the part that soaked as a whole."""
    whole = Mark("it", record.first_at, record.last_at)
    flags = [soak_flag(record, mark) for mark in record.marks or (whole,)]
    return [flag for flag in flags if flag]


def wet_zones(record: StepRecord) -> tuple[Mark, ...]:
    """Return the zones that soak now; of a timed step in hand without zones, the whole part."""
    if record.step.kind == "dwell":
        return tuple(mark for mark in record.marks if mark.begun_at and mark.done_at is None)
    return (Mark("it", record.first_at),) if record.step.most_s and record.first_at else ()


def soak_words(step: Step, soaked_s: float) -> str:
    """Say how long a zone soaked, in whole minutes: never in time by rounding.

    >>> wash = Step("wash", "dwell", least_s=600, most_s=900)
    >>> soak_words(wash, 250), soak_words(wash, 901)
    ('4 min', '16 min')
    """
    return format_duration(soaked_s if soaked_s > step.most_s else soaked_s - soaked_s % 60)


def zones_rinsed_early(record: StepRecord) -> tuple[Mark, ...]:
    """Give the zones of a wash that were rinsed before their minimum: they can be wetted again."""
    if record.step.kind != "dwell":
        return ()
    least = timedelta(seconds=record.step.least_s)
    marks = record.marks
    return tuple(m for m in marks if m.begun_at and m.done_at and m.done_at - m.begun_at < least)


def assign_faces(record: StepRecord, painters: Sequence[str]) -> dict[str, str]:
    """Return who sprays which open face: those given already stay, the others go round in order.

    One behind the other down the two rails, so that nobody sprays at the other.
    """
    to_give = [mark for mark in record.open_marks() if mark.by not in painters]
    fresh = {mark.name: painters[place % len(painters)] for place, mark in enumerate(to_give)}
    return {mark.name: fresh.get(mark.name, mark.by) for mark in record.open_marks()}


def initials(marks: Sequence[Mark]) -> dict[str, str]:
    """Return a letter or two for everybody who has a face, enough to tell them apart.

    The first letter, the first two, or the first and the last: ``Painter 2`` is ``P2``.
    """
    names = list(dict.fromkeys(mark.by for mark in marks if mark.by))
    ways = (
        [name[:1] for name in names],
        [name[:2] for name in names],
        [f"{name[:1]}{name[-1:]}" for name in names],
    )
    numbered = [f"{name[:1]}{number}" for number, name in enumerate(names, start=1)]
    letters = next((way for way in ways if len(set(way)) == len(names)), numbered)
    return dict(zip(names, letters, strict=True))


def is_lot_of(tag: str, of: str) -> bool:
    """Return whether a lot was split from the one with a tag: letters stand behind that.

    >>> is_lot_of("16b", "16"), is_lot_of("161", "16"), is_lot_of("16", "16")
    (True, False, False)
    """
    return tag.startswith(of) and tag.removeprefix(of).isalpha()

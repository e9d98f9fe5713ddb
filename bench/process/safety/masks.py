"""The room: whether masks are on, why and until when, and what is known of the air otherwise.

Nothing here ever says that a mask may come off: a clock cannot smell. Where no mask is known to be
needed the line says only what was recorded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.windows import cure_span
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool, Step
from bench.process.wording.time_text import doubt_mark, format_clock

How = Literal["sprayed", "applied", "worked on", "mixed", "flushed"]
"""What puts paint into the air. Any work on fresh paint counts as abrading it."""

DOES: dict[How, tuple[str, str]] = {
    "sprayed": ("sprays", "spray"),
    "applied": ("applies", "apply"),
    "worked on": ("works on fresh", "work on fresh"),
}
"""What goes on for a while, as one painter does it and as several do."""

MEASURED_FOR = timedelta(days=365)
"""How long a measured clearance time counts: filters clog, ducts are moved (house rule)."""

FLUSH_CAUTION = "Air-fed mask on, extraction on, no spraying into the open."
"""Shown wherever a gun is flushed that held isocyanate (common practice, no source)."""


@dataclass(frozen=True)
class ClearanceMeasurement:
    """Holds who measured the clearance time in this room, and when."""

    on: date
    by: str


@dataclass(frozen=True)
class Clearance:
    """Holds how long masks stay on after the last of it went into the air.

    typed: the shop's setting; measured: who measured that, None where nobody did. least: what
    counts at least while nobody measured it, the longer of a placeholder and the estimate from the
    extraction.
    """

    typed: timedelta
    measured: ClearanceMeasurement | None
    least: timedelta

    def on(self, day: date) -> Clearance:
        """Give what counts on a day: a measurement for MEASURED_FOR, else the longest time."""
        if self.measured and day - self.measured.on <= MEASURED_FOR:
            return self
        return Clearance(max(self.typed, self.least), None, self.least)


@dataclass(frozen=True)
class AtWork:
    """Holds which painters work on what must not be breathed. paint: the product's name."""

    painters: tuple[str, ...]
    how: How
    paint: str


@dataclass(frozen=True)
class LastRelease:
    """Holds when something last went into the air, and what, such as "Gloss sprayed"."""

    at: datetime
    what: str


@dataclass(frozen=True)
class Room:
    """Holds what is known of the air in the room at one moment.

    on: masks are on; reason: for what. until: when the clearance time ends or ended, None while
    work goes on and where nothing was recorded. since: when the last of it went into the air, else
    when the records begin. measured: who measured the clearance time and when, None where nobody
    did, or longer ago than MEASURED_FOR.
    """

    on: bool
    reason: str
    until: datetime | None
    since: datetime
    measured: ClearanceMeasurement | None


def room_of(
    at_work: Sequence[AtWork],
    released: LastRelease | None,
    clearance: Clearance,
    recorded_since: datetime,
    now: datetime,
) -> Room:
    """Judge the room at ``now``, in the shop's zone.

    at_work: what goes on, the first begun first; released: the last that is over, struck or not;
    recorded_since: when the shop's records begin.
    """
    counts = clearance.on(now.date())
    since = released.at if released else recorded_since
    if at_work:
        more = f"; and {len(at_work) - 1} more" if len(at_work) > 1 else ""
        return Room(True, f"{at_work_words(at_work[0])}{more}", None, since, counts.measured)
    if released is None:
        return Room(False, "", None, since, counts.measured)
    until = released.at + counts.typed
    return Room(now < until, released.what if now < until else "", until, since, counts.measured)


def at_work_words(work: AtWork) -> str:
    """Say who does what to which paint.

    >>> at_work_words(AtWork(("Kit", "Mo"), "sprayed", "Gloss"))
    'Kit and Mo spray Gloss'
    >>> at_work_words(AtWork(("Kit",), "worked on", "Gloss"))
    'Kit works on fresh Gloss'
    """
    singular, plural = DOES[work.how]
    verb = plural if len(work.painters) > 1 else singular
    return f"{' and '.join(work.painters) or 'somebody'} {verb} {work.paint}"


def work_done_words(how: How, paint: str) -> str:
    """Say what was done to which paint.

    >>> work_done_words("sprayed", "Gloss"), work_done_words("flushed", "Gloss")
    ('Gloss sprayed', 'Gloss gun flushed')
    """
    return {"worked on": f"fresh {paint} worked on", "flushed": f"{paint} gun flushed"}.get(
        how, f"{paint} {how}"
    )


def room_words(room: Room, now: datetime) -> str:
    """Say it on one line; every surface shows these words. now: in the shop's zone."""
    if room.on and room.until is None:
        return f"MASKS ON: {room.reason}"
    if room.on:
        return f"MASKS ON until {until_words(room, now)}: {room.reason}"
    if room.until is not None and room.until.astimezone(now.tzinfo).date() == now.date():
        return f"clearance time over at {format_clock(room.until, now)} ({measured_words(room)})"
    return f"no spraying recorded since {format_clock(room.since, now)}"


def room_in_full(room: Room, now: datetime) -> str:
    """Say it where there is space to say that nobody measured the clearance time."""
    unsure = room.on and room.until is not None and room.measured is None
    return f"{room_words(room, now)}{' (clearance time not measured)' if unsure else ''}"


def until_words(room: Room, now: datetime) -> str:
    """Return the hour until which masks are on, with "?" where clearance was not measured."""
    if room.until is None:
        return ""
    return f"{format_clock(room.until, now)}{doubt_mark(room.measured is None)}"


def measured_words(room: Room) -> str:
    """Say whether the clearance time was measured, and on which day."""
    return f"measured {room.measured.on:%-d %b}" if room.measured else "not measured"


def is_sprayed(step: Step, product: Product | None, tool: SprayTool | None) -> bool:
    """Judge by its tool whether a step sprays; a coat of isocyanate with no tool known does."""
    if tool is not None:
        return tool.sprayed
    return step.kind == "coat" and product is not None and product.isocyanate


def fresh_isocyanate(
    part: Part, before: StepRecord, around: Environment, at: datetime
) -> Product | None:
    """Find isocyanate paint under a step that is not fully cured yet at an instant.

    Without a full-cure time on its sheet it counts as fresh for good. A coat that was given up half
    way is on the part all the same.
    """
    for earlier in part.steps:
        product = around.products.get(earlier.step.product)
        is_coat = earlier.status in ("done", "struck") and earlier.step.kind == "coat"
        if not is_coat or earlier.number >= before.number or earlier.last_at is None:
            continue
        if product is not None and product.isocyanate:
            cured = cure_span(part, earlier, product, around.weather(product.limits)).end
            if cured is None or cured > at:
                return product
    return None

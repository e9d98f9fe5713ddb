"""The stretches in which a step can begin, by when the one before it was finished and first begun.

They are made of the same bands as the clock of a stand. A window that was missed is a stretch of
its own, with the abrading first; the closed middle of a window lies between two stretches.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.windows import Span, bands_of, side_of
from bench.process.parts.part import Part, StepRecord
from bench.process.plan import slot_sets
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.grid import Grid, slots_of
from bench.process.plan.problem import Stage
from bench.process.sheets.product import TOO_SOON, Band, BandWord


@dataclass(frozen=True)
class Opening:
    """A stretch of bands in which a step can begin. after: the bands that have to be over first.

    until: the band it ends with, None where it has no end.
    """

    after: tuple[int, ...]
    until: int | None
    abraded: bool


def openings(
    words: Sequence[BandWord], *, coat: bool, wet_on_wet: bool, has_window: bool
) -> Iterator[Opening]:
    """Yield where a step can begin after a step that leaves these bands.

    coat: what begins is a coat, so that a window closes for it. wet_on_wet: it goes onto a coat
    that has not flashed off. has_window: the sheet knows an open window; without one a coat is
    always abraded for, and nothing is missed.
    """
    allowed = [_is_allowed(word, coat=coat, wet_on_wet=wet_on_wet) for word in words]
    place = 0
    while place < len(words):
        abraded = coat and has_window and words[place] == "key"
        last = place
        while (
            last + 1 < len(words) and allowed[last + 1] and not (coat and words[last + 1] == "key")
        ):
            last += 1
        if allowed[place]:
            waits = tuple(n for n in range(place) if side_of(words[n]) == "opening")
            over = () if wet_on_wet and words[place] in TOO_SOON else waits
            yield Opening(over, last if last + 1 < len(words) else None, abraded)
            place = last
        place += 1


def _is_allowed(word: BandWord, *, coat: bool, wet_on_wet: bool) -> bool:
    if word in TOO_SOON:
        return wet_on_wet and word in ("wet", "flash")
    return not coat or word in ("open", "key")


def has_window(words: Sequence[BandWord]) -> bool:
    """Return whether a coat on it need not be abraded for: not where it has a key band alone."""
    return "open" in words or "key" not in words


@dataclass(frozen=True)
class Followed:
    """A step and the one that follows it on a part.

    abrading: slots before that one, where its window was missed. past_first: when the first face of
    the coat before it was done, None where that is still to come. first_offset: slots from the
    beginning of the task in which that first face lies to itself.
    """

    part: Part
    before: StepRecord
    after: StepRecord
    abrading: int
    past_first: datetime | None = None
    first_offset: int = 0

    @property
    def is_coat(self) -> bool:
        """Return whether what follows is a coat."""
        return self.after.step.kind == "coat"

    @property
    def wet_on_wet(self) -> bool:
        """Return whether it goes on before the coat below has flashed off."""
        return self.is_coat and self.before.step.kind == "coat" and self.after.step.wet_on_wet


def bands_left(tables: EdgeTables, record: StepRecord) -> tuple[Band, ...]:
    """Return the bands a step leaves."""
    return bands_of(record, tables.around.products.get(record.step.product))


def stages_of(followed: Followed, tables: EdgeTables, slack_min: float) -> tuple[Stage, ...]:
    """Return every stretch in which the step that follows can begin, as slots.

    Openings are rounded up; closings down, and by ``slack_min`` more.
    """
    bands = bands_left(tables, followed.before)
    words = [band.word for band in bands]
    slack = slots_of(slack_min)
    return tuple(
        Stage(
            _opens(followed, tables, bands, opening),
            _closes(followed, tables, bands, opening.until, slack),
            opening.abraded,
            opens_aged=any(_is_aged(bands[place]) for place in opening.after),
            closes_aged=opening.until is not None and _is_aged(bands[opening.until]),
        )
        for opening in openings(
            words,
            coat=followed.is_coat,
            wet_on_wet=followed.wet_on_wet,
            has_window=has_window(words),
        )
    )


def _is_aged(band: Band) -> bool:
    return band.until is not None and not band.until.exact


def _opens(
    followed: Followed, tables: EdgeTables, bands: Sequence[Band], opening: Opening
) -> Sequence[int]:
    """Return from which slot on it can begin, by the slot in which the step before it ended.

    What is abraded is abraded only once nothing below has to dry.
    """
    grid = tables.grid
    ends = [
        tables.band_slots(followed.part, followed.before, bands, place)[0]
        for place in opening.after
        if bands[place].until is not None
    ]
    opens = [*map(max, range(grid.horizon + 1), *ends)] if ends else range(grid.horizon + 1)
    later, never = followed.abrading if opening.abraded else 0, grid.never
    return [slot + later if slot + later < never else never for slot in opens] if later else opens


def _closes(
    followed: Followed,
    tables: EdgeTables,
    bands: Sequence[Band],
    until: int | None,
    slack: int,
) -> Sequence[int] | None:
    """Return the slot that is too late, by the slot in which the first face was begun."""
    if until is None or bands[until].until is None:
        return None
    grid, part, before = tables.grid, followed.part, followed.before
    if followed.past_first is not None:
        end = grid.down(tables.band_end(part, before, bands, until, followed.past_first))
        return _with_slack([end], slack, grid) * (grid.horizon + 1)
    _, ends = tables.band_slots(part, before, bands, until)
    closes = _with_slack(ends, slack, grid)
    offset = followed.first_offset
    return [*closes[offset:], *closes[-1:] * offset] if offset else closes


def _with_slack(slots: Sequence[int], slack: int, grid: Grid) -> list[int]:
    """Return closings so many slots earlier, from 0 on, but for those behind the horizon."""
    never = grid.never
    return [n if n == never else n - slack if n > slack else 0 for n in slots]


def starts_now(
    part: Part, after: StepRecord, tables: EdgeTables, slack_min: float
) -> tuple[int, int]:
    """Return the slots in which a part's next step can begin, and those with the abrading first.

    By what its clock says now. The first slot is free of slack: who is there begins.
    """
    grid, below = tables.grid, part.clock_step()
    if below is None:
        return slot_sets.between(0, grid.horizon), 0
    spans = clocks_of(part, tables.around).spans
    words: list[BandWord] = [span.word for span in spans]
    followed = Followed(part, below, after, 0)
    starts = abraded = 0
    for opening in openings(
        words,
        coat=followed.is_coat,
        wet_on_wet=followed.wet_on_wet,
        has_window=has_window([band.word for band in bands_left(tables, below)]),
    ):
        ends = [spans[place].end for place in opening.after]
        if None in ends:
            break
        since = max((grid.up(end.timestamp()) for end in ends if end), default=0)
        until = grid.horizon
        if opening.until is not None:
            until = _last_start(spans[opening.until], grid, slots_of(slack_min))
        if opening.abraded:
            abraded |= slot_sets.between(since, until)
        else:
            starts |= slot_sets.between(since, until)
    return starts, abraded


def _last_start(span: Span, grid: Grid, slack: int) -> int:
    """Return the slot that is too late for what a band lets begin."""
    if span.end is None:
        return grid.horizon
    closes = min(grid.down(span.end.timestamp()), grid.horizon)
    return max(closes - slack, min(closes, 1))

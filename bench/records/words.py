"""Hours, figures and sentences as the files say them: whole dates, to be read in twenty years."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from bench.process.edges import Edge
from bench.process.partsheet import CorrectionTold, MixTold, ReadingTold, TestTold, TinTold
from bench.process.spoken import date_words

UNFILLED = "not filled in"


def hour(at: datetime | None) -> str:
    """Return an instant with its whole date, in the zone it is in; empty for none."""
    return date_words(at) if at is not None else ""


def edge_hour(edge: Edge) -> str:
    """The hour of an opening or closing that people see, with its whole date and its marks."""
    return edge.marked(hour(edge.shown))


def iso(at: datetime | None) -> str:
    """An instant for a program: ISO 8601 to the second, with its offset from UTC."""
    return at.isoformat(timespec="seconds") if at is not None else ""


def offset(at: datetime) -> str:
    """How far the shop's time is from UTC, as in ``UTC+01:00``."""
    return f"UTC{at.strftime('%z')[:3]}:{at.strftime('%z')[3:5]}"


def pieces(count: int) -> str:
    """How many there are."""
    return "one piece" if count == 1 else f"{count} pieces"


def correction_words(one: CorrectionTold) -> str:
    """What was corrected, by whom and when."""
    least = " (clock wrong: at least)" if one.doubtful else ""
    return f"{one.text} [{one.by}, {hour(one.at)}{least}, line {one.line}]"


def test_words(one: TestTold) -> str:
    """Who said what of a test."""
    if one.passed:
        return f"passed, says {one.by}, {hour(one.at)}"
    return f"not yet, says {one.by}, {hour(one.at)}, {one.wait_s / 60:.0f} min more"


def reading_words(one: ReadingTold) -> str:
    """Air and metal, and what they mean for painting."""
    told = [f"air {one.air_c:g} C"]
    told.append(f"{one.rh_pct:g} %" if one.rh_pct is not None else "humidity not read")
    told.append(f"metal {one.metal_c:g} C" if one.metal_c is not None else "metal not read")
    if one.margin_c is not None:
        over = "metal" if one.metal_c is not None else "air"
        told.append(f"dew point {one.dew_point_c:g} C, {over} {one.margin_c:g} C over it")
    return f"{hour(one.at)}  {', '.join(told)} ({one.by})"


def readings_words(readings: tuple[ReadingTold, ...], when: str) -> str:
    """Many readings in one line: how many, from which to which, and the least margin."""
    many = [one for one in readings if one.when == when]
    if len(many) == 1:
        return reading_words(many[0])
    told = [f"{len(many)} readings", f"air {_range(one.air_c for one in many)} C"]
    metal = [one.metal_c for one in many if one.metal_c is not None]
    told.append(f"metal {_range(metal)} C" if metal else "metal not read")
    margins = [one.margin_c for one in many if one.margin_c is not None]
    told.append(f"least margin {min(margins):g} C" if margins else "humidity not read")
    return f"{hour(many[0].at)} to {hour(many[-1].at)}: {', '.join(told)}"


def _range(figures: Iterable[float]) -> str:
    every = list(figures)
    least, most = min(every), max(every)
    return f"{least:g}" if least == most else f"{least:g} to {most:g}"


def tins_words(tins: tuple[TinTold, ...]) -> str:
    """Which tins it came from. A batch that nobody entered is said to be missing."""
    return ", ".join(
        f"{one.role or 'tin'} batch {one.batch or UNFILLED}"
        + (f" {one.ml:.0f} ml" if one.ml is not None else "")
        for one in tins
    )


def pours_words(mix: MixTold) -> str:
    """What was poured, part by part."""
    return ", ".join(f"{pour.role} {pour.ml:.0f} ml" for pour in mix.pours)


def mix_words(mix: MixTold) -> str:
    """A pot in one line."""
    told = [f"pot {mix.letter}, {mix.product}, mixed {hour(mix.mixed_at)} by {mix.by}"]
    if mix.pours:
        told.append(pours_words(mix))
    if mix.use_from > mix.mixed_at:
        told.append(f"rested until {hour(mix.use_from)}")
    if mix.bin_by is not None:
        ends = Edge(mix.bin_by, "closing", mix.basis)
        told.append(f"bin by {hour(ends.shown)}{_rests_on(ends)}")
    if mix.binned_at is not None:
        left = f", {mix.binned_ml:.0f} ml left" if mix.binned_ml is not None else ""
        told.append(f"binned {hour(mix.binned_at)}{left}")
    return "; ".join(told)


def _rests_on(edge: Edge) -> str:
    return f" ({edge.figure_words})" if edge.basis != "sheet" else ""

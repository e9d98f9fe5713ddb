"""Hours, figures and sentences as the files say them: whole dates, to be read in twenty years."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from bench.process.actions.test_opinions import Opinion
from bench.process.clocks.edges import Edge
from bench.process.parts.log_entry import LogEntry
from bench.process.sheets.product import Product
from bench.process.wording.time_text import date_words
from bench.shop.records.job_record import SheetPot, SheetReading, SheetTin, SheetVersion

UNFILLED = "not recorded"

OF_WORDS = {"base": "the base", "mixed": "all but the thinner", "total": "the whole"}


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


def correction_words(one: LogEntry) -> str:
    """What was corrected, by whom and when."""
    least = " (clock wrong: at least)" if one.doubtful else ""
    return f"{one.text} [{one.painter}, {hour(one.at)}{least}, line {one.number}]"


def test_words(one: Opinion) -> str:
    """Who said what of a test."""
    if one.passed:
        return f"passed, says {one.painter}, {hour(one.at)}"
    return f"not yet, says {one.painter}, {hour(one.at)}, {one.wait_s / 60:.0f} min more"


def reading_words(one: SheetReading) -> str:
    """Air and metal, and what they mean for painting."""
    read = one.reading
    told = [f"air {read.air_c:g} C"]
    told.append(f"{read.rh_pct:g} %" if read.rh_pct is not None else "humidity not read")
    told.append(f"surface {read.metal_c:g} C" if read.metal_c is not None else "surface not read")
    if one.margin_c is not None:
        over = "surface" if read.metal_c is not None else "air"
        told.append(f"dew point {one.dew_point_c:g} C, {over} {one.margin_c:g} C above it")
    return f"{hour(read.at)}  {', '.join(told)} ({one.by})"


def readings_words(readings: tuple[SheetReading, ...], when: str) -> str:
    """Many readings in one line: how many, from which to which, and the least margin."""
    many = [one for one in readings if one.when == when]
    if len(many) == 1:
        return reading_words(many[0])
    told = [f"{len(many)} readings", f"air {_range(one.reading.air_c for one in many)} C"]
    metal = [one.reading.metal_c for one in many if one.reading.metal_c is not None]
    told.append(f"surface {_range(metal)} C" if metal else "surface not read")
    margins = [one.margin_c for one in many if one.margin_c is not None]
    told.append(f"smallest margin {min(margins):g} C" if margins else "humidity not read")
    return f"{hour(many[0].reading.at)} to {hour(many[-1].reading.at)}: {', '.join(told)}"


def _range(figures: Iterable[float]) -> str:
    every = list(figures)
    least, most = min(every), max(every)
    return f"{least:g}" if least == most else f"{least:g} to {most:g}"


def tins_words(tins: tuple[SheetTin, ...]) -> str:
    """Which tins it came from. A batch that nobody entered is said to be missing."""
    return ", ".join(
        f"{one.role or 'tin'} batch {one.batch or UNFILLED}"
        + (f" {one.ml:.0f} ml" if one.ml is not None else "")
        for one in tins
    )


def thinner_words(product: Product) -> str:
    """How much thinner goes in; empty for none."""
    thinner = product.thinner
    if thinner is None:
        return ""
    least, most = (f"{pct:g}{product.doubt}" for pct in (thinner.least_pct, thinner.most_pct))
    return f"{least} to {most} % of {OF_WORDS[thinner.of]}"


def pours_words(mix: SheetPot) -> str:
    """What was poured, part by part."""
    return ", ".join(f"{role} {ml:.0f} ml" for role, ml in mix.pours)


def version_words(version: SheetVersion) -> str:
    """Say which version of the data sheet something was done by."""
    what = "placeholder" if version.placeholder else "data sheet"
    if not version.is_own:
        return f"{what} as of the upgrade"
    if version.since is None:
        return f"{what} from before the upgrade"
    typed = "as of" if version.placeholder else "as typed"
    return f"{what} {typed} {version.since:%a} {version.since.day} {version.since:%b %Y}"


def mix_words(mix: SheetPot) -> str:
    """A pot in one line."""
    pot = mix.pot
    told = [f"pot {pot.letter}, {pot.name}, mixed {hour(pot.mixed_at)} by {mix.by}"]
    if mix.pours:
        told.append(pours_words(mix))
    if pot.use_from > pot.mixed_at:
        told.append(f"rested until {hour(pot.ready.shown)}{pot.ready.doubt}")
    if pot.end is not None:
        rests_on = f" ({pot.end.figure_words})" if pot.basis != "sheet" else ""
        told.append(f"bin by {hour(pot.end.shown)}{pot.end.doubt}{rests_on}")
    if mix.binned_at is not None:
        left = f", {mix.binned_ml:.0f} ml left" if mix.binned_ml is not None else ""
        told.append(f"binned {hour(mix.binned_at)}{left}")
    return "; ".join(told)

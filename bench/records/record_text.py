"""Hours, figures and sentences as the files say them: whole dates, to be read in twenty years."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from bench.process.actions.test_opinions import Opinion
from bench.process.clocks.edges import Edge
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import Judgement, Measurement, more_words, readings_words
from bench.process.sheets.product import Product
from bench.process.stock.instruments import Instrument
from bench.process.wording.time_text import date_words
from bench.shop.records.job_record import SheetPot, SheetReading, SheetTin, SheetVersion

CLOCK_WRONG = "The clock was wrong when this was written: every time is the earliest."
UNFILLED = "not recorded"

OF_WORDS = {"base": "the base", "mixed": "all but the thinner", "total": "the whole"}


def hour(at: datetime | None) -> str:
    """Return an instant with its whole date, in the zone it is in; empty for none."""
    return date_words(at) if at is not None else ""


def edge_hour(edge: Edge) -> str:
    """Return the time of an opening or closing that people see, with whole date and marks."""
    return edge.marked(hour(edge.shown))


def iso(at: datetime | None) -> str:
    """Write an instant for a program: ISO 8601 to the second, with its offset from UTC."""
    return at.isoformat(timespec="seconds") if at is not None else ""


def offset(at: datetime) -> str:
    """Say how far the shop's time is from UTC, as in ``UTC+01:00``."""
    return f"UTC{at.strftime('%z')[:3]}:{at.strftime('%z')[3:5]}"


def pieces(count: int) -> str:
    """Say how many there are."""
    return "one piece" if count == 1 else f"{count} pieces"


def correction_words(entry: LogEntry) -> str:
    """Say what was corrected, by whom and when."""
    least = " (clock wrong: at least)" if entry.doubtful else ""
    return f"{entry.text} [{entry.painter}, {hour(entry.at)}{least}, line {entry.number}]"


def test_words(opinion: Opinion) -> str:
    """Say who said what of a test."""
    if opinion.passed:
        return f"passed, says {opinion.painter}, {hour(opinion.at)}"
    return (
        f"not yet, says {opinion.painter}, {hour(opinion.at)}, {opinion.wait_s / 60:.0f} min more"
    )


def reading_words(reading: SheetReading) -> str:
    """Say air and surface, and what they mean for painting."""
    figures = reading.reading
    words = [f"air {figures.air_c:g} C"]
    words.append(f"{figures.rh_pct:g} %" if figures.rh_pct is not None else "humidity not read")
    words.append(
        f"surface {figures.metal_c:g} C" if figures.metal_c is not None else "surface not read"
    )
    if reading.margin_c is not None:
        over = "surface" if figures.metal_c is not None else "air"
        words.append(f"dew point {reading.dew_point_c:g} C, {over} {reading.margin_c:g} C above it")
    return f"{hour(figures.at)}  {', '.join(words)} ({reading.by})"


def air_words(readings: tuple[SheetReading, ...], when: str) -> str:
    """Say many readings in one line: how many, their ranges, and the smallest margin."""
    many = [reading for reading in readings if reading.when == when]
    if len(many) == 1:
        return reading_words(many[0])
    words = [f"{len(many)} readings", f"air {_range(reading.reading.air_c for reading in many)} C"]
    metal = [reading.reading.metal_c for reading in many if reading.reading.metal_c is not None]
    words.append(f"surface {_range(metal)} C" if metal else "surface not read")
    margins = [reading.margin_c for reading in many if reading.margin_c is not None]
    words.append(f"smallest margin {min(margins):g} C" if margins else "humidity not read")
    return f"{hour(many[0].reading.at)} to {hour(many[-1].reading.at)}: {', '.join(words)}"


def _range(figures: Iterable[float]) -> str:
    every = list(figures)
    least, most = min(every), max(every)
    return f"{least:g}" if least == most else f"{least:g} to {most:g}"


def measured_words(measurement: Measurement, instruments: Mapping[str, Instrument]) -> str:
    """Say what was read, where, with what, by whom and when."""
    words = readings_words(measurement)
    words += f", face {measurement.face}" if measurement.face else ""
    instrument = instruments.get(measurement.instrument)
    words += f", with {measurement.instrument}" if measurement.instrument else ""
    if instrument is not None and instrument.calibrated is not None:
        words += f" (calibrated {instrument.calibrated})"
    words += f" [{measurement.number}, {measurement.painter}, {hour(measurement.at)}]"
    return f"{words} (struck out)" if measurement.struck else words


def judgement_words(judgement: Judgement) -> str:
    """Say a verdict, and how many readings are still to take."""
    return "; ".join(filter(None, (judgement.words, more_words(judgement.take))))


def tins_words(tins: tuple[SheetTin, ...]) -> str:
    """Name the tins it came from. A batch that nobody entered is said to be missing."""
    return ", ".join(
        f"{tin.role or 'tin'} batch {tin.batch or UNFILLED}"
        + (f" {tin.ml:.0f} ml" if tin.ml is not None else "")
        for tin in tins
    )


def thinner_words(product: Product) -> str:
    """Say how much thinner goes in; empty for none."""
    thinner = product.thinner
    if thinner is None:
        return ""
    least, most = (
        f"{pct:g}{product.doubt_of('thinner')}" for pct in (thinner.least_pct, thinner.most_pct)
    )
    return f"{least} to {most} % of {OF_WORDS[thinner.of]}"


def pours_words(mix: SheetPot) -> str:
    """Say what was poured, part by part."""
    return ", ".join(f"{role} {ml:.0f} ml" for role, ml in mix.pours)


def version_words(version: SheetVersion) -> str:
    """Say which version of the data sheet something was done by."""
    source = "placeholder" if version.placeholder else "data sheet"
    if not version.is_own:
        return f"{source} as of the upgrade"
    if version.since is None:
        return f"{source} from before the upgrade"
    typed = "as of" if version.placeholder else "as typed"
    return f"{source} {typed} {version.since:%a} {version.since.day} {version.since:%b %Y}"


def mix_words(mix: SheetPot) -> str:
    """Say a pot in one line."""
    pot = mix.pot
    words = [f"pot {pot.letter}, {pot.name}, mixed {hour(pot.mixed_at)} by {mix.by}"]
    if mix.pours:
        words.append(pours_words(mix))
    if pot.use_from > pot.mixed_at:
        words.append(f"rested until {hour(pot.ready.shown)}{pot.ready.doubt}")
    if pot.end is not None:
        rests_on = f" ({pot.end.figure_words})" if pot.basis != "sheet" else ""
        words.append(f"bin by {hour(pot.end.shown)}{pot.end.doubt}{rests_on}")
    if mix.binned_at is not None:
        leftover = f", {mix.binned_ml:.0f} ml left" if mix.binned_ml is not None else ""
        words.append(f"binned {hour(mix.binned_at)}{leftover}")
    return "; ".join(words)

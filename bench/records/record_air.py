"""The air beside the steps of a part: as it is said at each step, and the picture of all of it."""

from __future__ import annotations

from collections.abc import Iterator

from bench.process.wording.time_text import format_duration
from bench.records.air_picture import AirPicture, AirPoint, StepBar
from bench.records.blocks import Block, Heading, Say
from bench.records.record_text import air_words, correction_words, hour
from bench.shop.records.job_record import Sheet, SheetReading, SheetStep

LABELS = {
    "before": "Air before",
    "working": "Air during",
    "spraying": "Air during",
    "drying": "Air after",
}


def step_air(step: SheetStep) -> Iterator[tuple[str, str]]:
    """Write the last reading before a step and its age, those while it went on, those after it."""
    moments = {read.when for read in step.readings}
    if not moments and step.plan.kind == "coat":
        yield "Air", "no reading"
    for when, label in LABELS.items():
        if when in moments:
            age = _age_words(step) if when == "before" else ""
            yield label, air_words(step.readings, when) + age
        elif when == "spraying" and step.plan.kind == "coat" and moments:
            yield label, "no reading"
    for read in step.readings:
        for entry in read.corrections:
            yield "Corrected", f"reading {hour(read.reading.at)}: {correction_words(entry)}"


def _age_words(step: SheetStep) -> str:
    """Say how old the reading was when the step began."""
    at = max(read.reading.at for read in step.readings if read.when == "before")
    if step.record.first_at is None:
        return ""
    age_s = (step.record.first_at - at).total_seconds()
    return f", {format_duration(age_s)} before it began"


def air_over_time(sheet: Sheet) -> Iterator[Block]:
    """Draw the readings beside the steps, and the steps themselves as bars."""
    picture = air_picture(sheet)
    if picture.points or picture.bars:
        yield Heading("Air over the time of the work")
        if not picture.points:
            yield Say("No reading was taken beside a step.")
        yield picture


def air_picture(sheet: Sheet) -> AirPicture:
    """Give what is drawn of a part: each reading once; a step in hand until now."""
    reads = {read.reading.number: read for step in sheet.steps for read in step.readings}
    bars = [
        StepBar(
            f"{record.number} {record.step.name}",
            record.step.kind == "coat",
            record.first_at,
            record.last_at or sheet.written_at,
        )
        for record in sheet.part.steps
        if record.first_at is not None and record.step.kind != "cure"
    ]
    points = sorted(map(_point, reads.values()), key=lambda point: point.at)
    return AirPicture(tuple(points), tuple(bars))


def _point(read: SheetReading) -> AirPoint:
    figures = read.reading
    return AirPoint(figures.at, figures.air_c, figures.metal_c, read.dew_point_c)

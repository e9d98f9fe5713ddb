"""Small parts, products and calendars for the tests of the rules."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.temperature import Hours, Reading
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import Band, BandWord, Product, Until
from bench.process.sheets.route import Step

MON = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
"""A Monday, 08:00, when London and UTC agree."""

HOURS = Hours(
    days=(*((time(7, 30), time(17, 30)),) * 5, (time(8), time(12, 30)), None),
    day_c=18.0,
    night_c=11.0,
    zone=ZoneInfo("Europe/London"),
)


def band(word: BandWord, minutes: float | None = None, **table_h: float) -> Band:
    """A band of so many minutes exactly; or ``band("wait", c20=16)`` for hours at temperatures."""
    if table_h:
        table = tuple(sorted((float(key[1:]), hours * 3600) for key, hours in table_h.items()))
        return Band(word, Until(table=table))
    return Band(word, Until(fixed_s=minutes * 60, exact=True) if minutes is not None else None)


def product(*bands: Band, **more: object) -> Product:
    """A one-pack of those bands, its figures typed from its data sheet."""
    told = {"source": "sheet", **more}
    return Product(key="p", name="paint", kind="primer", bands=bands, **told)  # type: ignore[arg-type]


def coated(first: datetime, last: datetime, *, then: str = "coat") -> Part:
    """A part with one finished coat of ``p`` and one more step to do."""
    done = StepRecord(1, Step("coat 1", "coat", "p"), "done", first, last)
    kind = "coat" if then == "coat" else "work" if then == "work" else "cure"
    todo = StepRecord(2, Step(then, kind, "p" if kind == "coat" else ""))  # type: ignore[arg-type]
    return Part("1", "bracket", 1, "", "", "steel", "plain", 1, 1, (done, todo))


def around(paint: Product, *readings: Reading) -> Environment:
    """The shop's air with one product in it."""
    return Environment(readings, HOURS, {"p": paint})


def after(minutes: float) -> datetime:
    """So many minutes after Monday 08:00."""
    return MON + timedelta(minutes=minutes)

"""A year in the shop, minute by minute: real weather, parts through every route, two painters.

The weather is the published year of tests/published/weather_year.csv (hourly air, dew point and
humidity as measured; the pvlib package's file, source seen), read off a thermometer in the shop.
Nobody heats more than a stove does: in shop hours the air is never under STOVE_C.

In the normal run nine parts, steps of twenty minutes, and a reading twice a day. The whole
of it, 200 parts, a step a minute, a reading every hour of day and night, takes about an hour:

    scripts/test --long tests/simulation/test_year.py
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from sqlmodel import select

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.temperature import Reading
from bench.process.parts.part import Part
from bench.shop.core.bench_view import BenchView, PlacedPart, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.store.schema.tables import PartRow
from bench.testing import ManualClock
from bench.trade.ageing import Side
from tests.humidity import rh_from_dew_point
from tests.simulation import LONG

from .holding import check_view, check_word, everything
from .integral import Drawn, ends_of, passes, temperature_at, times_longer
from .shops import folder_in_memory, open_at
from .working import Arrival, Crew

PARTS, STANDS, STEP = (200, 24, timedelta(minutes=1)) if LONG else (9, 8, timedelta(minutes=20))
READ_AT = range(24) if LONG else (7, 15)
"""The hours, by UTC, at which somebody or something reads the thermometer."""
NEW_YEAR = datetime(2026, 1, 1, tzinfo=UTC)
DAYS, LAST_COMES = 365, 300
"""Parts come all the year round; the last ones still have time to cure."""
STOVE_C = 14.0
SECOND = timedelta(seconds=1)
SIDES: tuple[Side, ...] = ("opening", "closing")

SHOWN = {
    "wet": {"WET"},
    "flash": {"FLASH"},
    "drying": {"DRYING", "CURE"},
    "wait": {"WAIT", "CURE"},
    "open": {"TEST", "OPEN", "CLOSING", "CURE"},
    "shut": {"KEEP OFF", "OPEN"},
    "key": {"ABRADE", "TEST", "OPEN", "CURE"},
}
"""What a stand may show while a band holds. For work that is no coat, shut and key are open."""
FOR_GOOD = {"CURE", "TEST"}
"""What it may show too where nothing ever goes on again: only the cure is left, and its test."""


def weather() -> dict[datetime, Reading]:
    """What a thermometer in the shop shows at every hour of the year."""
    found = {}
    file = Path(__file__).parents[1] / "published" / "weather_year.csv"
    with file.open(newline="", encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            day = NEW_YEAR.replace(month=int(row["month"]), day=int(row["day"]))
            at = day + timedelta(hours=int(row["hour"]) - 1)
            air_c, dew_c = float(row["air_c"]), float(row["dew_c"])
            if at.weekday() < 6 and 7 <= at.hour < 17:
                air_c = max(air_c, STOVE_C)
            rh_pct = min(rh_from_dew_point(air_c, min(dew_c, air_c)), 100.0)
            found[at] = Reading(at, air_c, rh_pct, air_c)
    return found


@dataclass
class Year:
    """The year as it goes by, and everything that is checked on the way."""

    file: Path
    shop: Shop
    clock: ManualClock
    crew: Crew
    random: Random
    view: BenchView
    air: dict[datetime, Reading]
    read: list[Reading] = field(default_factory=list)
    bands: dict[str, tuple[Part, int]] = field(default_factory=dict)
    seen: Counter[str] = field(default_factory=Counter)

    def live(self, days: int) -> None:
        """So many days, a step at a time, and whatever falls between two steps."""
        now = step = self.clock.now()
        end = now + timedelta(days=days)
        while now < end:
            if now == step:
                step += STEP
            done = self.crew.next_done()
            now = min(step, done) if done and done > now else step
            self.clock.set(now)
            if now.minute == 0 and now.second == 0:
                self.crew.put_off.clear()
            if now in self.air and now.hour in READ_AT:
                self._read(self.air[now])
            while self.crew.work(self.view):
                self._see()
            self._tick(now)

    def read_of_this_hour(self) -> None:
        """Somebody reads the thermometer because the last reading is too old."""
        now = self.clock.now()
        of_hour = self.air[now.replace(minute=0, second=0, microsecond=0)]
        self._read(replace(of_hour, at=now))

    def _read(self, reading: Reading) -> None:
        answer = readings.take_reading(
            self.shop, "Mo", air_c=reading.air_c, rh_pct=reading.rh_pct, metal_c=reading.metal_c
        )
        assert isinstance(answer, Outcome), answer
        self.read.append(reading)
        self._see()

    def _see(self) -> None:
        """Something was written: the bench is drawn anew, and held against what it was."""
        was, now = self.view, self.clock.now()
        self.view = read_bench(self.shop)
        before = {placed.part.tag: placed for placed in everything(was)}
        check_view(self.view, now)
        for placed in everything(self.view):
            old = before.get(placed.part.tag)
            if old is None or old.part != placed.part:
                self._count("parts changed")
                self._agrees_with_the_integral(placed, self.view.around)
                if old is not None:
                    self._agrees_with_the_integral(old, was.around)
                continue
            for earlier, later in zip(old.clocks.spans, placed.clocks.spans, strict=False):
                if earlier.end is not None and earlier.end <= now:
                    assert earlier.end == later.end, "an hour that is past was moved"
            if self.random.random() < 0.02:
                self._agrees_with_the_integral(placed, self.view.around)
        if self.random.random() < 0.01:
            self._start_again()

    def _start_again(self) -> None:
        """Closed and opened at any moment, the bench is the same."""
        self._count("started again")
        self.shop.store.close()
        self.shop = self.crew.shop = Shop(open_store(str(self.file)), self.clock, "test")
        assert read_bench(self.shop) == self.view

    def _tick(self, now: datetime) -> None:
        """A minute later: every stand goes on in the order of its bands, and none goes back."""
        for placed in everything(self.view):
            state = placed.state(now)
            check_word(state, now)
            self.seen[state.word] += 1
            record, spans = placed.part.current(), placed.clocks.spans
            if record is None or record.status != "todo" or not spans:
                continue
            place = next(n for n, s in enumerate(spans) if s.end is None or now < s.end)
            here = spans[place]
            for_good = here.word == "shut" and here.end is None and not here.never
            shown = SHOWN[here.word] | (FOR_GOOD if for_good else set())
            assert state.word in shown, (state, here)
            part, before = self.bands.get(placed.part.tag, (placed.part, 0))
            if part == placed.part:
                assert place >= before, "a clock ran backwards"
                skipped = spans[before + 1 : place]
                assert all(s.end and s.end - s.start < STEP for s in skipped), "a band was skipped"
            self.bands[placed.part.tag] = (placed.part, place)

    def _agrees_with_the_integral(self, placed: PlacedPart, around: Environment) -> None:
        """Every end of every band, and the cure's, to the second."""
        part, done = placed.part, placed.part.clock_step()
        if done is None or done.last_at is None or part.current() is None:
            return
        self._count("coats held against the integral")
        drawn = around.weather().temperatures
        product = around.products.get(done.step.product)
        expected = ends_of(part, done, product, drawn, around.readings)
        spans = placed.clocks.spans
        assert [span.word for span in spans] == [word for word, _ in expected]
        for span, (_, end) in zip(spans, expected, strict=True):
            self._same(span.end, end)
        if placed.clocks.cure is not None:
            self._cures_as_the_integral(placed, around, drawn)
        self._temperatures_are_as_said(drawn, done.last_at)

    def _cures_as_the_integral(self, placed: PlacedPart, around: Environment, drawn: Drawn) -> None:
        coats = [r for r in placed.part.steps if r.status == "done" and r.step.kind == "coat"]
        product, since = around.products[coats[-1].step.product], coats[-1].last_at
        assert since is not None
        assert placed.clocks.cure is not None
        least_c = product.limits.metal_least_c
        times = times_longer(placed.part, coats[-1], product)
        table = [(temp_c, seconds * times) for temp_c, seconds in product.full_cure]
        here = drawn(since, "opening")
        cured = passes(table, here, since, opening=True, least_c=least_c) if table else None
        waits = placed.part.steps[-1].not_before
        self._same(placed.clocks.cure.end, max(cured, waits) if cured and waits else cured)

    def _same(self, found: datetime | None, expected: datetime | None) -> None:
        assert (found is None) == (expected is None)
        if found is not None and expected is not None:
            self._count("ends compared")
            assert abs(found - expected) < SECOND

    def _temperatures_are_as_said(self, drawn: Drawn, since: datetime) -> None:
        """The stretches themselves, at an instant of the month from then on."""
        known = [r for r in self.read if r.at <= self.clock.now()]
        for side in SIDES:
            at = since + timedelta(seconds=self.random.uniform(0, 30 * 86400))
            stretches = drawn(since, side)
            here = [s.temp_c for s in stretches if s.start_s <= at.timestamp()][-1]
            opening = side == "opening"
            assert here == temperature_at(known, self.view.house.hours, at, opening=opening)

    def _count(self, what: str) -> None:
        self.seen[what] += 1


@pytest.fixture
def year(seeds: Seeds) -> Iterator[Year]:
    """A shop on New Year's morning, with parts for every route to come."""
    random = Random(2026)
    routes, shapes = sorted(seeds.routes), sorted(seeds.shapes)
    to_come = [
        Arrival(
            NEW_YEAR + n * timedelta(days=LAST_COMES) / PARTS,
            routes[n % len(routes)],
            random.choice(shapes),
            random.choice([1, 1, 4, 14]),
        )
        for n in range(PARTS)
    ]
    with folder_in_memory() as where:
        file = where / "year.db"
        clock = ManualClock(NEW_YEAR)
        opened = open_at(file, seeds, NEW_YEAR, STANDS)
        shop = Shop(opened.store, clock, "test")
        crew = Crew(
            *(shop, clock, seeds, random, to_come),
            read_the_thermometer=lambda: made.read_of_this_hour(),
        )
        made = Year(file, shop, clock, crew, random, read_bench(shop), weather())
        yield made
        made.shop.store.close()


def test_a_year_of_real_weather_in_which_no_clock_ever_runs_backwards(year: Year) -> None:
    year.live(DAYS)
    assert check(year.shop).faults == ()
    with year.shop.store.reading() as session:
        rows = session.exec(select(PartRow)).all()
    away = Counter(row.route for row in rows if row.away)
    print(f"{sum(away.values())} of {len(rows)} parts CURED: {dict(away)}")
    print(f"{dict(year.seen)}; refused: {Counter(r.rule for r in year.crew.refused)}")
    assert len(rows) == PARTS
    assert sum(away.values()) >= PARTS * 0.9
    assert set(away) == {row.route for row in rows}, "every route came to its end"

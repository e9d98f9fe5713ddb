"""Old readings of probes go: no hour and no job record changes by it, and the log has them all."""

from __future__ import annotations

import io
import math
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from bench.process.clocks.reading_thinning import KEEP_ALL
from bench.process.stock.mixing import MixStart
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data import backups
from bench.shop.data.background import BackgroundJob, ReadingThinner
from bench.shop.data.opening import check
from bench.shop.environment import reading_thinning as shop_thinning
from bench.shop.environment import readings
from bench.shop.environment.reading_thinning import MOST_ROWS, thin
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.records.gathering import sheet_of
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.log.journal import THINNED
from bench.store.schema.tables import PROBE, JournalRow, ReadingRow
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import begin_over, done, part, refused, state, told

pytestmark = pytest.mark.sqlite


def read_by_probe(shop: Shop, since: datetime, until: datetime, every_min: int = 15) -> int:
    """Readings every so many minutes, as warm and damp as days go; how many."""
    every = timedelta(minutes=every_min)
    with shop.act("reading", PROBE) as act:
        count = (until - since) // every
        for n in range(count):
            at = since + n * every
            swing = math.sin(at.timestamp() / 86400 * 2 * math.pi)
            air_c, rh_pct = round(15 + 4 * swing, 1), round(60 - 10 * swing)
            act.session.add(
                ReadingRow(
                    at=at, air_c=air_c, rh_pct=rh_pct, metal_c=round(air_c - 1, 1), painter=PROBE
                )
            )
        act.write(PROBE, "", f"{count} readings")
    return count


def primed(shop: Shop, clock: ManualClock, stand: int) -> None:
    """Blasted brackets, primed from a pot of their own in twenty minutes; it is binned then."""
    pot = done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket", count=14))
    for _ in range(2):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(begin_over(shop, stand, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand, "Kit", all_faces=True))
    letter = pot.text.split("pot ")[1][0]
    done(pots.flush(shop, letter, "Mo"))
    done(pots.bin_pot(shop, letter, "Mo", left_ml=10))


def left(shop: Shop, clock: ManualClock) -> None:
    """A part that was primed, cured for thirty days, and left the bench."""
    primed(shop, clock, 1)
    while part(shop, "1").current().step.kind != "cure":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.advance(days=30)
    done(testing.pass_test(shop, 1, "Mo"))
    done(placement.take_off(shop, 1, "Mo"))


def rows(shop: Shop) -> list[dict[str, object]]:
    """By number: a database gives them in any order once some are deleted."""
    found = state(shop)["reading"].values()  # type: ignore[index]
    return sorted(found, key=lambda row: int(str(row["id"])))


def by_painters(shop: Shop) -> list[dict[str, object]]:
    return [row for row in rows(shop) if row["painter"] != PROBE]


def hours(shop: Shop) -> list[object]:
    """All that the stands show, and the clocks it comes from."""
    view, now = bench_view.read_bench(shop), shop.clock.now()
    shown = [(view.state(number, now), placed) for number, placed in view.stands]
    return [(state, placed.clocks.spans if placed else None) for state, placed in shown]


def record(shop: Shop, tag: str) -> str:
    return text(sheet_page(sheet_of(shop, tag)))  # type: ignore[arg-type]


@pytest.fixture
def without_a_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    """One entry after the other, where a day goes by between them."""
    monkeypatch.setattr(shop_thinning, "EVERY", timedelta(0))


def thinned_to_the_end(shop: Shop) -> int:
    """How many entries it took."""
    entries = 0
    while thin(shop) is not None:
        entries += 1
    return entries


@pytest.fixture
@done_once
def worked(shop: Shop, clock: ManualClock) -> Shop:
    """One part left weeks ago, one stands primed for five weeks, one for an hour."""
    start = clock.now()
    done(readings.take_reading(shop, "Mo", air_c=19, rh_pct=55, metal_c=18))
    left(shop, clock)
    for minutes in (5, 10, 20):
        typed_at = start + timedelta(days=20, minutes=minutes)
        done(readings.take_reading(shop, "Mo", air_c=15, rh_pct=60, metal_c=14, at=typed_at))
    clock.advance(days=12)
    done(readings.take_reading(shop, "Kit", air_c=16, rh_pct=50, metal_c=15))
    primed(shop, clock, 2)
    clock.advance(days=35)
    primed(shop, clock, 3)
    clock.advance(hours=1)
    read_by_probe(shop, start - timedelta(days=1), clock.now())
    return shop


def test_no_hour_no_job_record_and_no_painters_reading_changes(
    worked: Shop, clock: ManualClock
) -> None:
    before = hours(worked), [record(worked, tag) for tag in "123"], by_painters(worked)
    count = len(rows(worked))
    assert thin(worked) is not None
    assert count - MOST_ROWS <= len(rows(worked)) < count
    after = hours(worked), [record(worked, tag) for tag in "123"], by_painters(worked)
    assert after == before
    assert len(by_painters(worked)) == 5
    assert check(worked).faults == ()
    assert told(worked) == state(worked)


@pytest.mark.usefixtures("without_a_wait")
def test_all_of_the_last_31_days_stay(worked: Shop, clock: ManualClock) -> None:
    since = clock.now() - KEEP_ALL

    def young() -> int:
        return sum(datetime.fromisoformat(str(row["at"])) >= since for row in rows(worked))

    before = young()
    assert before > 30 * 96
    assert thinned_to_the_end(worked) > 0
    assert young() == before


def test_a_second_run_does_nothing(worked: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shop_thinning, "MOST_ROWS", 50)
    assert thin(worked) is not None
    assert thin(worked) is None
    monkeypatch.setattr(shop_thinning, "MOST_ROWS", MOST_ROWS)
    monkeypatch.setattr(shop_thinning, "EVERY", timedelta(0))
    assert thinned_to_the_end(worked) == 1
    before = state(worked)
    assert thin(worked) is None
    assert state(worked) == before


@pytest.mark.sqlite(False)
def test_at_most_so_many_rows_go_with_one_entry(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shop_thinning, "MOST_ROWS", 50)
    since = clock.now() - timedelta(days=40)
    read_by_probe(shop, since, since + timedelta(days=2))
    before = len(rows(shop))
    assert "thinned: 50, up to" in done(thin(shop)).text  # type: ignore[arg-type]
    assert len(rows(shop)) == before - 50
    assert check(shop).faults == ()
    assert told(shop) == state(shop)


def test_it_is_an_entry_of_the_bench_itself_that_no_undo_takes_back(
    worked: Shop, clock: ManualClock
) -> None:
    number = done(thin(worked)).line  # type: ignore[arg-type]
    last = undo.last_action(worked)
    assert last is not None
    assert last.number != number
    assert "cannot be undone" in str(refused(undo.undo_line(worked, "Kit", number)))
    with worked.store.reading() as session:
        line = session.get_one(JournalRow, number)
        assert (line.action, line.painter, line.tag) == (THINNED, PROBE, "")


def test_it_goes_out_and_comes_in_with_the_whole_shop(
    worked: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    assert thin(worked) is not None
    out = io.StringIO()
    backups.export_shop(worked, out)
    whole = backups.read_export(out.getvalue().encode(), "the export")
    assert isinstance(whole, backups.Whole)
    there = Shop(open_store(str(tmp_path / "there.db")), ManualClock(clock.now()), "there")
    done(backups.import_shop(there, whole))
    assert rows(there) == rows(worked)
    assert thin(there) is None
    assert check(there).faults == ()
    there.store.close()


def test_nothing_goes_where_somebody_writes_something_down_meanwhile(
    worked: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    look = shop_thinning._going

    def meanwhile(*given: object) -> object:
        found = look(*given)  # type: ignore[arg-type]
        done(readings.take_reading(worked, "Kit", air_c=16))
        return found

    monkeypatch.setattr(shop_thinning, "_going", meanwhile)
    before = len(rows(worked))
    assert thin(worked) is None
    assert len(rows(worked)) == before + 1


def test_the_bench_does_it_a_minute_after_the_start_and_once_a_day(
    worked: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shop_thinning, "MOST_ROWS", 50)

    def at_once(job: BackgroundJob) -> None:
        job()

    background, before = ReadingThinner(at_once), len(rows(worked))
    background.tick(worked)
    clock.advance(seconds=59)
    background.tick(worked)
    assert len(rows(worked)) == before
    clock.advance(seconds=1)
    background.tick(worked)
    once = len(rows(worked))
    assert once < before
    clock.advance(hours=23)
    background.tick(worked)
    assert len(rows(worked)) == once
    clock.advance(hours=1)
    background.tick(worked)
    assert len(rows(worked)) < once


@pytest.mark.long
@pytest.mark.sqlite
@pytest.mark.usefixtures("without_a_wait")
def test_a_year_of_readings_every_ten_minutes(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shop_thinning, "MOST_ROWS", 15_000)  # instead of weeks of entries
    start = clock.now()
    left(shop, clock)
    done(readings.take_reading(shop, "Mo", air_c=19, rh_pct=55, metal_c=18))
    clock.advance(days=333)
    primed(shop, clock, 2)
    clock.advance(days=2)
    assert read_by_probe(shop, start, clock.now(), 10) in range(365 * 144, 366 * 144)
    typed, shown = by_painters(shop), (hours(shop), record(shop, "1"), record(shop, "2"))
    assert thinned_to_the_end(shop) == 2
    assert len(rows(shop)) in range(20_000, 30_000)
    assert by_painters(shop) == typed
    assert (hours(shop), record(shop, "1"), record(shop, "2")) == shown
    assert check(shop).faults == ()

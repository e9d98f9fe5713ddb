"""An upgrade of a shop at work: whole or not at all, with the hours of the present rules after it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from io import StringIO
from math import exp, log
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, event, inspect, text
from sqlalchemy.exc import OperationalError
from sqlmodel import col, select

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.records import as_text
from bench.records.job_record import sheet_page
from bench.shop.core import bench_view
from bench.shop.core.mappers import products_of
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.backups import export_shop, import_shop, read_export
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, steps, testing
from bench.shop.records.gathering import sheet_of
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product
from bench.shop.stock import pots
from bench.store.databases.database import CannotOpen, open_store
from bench.store.databases.sqlite import engine_at
from bench.store.log import sheet_versions
from bench.store.schema.migrations import MIGRATIONS, TO_2, TO_3, NotOurs, upgrade
from bench.store.schema.tables import MixRow
from bench.testing import ManualClock
from tests.databases import POSTGRESQL
from tests.shop.doing import done

from .test_earlier_versions import restored, server_at

DUMPS = Path(__file__).parent
LEFT_AT = datetime(2025, 6, 16, 13, tzinfo=UTC)
"""When the last entry of the dumps was written."""


@pytest.fixture(params=["sqlite", POSTGRESQL])
def at_work(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The place of a shop as the last program of version 2 left it in the middle of a day."""
    if request.param == "sqlite":
        place = tmp_path / "shop.db"
        raw = sqlite3.connect(place)
        raw.executescript((DUMPS / "version2-at-work.sql").read_text(encoding="utf-8"))
        raw.close()
        return str(place)
    address: str = request.getfixturevalue("postgresql").take(empty=True)
    dump = (DUMPS / "version2-at-work-postgresql.sql").read_text(encoding="utf-8")
    with server_at(address).connect() as connection:
        connection.exec_driver_sql(dump.replace("%", "%%"))
        connection.commit()
    return address


@pytest.fixture
def shop(at_work: str) -> Iterator[Shop]:
    """The shop at work after its upgrade."""
    opened = Shop(open_store(at_work), ManualClock(LEFT_AT), "test")
    yield opened
    opened.store.close()


def hour(day: int, at: str) -> datetime:
    """An hour of June 2025."""
    hours, minutes = map(int, at.split(":"))
    return datetime(2025, 6, day, hours, minutes, tzinfo=UTC)


def summed(
    begun: datetime, spans: list[tuple[datetime, float]], time_h: Callable[[float], float]
) -> datetime:
    """The instant at which the shares of the times at each temperature add up to one.

    spans: until when it was how warm, in C; the last holds for good.
    """
    share, at = 0.0, begun
    for until, metal_c in spans:
        span_h = (until - at) / timedelta(hours=1)
        if share + span_h / time_h(metal_c) >= 1:
            return at + timedelta(hours=(1 - share) * time_h(metal_c))
        share, at = share + span_h / time_h(metal_c), until
    raise AssertionError("never")


READ = [(hour(16, "10:40"), 17.0), (hour(16, "17:30"), 18.0)]
"""Metal as it was read at 07:05 and at 10:40, which is what is usual by day."""

USUAL = [
    (hour(16 + night + 1, "07:30" if by_night else "17:30"), 11.0 if by_night else 18.0)
    for night in range(3)
    for by_night in (True, False)
]
"""The dump's setting: nights of 11 C from 17:30 to 07:30, days of 18 C."""


def epoxy_h(metal_c: float) -> float:
    """24 h at 10 C and 16 h at 20 C, as the dump's sheet has it; between, ln t over 1/T."""
    cold, warm, here = (1 / (273.15 + t) for t in (10.0, 20.0, metal_c))
    return exp(log(16) + (log(24) - log(16)) * (here - warm) / (cold - warm))


def drying_h(metal_c: float) -> float:
    """2 d at 20 C, as the dump's route has it; 10 C colder twice as long."""
    return 48 * 2 ** ((20 - metal_c) / 10)


def test_after_the_upgrade_every_stand_has_the_hours_of_the_present_rules(shop: Shop) -> None:
    view = bench_view.read_bench(shop)
    spindles, cradle = view.find("2"), view.find("3")
    assert spindles is not None
    assert cradle is not None
    opens = spindles.state(LEFT_AT).opens
    assert opens is not None
    # Last face corrected to 08:50; version 2 had the same: Tue 05:05.
    expected = summed(hour(16, "08:50"), READ + USUAL, epoxy_h)
    assert abs(opens.at - expected) < timedelta(minutes=1)
    assert f"{expected:%a %H:%M}" == "Tue 05:05"
    # 7 d from the first face, 08:40; never longer for cold. Version 2 had the same.
    closes = spindles.state(LEFT_AT).closes
    assert closes is not None
    assert closes.at == hour(23, "08:40")
    # Version 2 took two days for two days (Wed 10:30). Since version 3 one time is one at 20 C.
    dries = cradle.state(LEFT_AT).opens
    assert dries is not None
    dried = summed(hour(16, "10:30"), READ + USUAL, drying_h)
    assert abs(dries.at - dried) < timedelta(minutes=1)
    assert f"{dried:%a %H:%M}" == "Thu 09:47"
    # 2 h at 20 C from the mixing at 13:00; a pot in 18 C is not given longer.
    assert [(pot.letter, pot.bin_by) for pot in view.pots] == [("B", hour(16, "15:00"))]
    assert [view.find(tag).state(LEFT_AT).word for tag in "234"] == ["WAIT", "DRYING", "HOLD"]  # type: ignore[union-attr]
    assert view.find("1") is None


def test_after_the_upgrade_the_check_is_clean_and_says_so_of_the_log_too(shop: Shop) -> None:
    assert check(shop).faults == ()
    assert check(shop).lines == 43
    with shop.store.reading() as session:
        unmarked = session.execute(text("SELECT count(*) FROM journal WHERE checksum = ''"))
        assert unmarked.scalar_one() == 0


@pytest.mark.parametrize(
    ("tag", "words"),
    [
        ("1", ("Axle stub", "left the bench", "240 ml", "B-17", "passed by Una", "not wanted")),
        ("2", ("was 08:55", "typed late", "runs at the foot", "already done", "H-9")),
        ("3", ("File the zinc spikes", "Degrease and rinse", "Bo")),
        ("4", ("Winch post", "customer asks")),
    ],
)
def test_a_job_record_begun_before_the_upgrade_is_read_after_it(
    shop: Shop, tag: str, words: tuple[str, ...]
) -> None:
    sheet = sheet_of(shop, tag)
    assert not isinstance(sheet, Refusal)
    shown = as_text.text(sheet_page(sheet))
    assert [word for word in words if word not in shown] == []


@contextmanager
def statements(fails_at: int | None = None) -> Iterator[list[str]]:
    """Collect what is asked of any database; the one with a number fails as a bad disk makes it."""
    asked: list[str] = []

    def count(*given: Any) -> None:
        asked.append(given[2])
        if len(asked) - 1 == fails_at:
            raise OperationalError(given[2], None, sqlite3.OperationalError("disk I/O error"))

    event.listen(Engine, "before_cursor_execute", count)
    try:
        yield asked
    finally:
        event.remove(Engine, "before_cursor_execute", count)


def held(place: str) -> object:
    """Everything at a place: the bytes of a file, the columns and rows of a schema."""
    if not place.startswith("postgresql"):
        return Path(place).read_bytes()
    with server_at(place).connect() as connection:
        looked = inspect(connection)
        indexes = looked.get_multi_indexes()
        return {
            table: (
                [(column["name"], str(column["type"])) for column in columns],
                sorted(str(index) for index in indexes[table]),
                sorted(map(str, connection.execute(text(f'SELECT * FROM "{table[1]}"')))),
            )
            for table, columns in looked.get_multi_columns().items()
        }


def test_an_upgrade_that_fails_at_any_statement_leaves_all_as_it_was(at_work: str) -> None:
    before = held(at_work)
    number = 0
    while True:
        with statements(number) as asked:
            try:
                open_store(at_work).close()
                break
            except CannotOpen:
                pass
        assert held(at_work) == before, asked[-1]
        number += 1
    assert number > len(TO_3)
    assert held(at_work) != before


def test_an_upgrade_whose_commit_fails_leaves_all_as_it_was(at_work: str) -> None:
    before = held(at_work)

    def fails(_: Connection) -> None:
        raise OperationalError("COMMIT", None, sqlite3.OperationalError("disk I/O error"))

    event.listen(Engine, "commit", fails)
    try:
        with pytest.raises(CannotOpen):
            open_store(at_work)
    finally:
        event.remove(Engine, "commit", fails)
    assert held(at_work) == before


@pytest.mark.parametrize("known", [1, 2])
def test_an_older_program_refuses_upgraded_data_and_leaves_it(at_work: str, known: int) -> None:
    open_store(at_work).close()
    before = held(at_work)
    server = at_work.startswith("postgresql")
    engine = server_at(at_work) if server else engine_at(at_work)[0]
    with pytest.raises(NotOurs, match=rf"newer program .*knows up to {known}"):
        upgrade(engine, MIGRATIONS[: known - 1])
    engine.dispose()
    assert held(at_work) == before


def test_a_first_shop_that_fails_at_any_statement_stays_what_it_was(tmp_path: Path) -> None:
    place = restored(1, tmp_path / "shop.db")
    before, number = place.read_bytes(), 0
    while True:
        with statements(number) as asked:
            try:
                open_store(str(place)).close()
                break
            except CannotOpen:
                pass
        assert place.read_bytes() == before, asked[-1]
        number += 1
    assert number > len(TO_2) + len(TO_3)


def record(shop: Shop, tag: str) -> str:
    """The job record of a part as text, in one line."""
    sheet = sheet_of(shop, tag)
    assert not isinstance(sheet, Refusal)
    return " ".join(as_text.text(sheet_page(sheet)).split())


def retyped(shop: Shop) -> Outcome:
    """Type the epoxy primer's sheet: no placeholder any more, and thicker."""
    with shop.store.reading() as session:
        told = sheet_text(products_of(session)["epoxy-primer"])
    typed = 'source = "sheet"\nplaceholder = []'
    told = told.replace('source = "placeholder"', typed).replace("100 um", "140 um")
    return done(set_product(shop, "Una", "epoxy-primer", told))


def test_what_was_done_before_the_upgrade_is_marked_with_the_sheet_as_of_the_upgrade(
    shop: Shop,
) -> None:
    assert "Figures placeholder as of the upgrade" in record(shop, "1")
    assert "as of the upgrade" not in record(shop, "4")


def test_a_sheet_typed_later_changes_no_record_of_a_part_that_left(shop: Shop) -> None:
    before = record(shop, "1")
    assert "40 / 60 / 100? um" in before
    retyped(shop)
    assert record(shop, "1") == before
    assert "40 / 60 / 140 um" in record(shop, "2")


def test_a_step_done_after_the_upgrade_says_when_its_sheet_was_typed(shop: Shop) -> None:
    retyped(shop)
    done(readings.take_reading(shop, "Una", air_c=19.0, rh_pct=50.0, metal_c=18.0))
    done(holds_and_rework.release(shop, "4", "Una"))
    done(holds_and_rework.skip(shop, "4", "Una", "already done"))
    done(steps.begin(shop, "4", "Una"))
    done(steps.finish(shop, "4", "Una"))
    done(testing.pass_test(shop, "4", "Una"))
    done(pots.mix(shop, "epoxy-primer", "Una", known=MixStart(need_ml=200)))
    done(steps.begin(shop, "4", "Una"))
    done(steps.finish(shop, "4", "Una", all_faces=True))
    assert "Figures data sheet as typed Mon 16 Jun 2025" in record(shop, "4")
    assert check(shop).faults == ()


def test_an_undone_sheet_and_an_export_keep_what_was_done_by_it(shop: Shop, tmp_path: Path) -> None:
    typed = retyped(shop)
    done(pots.mix(shop, "epoxy-primer", "Una", known=MixStart(need_ml=200)))
    done(undo.undo_line(shop, "Una", typed.line))
    done(pots.mix(shop, "epoxy-primer", "Una", known=MixStart(need_ml=200)))
    with shop.store.reading() as session:
        undone, present = list(session.scalars(select(col(MixRow.sheet_version))))[-2:]
        assert present == sheet_versions.present_key(session, "epoxy-primer") != undone
    assert check(shop).faults == (), "both versions are there still"
    out = StringIO()
    export_shop(shop, out)
    whole = read_export(out.getvalue().encode(), "shop.json")
    assert not isinstance(whole, Refusal)
    other = Shop(open_store(str(tmp_path / "other.db")), ManualClock(LEFT_AT), "test")
    done(import_shop(other, whole))
    assert check(other).faults == ()
    assert record(other, "1") == record(shop, "1")
    other.store.close()


def test_a_version_of_a_sheet_that_is_gone_or_changed_is_no_whole_data(shop: Shop) -> None:
    done(pots.mix(shop, "epoxy-primer", "Una", known=MixStart(need_ml=200)))
    with shop.store.writing() as session:
        session.execute(text("DELETE FROM sheet_version WHERE product = 'epoxy-primer'"))
        session.execute(text("UPDATE sheet_version SET product = 'other' WHERE product = 'gloss'"))
        session.commit()
    told = " ".join(check(shop).faults)
    assert "a version of the data sheet of other was changed" in told
    assert "of a data sheet is missing" in told

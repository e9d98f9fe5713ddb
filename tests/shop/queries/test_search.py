"""Any part of ten years is found again in under a second, by whatever is still known of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import TypeVar

import pytest
from sqlmodel import Session, SQLModel

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.log import log_page
from bench.shop.queries.search import FoundPart, SearchPage, find_parts
from bench.shop.records.gathering import sheet_of
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.store.schema.tables import JournalRow, PartRow, StepRow
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.living import done_once

from ..doing import done

T = TypeVar("T")

PARTS = 12_000
STEPS = 8
LINES = 10
LONGEST_S = 1.0
"""The bar; what is measured is some tens of milliseconds."""


def found(shop: Shop, words: str = "", **more: object) -> SearchPage:
    answer = find_parts(shop, words, **more)  # type: ignore[arg-type]
    assert isinstance(answer, SearchPage), answer
    return answer


def tags(answer: SearchPage) -> list[str]:
    return [part.tag for part in answer.parts]


@pytest.fixture
@done_once
def three(shop: Shop, clock: ManualClock) -> Shop:
    """A frame begun on the Monday, two lots on the Tuesday, one of them called after the frame."""
    where = {"route": "zinc-new", "job": "Trolley 7", "owner": "Rowing club"}
    done(placement.place(shop, 1, "Kit", shape="frame", **where))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(days=1)
    bracket = {"route": "steel-blasted", "shape": "bracket", "count": 14}
    done(placement.place(shop, 2, "Kit", job="Étagère", owner="Zoë", **bracket))
    done(steps.begin(shop, 2, "Kit"))
    done(placement.place(shop, 3, "Kit", name="Frame bolts 50%_", **bracket))
    return shop


ASKED = (
    ("1", ["1"]),
    ("7", ["1"]),
    ("frame", ["3", "1"]),
    ("FRAME rowing", ["1"]),
    ("étagère", ["2"]),
    ("ÉTAG", ["2"]),
    ("zoë", ["2"]),
    ("%", ["3"]),
    ("_", ["3"]),
    ("'; drop table part; --", []),
    ("frame axle", []),
    ("2025-06-09", ["1"]),
    ("10.6.2025", ["2"]),
    ("6.2025", ["2", "1"]),
    ("2025", ["2", "1"]),
    ("2024", []),
    ("", ["3", "2", "1"]),
)


def test_a_part_is_found_by_tag_name_job_owner_and_day(three: Shop) -> None:
    for words, expected in ASKED:
        assert tags(found(three, words)) == expected, words


def test_the_tag_itself_comes_first_and_then_the_newest(three: Shop) -> None:
    done(placement.place(three, 4, "Kit", route="zinc-new", shape="plate", tag="17"))
    done(placement.place(three, 5, "Kit", route="zinc-new", shape="plate", tag="7"))
    assert tags(found(three, "7")) == ["7", "17", "1"]


def test_job_owner_and_days_can_be_said_apart(three: Shop) -> None:
    assert tags(found(three, job="trolley")) == ["1"]
    assert tags(found(three, owner="trolley")) == []
    assert tags(found(three, since=date(2025, 6, 10))) == ["2"]
    assert tags(found(three, until=date(2025, 6, 9))) == ["1"]
    assert tags(found(three, "frame", since=date(2025, 6, 9), until=date(2025, 6, 9))) == ["1"]
    assert isinstance(find_parts(three, since=date(2025, 6, 9), until=date(2025, 6, 8)), Refusal)


def test_a_day_is_the_shops_own_from_midnight_to_midnight(shop: Shop, clock: ManualClock) -> None:
    # London is an hour ahead of UTC: 00:30 on the 10th is still the 9th there.
    clock.set(datetime(2025, 6, 9, 23, 30, tzinfo=UTC))
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(steps.begin(shop, 1, "Kit"))
    assert tags(found(shop, "2025-06-10")) == ["1"]
    assert tags(found(shop, "2025-06-09")) == []


def test_a_page_is_never_cut_silently(three: Shop) -> None:
    page = found(three, most=2)
    assert (tags(page), page.total) == (["3", "2"], 3)
    assert tags(found(three, most=2, skip=2)) == ["1"]
    assert isinstance(find_parts(three, most=0), Refusal)


def test_a_part_tells_where_it_is_and_when_it_was_worked_on(three: Shop) -> None:
    (frame,) = found(three, "1").parts
    assert isinstance(frame, FoundPart)
    assert (frame.stand, frame.away, frame.left_at) == (1, False, None)
    assert frame.begun_at == MONDAY
    done(holds_and_rework.hold(three, 1, "Kit", "other"))
    assert found(three, "1").parts == (frame,)


# --- ten years -----------------------------------------------------------------------------------


def quickest(work: Callable[[], T]) -> tuple[float, T]:
    """The best of three, in the time that this program had: others use this computer too."""
    took = []
    for _ in range(3):
        began = time.process_time()
        answer = work()
        took.append(time.process_time() - began)
    return min(took), answer


MADE = """
WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {count})
INSERT INTO {table} ({columns}) SELECT {values} FROM {table} AS t, n WHERE t.id = {like}
"""
"""Rows like one that is there, each with its own values: written by SQLite itself, in a moment."""


def more_like(session: Session, row: SQLModel, count: int, own: dict[str, str]) -> None:
    """``count`` rows like one, but for the values given as SQL over the number ``i``."""
    session.add(row)
    session.flush()
    table = str(row.__tablename__)
    columns = [name for name in type(row).model_fields if name != "id"]
    values = ", ".join(own.get(name, f't."{name}"') for name in columns)
    names = ", ".join(f'"{name}"' for name in columns)
    like = row.id  # type: ignore[attr-defined]
    statement = MADE.format(count=count, table=table, columns=names, values=values, like=like)
    session.connection().exec_driver_sql(statement)


@pytest.fixture(scope="module")
def ten_years(tmp_path_factory: pytest.TempPathFactory, seeds: Seeds) -> Iterator[Shop]:
    """Twelve thousand parts that left the bench, three or four a day, and their journal."""
    store = open_store(str(tmp_path_factory.mktemp("years") / "shop.db"))
    shop = Shop(store, ManualClock(MONDAY), "test")
    done(open_shop(shop, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London"}))
    first = f"{MONDAY - timedelta(days=3650):%Y-%m-%d %H:%M:%S}"
    day = f"datetime('{first}', (i * 3650 / {PARTS}) || ' days') || '.000000'"
    step_day = day.replace("i *", f"((i - 1) / {STEPS}) *")
    line_day = day.replace("i *", f"((i - 1) / {LINES}) *")
    part = {"substrate": "steel", "shape": "bracket", "route": "steel-blasted"}
    with store.writing() as session:
        whose = {"job": "'Job ' || (i / 30)", "owner": "'Owner ' || (i % 700)"}
        like = PartRow(tag="T0", name="Bracket", count=1, away=True, **part)
        more_like(session, like, PARTS, {"tag": "'T' || i", "left_at": day, **whose})
        plan = {"name": "x", "kind": "work"}
        when = {"first_at": step_day, "last_at": step_day}
        number = {
            "part_id": f"t.part_id + 1 + (i - 1) / {STEPS}",
            "number": f"1 + (i - 1) % {STEPS}",
        }
        step = StepRow(part_id=like.id or 0, number=1, plan=plan, status="done")
        more_like(session, step, PARTS * STEPS, {**when, **number})
        line = JournalRow(at=MONDAY, action="begin", painter="Kit", terminal="b", text="begun")
        tag = {"tag": f"'T' || (1 + (i - 1) / {LINES})", "at": line_day}
        more_like(session, line, PARTS * LINES, tag)
        session.commit()
    yield shop
    store.close()


@pytest.mark.parametrize(
    ("words", "total"),
    [
        ("T4711", 1),
        ("t4711 bracket", 1),
        ("T471", 11),
        ("owner", PARTS),
        ("Job 399", None),
        ("2019-03", None),
        ("12.3.2019 bracket", None),
        ("nobody", 0),
    ],
)
def test_a_part_of_ten_years_is_found_in_under_a_second(
    ten_years: Shop, words: str, total: int | None
) -> None:
    took_s, answer = quickest(lambda: found(ten_years, words))
    assert took_s < LONGEST_S
    assert answer.total == total or (total is None and answer.total > 0)


def test_its_sheet_and_its_journal_are_there_in_under_a_second(ten_years: Shop) -> None:
    took_s, (sheet, told) = quickest(
        lambda: (sheet_of(ten_years, "T4711"), log_page(ten_years, 50, "T4711"))
    )
    assert took_s < LONGEST_S
    assert not isinstance(sheet, Refusal)
    assert (len(sheet.steps), len(sheet.journal), len(told)) == (STEPS, LINES, LINES)

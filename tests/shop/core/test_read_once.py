"""An action asks the database no question twice and makes a step's row into plain values once.

What is counted is what SQLAlchemy sends to the database, and each reading of a row of a step.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import event

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view, mappers
from bench.shop.core.mappers import part_of
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.store.databases.database import Session
from bench.store.schema.tables import MixRow, ProductRow, ReadingRow
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import done, part

pytestmark = pytest.mark.sqlite

STEPS = 9
"""Of a frame from bare zinc on (seeds/routes)."""

TEN = datetime(2026, 3, 2, 10, tzinfo=UTC)
HOURS = ("first_at", "last_at", "passed_at", "not_before")

Act = Callable[[Shop], Outcome | Refusal]


@contextmanager
def asked(shop: Shop) -> Iterator[Counter[str]]:
    """Count what is asked of the database meanwhile: the statement with what was filled in."""
    found: Counter[str] = Counter()

    def ask(_: Any, __: Any, statement: str, parameters: Any, *___: Any) -> None:
        if statement.startswith("SELECT"):
            found[f"{statement} {parameters}"] += 1

    event.listen(shop.store._engine, "before_cursor_execute", ask)
    yield found
    event.remove(shop.store._engine, "before_cursor_execute", ask)


@pytest.fixture
def mapped(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The number of each step whose row was made into plain values, as often as it was."""
    numbers: list[int] = []
    real = mappers._record

    def counted(number: int, *rest: Any) -> Any:
        numbers.append(number)
        return real(number, *rest)

    monkeypatch.setattr(mappers, "_record", counted)
    return numbers


@pytest.fixture
@done_once
def frame(shop: Shop) -> Shop:
    """A frame whose etch primer is to be built up next, with a pot of it mixed."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    for _ in range(5):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))
    return shop


def begin(shop: Shop) -> Outcome | Refusal:
    """Begin the coat."""
    return steps.begin(shop, 1, "Kit")


def tick(shop: Shop) -> Outcome | Refusal:
    """Tick one face."""
    return steps.finish(shop, 1, "Kit", mark="TOP")


def finish(shop: Shop) -> Outcome | Refusal:
    """Tick what is left."""
    return steps.finish(shop, 1, "Kit", all_faces=True)


def passed(shop: Shop) -> Outcome | Refusal:
    """Test the coat."""
    return testing.pass_test(shop, 1, "Kit")


@pytest.mark.parametrize(
    ("before", "act", "again"),
    [
        pytest.param((), begin, 2, id="begin"),  # in hand, then taken: the reminders ask both
        pytest.param((begin,), tick, 1, id="tick"),
        pytest.param((begin, tick), finish, 1, id="finish"),
        pytest.param((begin, finish), passed, 0, id="passed"),
    ],
)
def test_an_action_reads_the_part_once_and_only_the_step_it_changes_again(
    frame: Shop,
    clock: ManualClock,
    mapped: list[int],
    before: tuple[Act, ...],
    act: Act,
    again: int,
) -> None:
    assert len(part(frame).steps) == STEPS
    for earlier in before:
        done(earlier(frame))
        clock.advance(hours=60)
    mapped.clear()
    with asked(frame) as questions:
        done(act(frame))
    twice = [question for question, times in questions.items() if times > 1]
    assert twice == []
    assert questions
    assert len(mapped) <= STEPS + again
    assert set(mapped) == set(range(1, STEPS + 1))


def test_what_an_action_changes_is_what_it_reads_next(frame: Shop, mapped: list[int]) -> None:
    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        assert job.part == part_of(job.row, job.steps)
        row = job.step_row(job.part.steps[5])
        for change, value in (
            ("status", "in hand"),
            ("painters", [painter]),
            ("first_at", job.act.now),
            ("marks", [{"name": "TOP"}]),
            ("flags", ["a run"]),
            ("plan", {**row.plan, "name": "Another"}),
        ):
            setattr(row, change, value)
            assert job.part == part_of(job.row, job.steps), f"{change} just set"
            job.act.session.flush()
            assert job.part == part_of(job.row, job.steps), f"{change} written"
        job.row.hold = "other"
        assert job.part.hold == "other"
        job.act.session.rollback()
        assert job.part == part_of(job.row, job.steps), "taken back"
        assert job.part.steps[5].status == "todo"
        return Refusal("nothing is changed by this")

    assert isinstance(act_on_part(frame, "begin", 1, "Kit", work), Refusal)


def test_what_an_action_changes_in_a_table_is_asked_for_again(frame: Shop) -> None:
    def work(job: PartAction, _: str) -> Outcome | Refusal:
        session = job.act.session
        assert [pot.name for pot in job.pots] == [job.products["etch-primer"].name]
        with asked(frame) as questions:
            assert job.pots
            assert job.products
        assert not questions, "it is known by now"
        sheet = session.get_one(ProductRow, "etch-primer")
        sheet.sheet = {**sheet.sheet, "name": "Another primer"}
        assert job.products["etch-primer"].name == "Another primer"
        assert [pot.name for pot in job.pots] == ["Another primer"]
        session.flush()
        session.get_one(MixRow, 1).binned_at = job.act.now
        session.flush()
        assert job.pots == ()
        return Refusal("nothing is changed by this")

    assert isinstance(act_on_part(frame, "begin", 1, "Kit", work), Refusal)
    assert bench_view.read_bench(frame).pots, "nothing was"


def warmer(session: Session) -> None:
    """Read the air as 35 C."""
    session.get_one(ReadingRow, 1).air_c = 35


def mixed_sooner(session: Session) -> None:
    """Mix the pot five minutes earlier."""
    session.get_one(MixRow, 1).mixed_at -= timedelta(minutes=5)


@pytest.mark.parametrize("change", [warmer, mixed_sooner])
def test_a_pot_ends_by_the_air_and_the_hour_as_an_action_leaves_them(
    frame: Shop, change: Callable[[Session], None]
) -> None:
    def work(job: PartAction, _: str) -> Outcome | Refusal:
        before = job.pots[0].bin_by
        change(job.act.session)
        sooner = job.pots[0].bin_by
        assert before
        assert sooner
        assert sooner < before
        job.act.session.rollback()
        assert job.pots[0].bin_by == before, "taken back"
        return Refusal("nothing is changed by this")

    assert isinstance(act_on_part(frame, "begin", 1, "Kit", work), Refusal)


def test_a_step_reads_alike_from_its_row_and_from_its_columns_as_text(frame: Shop) -> None:
    done(begin(frame))
    done(tick(frame))

    plain = {
        **{name: TEN + timedelta(hours=n) for n, name in enumerate(HOURS)},
        **{"status": "done", "passed_by": "Mo", "reason": "other", "number": 6},
    }

    def fill(job: PartAction, _: str) -> Outcome | Refusal:
        for name, value in plain.items():
            setattr(job.step_row(job.part.steps[5]), name, value)
        assert {name: getattr(job.part.steps[5], name) for name in plain} == plain
        return job.act.done("1", "filled in")

    def work(job: PartAction, _: str) -> Outcome | Refusal:
        assert {name: getattr(job.part.steps[5], name) for name in plain} == plain
        assert job.part == part(frame)
        return Refusal("nothing is changed by this")

    assert isinstance(act_on_part(frame, "begin", 1, "Kit", fill), Outcome)
    assert isinstance(act_on_part(frame, "begin", 1, "Kit", work), Refusal)


def test_a_picture_reads_again_only_the_steps_that_are_others(
    frame: Shop, mapped: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    bench_view.read_bench(frame)
    first = part(frame).steps
    done(begin(frame))
    second = part(frame).steps
    kept = [a is b for a, b in zip(first, second, strict=True)]
    assert kept == [True] * 5 + [False] + [True] * 3

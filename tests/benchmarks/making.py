"""Shops to measure on: stands that all count, and years of work written straight into the tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from itertools import islice
from math import sin, tau
from pathlib import Path
from typing import Any, TypeVar

from sqlmodel import Session, SQLModel, col, func, insert, select

from bench.clock import Clock, StillClock, SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import open_shop
from bench.store.databases.database import open_store
from bench.store.log.checksum_chain import chain
from bench.store.schema.tables import JournalRow, PartRow, StepRow
from tests.shop.doing import begin_over

T = TypeVar("T")

STEPS_OF_A_PART = 9
LINES_OF_A_PART = 20
"""So many deeds a finished part has in the journal."""


def shop_with(
    file: Path,
    *,
    stands: int = 24,
    past_parts: int = 0,
    reading_days: float = 0,
    clock: Clock | None = None,
) -> Shop:
    """A shop of which every stand counts seconds: every other one up, the others down.

    past_parts: finished in the ten years before; reading_days: a reading every ten minutes for so
    long, as a probe writes them.
    """
    shop = Shop(open_store(str(file)), clock or SystemClock(), "benchmark")
    _done(open_shop(shop, seed_files.load(seed_files.folder()), ("Kit", "Mo"), stands))
    now = shop.clock.now()
    with shop.store.writing() as session:
        _past(session, past_parts, now)
        _probed(session, now, reading_days)
        session.commit()
    _done(readings.take_reading(shop, "Kit", air_c=18.0, rh_pct=55.0, metal_c=18.0))
    for stand in range(1, stands + 1):
        _done(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame"))
        if stand % 2:
            _done(steps.begin(shop, stand, "Kit"))
        else:
            _coat(shop, stand)
    # As one that is started now: it has drawn nothing yet.
    return Shop(shop.store, shop.clock, "benchmark")


def _done(answer: Outcome | Refusal) -> None:
    assert isinstance(answer, Outcome), answer


def _coat(shop: Shop, stand: int) -> None:
    """Its first coat was laid some minutes ago, and flashes off."""
    placed = bench_view.read_bench(shop).on(stand)
    assert placed is not None
    kinds = [record.step.kind for record in placed.part.steps]
    for _ in range(kinds.index("coat")):
        _done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    begun, finished = (
        Shop(shop.store, StillClock(shop.clock, shop.clock.now() - timedelta(minutes=minutes)), "b")
        for minutes in (6, 2)
    )
    _done(begin_over(begun, stand, "Kit"))
    _done(steps.finish(finished, stand, "Kit", all_faces=True))


def _probed(session: Session, now: datetime, days: float) -> None:
    """Cold nights and warm days, winters and summers, to a tenth of a degree.

    Past SQLAlchemy, as half a million rows are: text as it stores instants.
    """
    ats = (now - timedelta(minutes=10 * n) for n in range(int(days * 24 * 6), 0, -1))
    rows = ((f"{at:%Y-%m-%d %H:%M:%S.%f}", weather_c(at.timestamp())) for at in ats)
    wanted = "INSERT INTO reading (at, air_c, rh_pct, painter) VALUES (?, ?, 60.0, 'probe')"
    for some in batched(rows):
        session.connection().exec_driver_sql(wanted, some)


def weather_c(at_s: float) -> float:
    """The air as a probe reads it."""
    turn = at_s / 86400
    return round(14 + 6 * sin(tau * turn / 365) + 3 * sin(tau * turn) + 0.2 * sin(at_s / 7), 1)


def _past(session: Session, count: int, now: datetime) -> None:
    """Parts that were finished and have left the bench, with their steps and their lines."""
    ago = [now - timedelta(days=1 + 3650 * n / max(count, 1)) for n in range(count)]
    part = PartRow(
        tag="", name="Bracket", count=1, substrate="zinc", shape="bracket", route="zinc-new"
    )
    away = ({"tag": f"P{n}", "away": True, "left_at": at} for n, at in enumerate(ago))
    _insert(session, part, away)
    first = (session.exec(select(func.max(col(PartRow.id)))).one() or 0) - count + 1
    plan = {"name": "Etch primer", "kind": "coat", "product": "etch-primer"}
    done = (
        {"part_id": first + n, "number": k, "first_at": at, "last_at": at, "sprayed": k > 4}
        for n, at in enumerate(ago)
        for k in range(1, STEPS_OF_A_PART + 1)
    )
    _insert(session, StepRow(part_id=0, number=0, plan=plan, status="done"), done)
    line = JournalRow(
        at=now, action="finish", painter="Kit", terminal="b", text="done", changes=[_CHANGE]
    )
    lines = ({"at": at, "tag": f"P{n}"} for n, at in enumerate(ago) for _ in range(LINES_OF_A_PART))
    _insert(session, line, lines)
    chain(session.connection())


_CHANGE = {"table": "setting", "before": {"key": "", "value": 1}, "after": {"key": "", "value": 2}}


def _insert(session: Session, like: SQLModel, rows: Iterable[dict[str, Any]]) -> None:
    """Rows that are like one but for some columns."""
    usual = like.model_dump(exclude={"id"})
    for some in batched(rows):
        session.connection().execute(insert(type(like)), [usual | row for row in some])


def batched(rows: Iterable[T], size: int = 20_000) -> Iterator[list[T]]:
    """Rows some at a time."""
    left = iter(rows)
    while some := list(islice(left, size)):
        yield some

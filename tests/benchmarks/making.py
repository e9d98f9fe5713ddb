"""Big shops to measure on, written straight into the tables: years of work in a second."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from bench.clock import Clock, SystemClock
from bench.process.refusal import Refusal
from bench.shop import parts, seeds, steps
from bench.shop.acting import Shop
from bench.shop.opening import open_shop
from bench.store.database import open_store
from bench.store.tables import JournalRow, PartRow, ReadingRow, StepRow


def shop_with(
    file: Path,
    *,
    stands: int = 24,
    past_parts: int = 0,
    reading_days: int = 0,
    clock: Clock | None = None,
) -> Shop:
    """A shop whose stands all count, with finished parts and a reading a minute behind it."""
    shop = Shop(open_store(str(file)), clock or SystemClock(), "benchmark")
    opened = open_shop(shop, seeds.load(seeds.folder()), ("Kit", "Mo"), stands)
    assert not isinstance(opened, Refusal)
    for stand in range(1, stands + 1):
        parts.place(shop, stand, "Kit", route="zinc-new", shape="frame")
        steps.begin(shop, stand, "Kit")
    now = shop.clock.now()
    with shop.store.writing() as session:
        _past(session, past_parts, now)
        minutes = reading_days * 24 * 60
        session.add_all(
            ReadingRow(
                at=now - timedelta(minutes=m + 1), air_c=18 + m % 7 * 0.5, rh_pct=60, painter="Kit"
            )
            for m in range(minutes)
        )
        session.commit()
    return shop


def _past(session: object, count: int, now: datetime) -> None:
    """Finished parts that have left the bench, with their steps and journal lines."""
    from sqlmodel import Session

    assert isinstance(session, Session)
    for number in range(count):
        part = PartRow(
            tag=f"P{number}",
            name="Bracket",
            count=1,
            substrate="zinc",
            shape="bracket",
            route="zinc-new",
            away=True,
        )
        session.add(part)
        session.flush()
        at = now - timedelta(days=1 + number % 3650)
        session.add_all(
            StepRow(
                part_id=part.id or 0,
                number=n,
                plan={"name": "x", "kind": "work"},
                status="done",
                first_at=at,
                last_at=at,
            )
            for n in range(1, 10)
        )
        session.add(
            JournalRow(
                at=at, action="place", painter="Kit", terminal="b", tag=part.tag, text="placed"
            )
        )

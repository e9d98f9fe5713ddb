"""Readings by painters and by probes."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.calendar.thermometers import COLDEST_READING_C, WARMEST_READING_C
from bench.process.clocks.reading_doubts import Doubt, doubt_of
from bench.process.clocks.temperature import Reading
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import readings_of, settings_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.queries import bench_rows
from bench.store.schema.tables import PROBE, ReadingRow, SettingRow


def take_reading(
    shop: Shop,
    by: str,
    *,
    air_c: float,
    rh_pct: float | None = None,
    metal_c: float | None = None,
    at: datetime | None = None,
    not_within: timedelta | None = None,
    jump: Doubt | None = None,
    back: str = "",
) -> Outcome | Refusal:
    """Write down air temperature, and humidity and metal temperature where they were read.

    by: a painter, or PROBE. not_within: refused where the same one wrote a reading down so lately,
    on whatever terminal. jump: a probe's, which a second reading confirmed; a painter is asked
    about it. back: which probe answers again after how long, for the log.
    """
    for what, value in (("air", air_c), ("metal", metal_c), ("humidity", rh_pct)):
        if value is not None and (refused := unlikely(what, value)):
            return refused
    with shop.act("reading", by) as act:
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        painter = PROBE if by == PROBE else act.painter()
        if isinstance(painter, Refusal):
            return painter
        if not_within is not None and _lately(act, painter, not_within):
            return Refusal("a reading was recorded just now", "", "this one is not needed")
        if jump is not None:
            _ask(act, when, jump)
        act.session.add(
            ReadingRow(at=when, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c, painter=painter)
        )
        words = f"air {air_c:g} C"
        words += f", {rh_pct:g} %" if rh_pct is not None else ""
        words += f", surface {metal_c:g} C" if metal_c is not None else ""
        words += f"; {back}" if back else ""
        return act.write(painter, "", f"reading {act.hour(when)}: {words}")


def _ask(act: Transaction, when: datetime, jump: Doubt) -> None:
    """Keep a probe's jump until a painter answers; the first of several stays."""
    house = act.session.get_one(SettingRow, "house")
    if house.value.get("jump"):
        return
    before = next(
        (reading for reading in readings_of(act.session, when) if reading.at < when), None
    )
    questions = {
        "since": when.isoformat(),
        "what": jump.what,
        "c": jump.c,
        "was_c": jump.before_c,
        "before_c": jump.before_c if before is None else before.paint_c,
        "apart": jump.apart,
    }
    house.value = {**house.value, "jump": questions}


def answer_jump(shop: Shop, by: str, *, right: bool) -> Outcome | Refusal:
    """Say whether a probe's jump is right: else what the probes read since is taken away."""
    with shop.act("probe answered", by) as act:
        jump = act.house.hours.unanswered
        if jump is None:
            return Refusal("no probe's reading waits for an answer", "", "nothing was changed")
        house = act.session.get_one(SettingRow, "house")
        house.value = {**house.value, "jump": {}}
        if right:
            return act.done("", f"the probe's jump to {jump.c:g} C is right")
        for row in bench_rows.readings_since(act.session, jump.since):
            if row.painter == PROBE and row.at >= jump.since:
                act.session.delete(row)
        return act.done("", f"the probe's jump to {jump.c:g} C is wrong: its readings since go")


def type_reading(
    shop: Shop,
    by: str,
    *,
    air_c: float,
    rh_pct: float | None = None,
    metal_c: float | None = None,
    at: datetime | None = None,
    sure: bool = False,
) -> Outcome | Refusal:
    """Write down what a painter read, as ``take_reading``; one far off the last asks first.

    sure: the painter was asked, and says that it is right.
    """
    if not sure and (question := asked_about(shop, air_c=air_c, metal_c=metal_c, at=at)):
        return Refusal(question, "", "read it again; if it is right say so with --sure")
    return take_reading(shop, by, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c, at=at)


def asked_about(
    shop: Shop, *, air_c: float, metal_c: float | None = None, at: datetime | None = None
) -> str:
    """Give the question about a typed reading far off the last one, empty where there is none."""
    with shop.store.reading() as session:
        house = settings_of(session)
    when = at or shop.clock.now()
    doubt = doubt_of(Reading(when, air_c, None, metal_c), believed(shop, when), house.doubt_c)
    local_now = shop.clock.now().astimezone(house.hours.zone)
    return doubt.question(local_now, house.units) if doubt else ""


def believed(shop: Shop, at: datetime | None = None) -> list[Reading]:
    """Give the readings of the last day up to an instant or to now, newest first.

    The last one is among them however old it is. All that are written down are believed.
    """
    until = at or shop.clock.now()
    with shop.store.reading() as session:
        readings = readings_of(session, until - timedelta(days=1))
    return [reading for reading in reversed(readings) if reading.at <= until]


def unlikely(what: str, value: float) -> Refusal | None:
    """Return why a figure of a reading cannot be. what: its name; value: C, of humidity %."""
    if what == "humidity":
        fits = 0 < value <= 100
        return (
            None
            if fits
            else Refusal(f"humidity {value:g} %", "", "must be more than 0, up to 100 %")
        )
    if COLDEST_READING_C <= value <= WARMEST_READING_C:
        return None
    right = f"from {COLDEST_READING_C:g} to {WARMEST_READING_C:g} C; read it again"
    return Refusal(f"{what} {value:g} C", "", right)


def _lately(act: Transaction, by: str, within: timedelta) -> bool:
    last = bench_rows.last_reading_by(act.session, by)
    return last is not None and act.now - last.at < within

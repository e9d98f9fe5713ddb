"""Instruments: added, calibrated, their next check, and gone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import isfinite

from bench.process.refusals.refusal import Refusal
from bench.process.stock.instruments import (
    INSTRUMENT_KINDS,
    THERMOMETER,
    Instrument,
    instrument_words,
)
from bench.process.wording.text_rules import clean_name
from bench.shop.core.mappers import instrument_of, instruments_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.databases.database import Session
from bench.store.queries import measurement_rows
from bench.store.schema.tables import InstrumentRow

MOST_INSTRUMENTS = 40


def instruments(shop: Shop) -> tuple[Instrument, ...]:
    """List the instruments, those that are gone too, by name."""
    with shop.store.reading() as session:
        return tuple(instruments_of(session).values())


def surface_error_c(session: Session) -> float:
    """Give the largest error of the surface thermometers in use, in C; 0 where none is recorded."""
    every = instruments_of(session).values()
    errors = (each.error for each in every if each.kind == THERMOMETER and not each.gone)
    return max((error for error in errors if error is not None), default=0.0)


def add_instrument(
    shop: Shop,
    by: str,
    name: str,
    *,
    kind: str,
    number: str = "",
    error: float | None = None,
    calibrated: date | None = None,
    check_by: date | None = None,
) -> Outcome | Refusal:
    """Add an instrument. error: of one reading, over 0 to 100, in its kind's unit."""
    with shop.act("instrument", by) as act:
        clean = clean_name(name, "its name")
        if isinstance(clean, Refusal):
            return clean
        clean_number = clean_name(number, "its number") if number else ""
        if isinstance(clean_number, Refusal):
            return clean_number
        if kind not in INSTRUMENT_KINDS:
            right = f"one of {', '.join(INSTRUMENT_KINDS)}"
            return Refusal(f"no kind of instrument '{kind[:20]}'", "", right)
        if error is not None and not (isfinite(error) and 0 < error <= 100):
            return Refusal(f"an error of {error:g}", "", "over 0, up to 100")
        rows = measurement_rows.instruments(act.session)
        if any(row.name.casefold() == clean.casefold() for row in rows):
            return Refusal(f"there is an instrument {clean} already", "", "another name")
        if len(rows) >= MOST_INSTRUMENTS:
            return Refusal(f"{len(rows)} instruments", "", f"{MOST_INSTRUMENTS} at most")
        if refused := _odd_days(act, calibrated, check_by):
            return refused
        row = InstrumentRow(name=clean, kind=kind, number=clean_number, error=error)
        _write_days(row, calibrated, check_by)
        act.session.add(row)
        return act.done("", f"instrument added: {instrument_words(instrument_of(row))}")


def calibrate(
    shop: Shop, by: str, name: str, *, calibrated: date, check_by: date | None = None
) -> Outcome | Refusal:
    """Write down when an instrument was calibrated, and when it is checked next."""

    def work(act: Transaction, row: InstrumentRow) -> Outcome | Refusal:
        if refused := _odd_days(act, calibrated, check_by):
            return refused
        row.check_by = ""
        _write_days(row, calibrated, check_by)
        return act.done("", f"instrument calibrated: {instrument_words(instrument_of(row))}")

    return _on_instrument(shop, "calibrate", by, name, work)


def set_check(shop: Shop, by: str, name: str, *, check_by: date) -> Outcome | Refusal:
    """Write down when an instrument is checked next."""

    def work(act: Transaction, row: InstrumentRow) -> Outcome | Refusal:
        calibrated = instrument_of(row).calibrated
        if refused := _odd_days(act, calibrated, check_by):
            return refused
        _write_days(row, calibrated, check_by)
        return act.done("", f"{row.name}: its next check is due {check_by}")

    return _on_instrument(shop, "instrument check", by, name, work)


def retire(shop: Shop, by: str, name: str) -> Outcome | Refusal:
    """Write down that an instrument is no longer used; the records that name it keep it."""

    def work(act: Transaction, row: InstrumentRow) -> Outcome | Refusal:
        row.gone = True
        return act.done("", f"instrument {row.name} is gone")

    return _on_instrument(shop, "instrument gone", by, name, work)


def _on_instrument(
    shop: Shop,
    action: str,
    by: str,
    name: str,
    work: Callable[[Transaction, InstrumentRow], Outcome | Refusal],
) -> Outcome | Refusal:
    with shop.act(action, by) as act:
        here = [row for row in measurement_rows.instruments(act.session) if not row.gone]
        found = (row for row in here if row.name.casefold() == name.strip().casefold())
        row = next(found, None)
        if row is None:
            names = ", ".join(each.name for each in here) or "none is recorded"
            return Refusal(f"no instrument '{name[:40]}'", "", f"one of {names}")
        return act.unseen(row) or work(act, row)


def _odd_days(act: Transaction, calibrated: date | None, check_by: date | None) -> Refusal | None:
    today = act.local_now.date()
    if calibrated is not None and calibrated > today:
        return Refusal(f"calibrated {calibrated}", f"today is {today}", "a day that was")
    if calibrated is not None and check_by is not None and check_by <= calibrated:
        return Refusal(f"check due {check_by}", f"calibrated {calibrated}", "a later day")
    return None


def _write_days(row: InstrumentRow, calibrated: date | None, check_by: date | None) -> None:
    row.calibrated = calibrated.isoformat() if calibrated else row.calibrated
    row.check_by = check_by.isoformat() if check_by else row.check_by

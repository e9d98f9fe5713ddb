"""Mixing and binning: the clock of a pot starts when hardener meets base."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime, timedelta

from bench.process.mixing import Known, mix_for
from bench.process.pots import pot_ends
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.reminders import spray_line
from bench.shop.acting import Act, Done, Shop
from bench.shop.rows import products_of, tools_of
from bench.shop.sight import surroundings
from bench.store import finding
from bench.store.tables import MixRow
from bench.trade.mixing import Mix

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def mix(
    shop: Shop,
    product: str,
    by: str,
    *,
    known: Known | None = None,
    thinner_pct: float | None = None,
    at: datetime | None = None,
) -> Done | Refusal:
    """Record a mix and start its pot clock.

    known: how much is needed, left or poured; None for what is only activated, such as a
    two-pack aerosol.
    """
    with shop.act("mix", by) as act:
        sheets = products_of(act.session)
        sheet = sheets.get(product)
        if sheet is None:
            return Refusal(f"no product '{product[:40]}'", "", f"one of {', '.join(sheets)}")
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        worked = _worked(sheet, known, thinner_pct)
        if isinstance(worked, Refusal):
            return worked
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        return _record(act, sheet, sheets, worked, painter, when)


def _worked(sheet: Product, known: Known | None, thinner_pct: float | None) -> Mix | Refusal | None:
    if known is not None:
        return mix_for(sheet, known, thinner_pct)
    if sheet.ratio is not None:
        return Refusal(
            f"how much {sheet.name} is not said", "", "say how much is needed, left, or poured"
        )
    if not sheet.keeps_a_pot_clock:
        return Refusal(f"{sheet.name} is not mixed", "", "it comes ready in its tin")
    return None


def _record(
    act: Act,
    sheet: Product,
    sheets: dict[str, Product],
    worked: Mix | None,
    painter: str,
    when: datetime,
) -> Done | Refusal:
    letter = _free_letter(act)
    if isinstance(letter, Refusal):
        return letter
    around = surroundings(act.session, act.house, sheets, act.now)
    bin_by, basis = pot_ends(sheet, when, around.paint_c(when))
    act.session.add(
        MixRow(
            letter=letter,
            product=sheet.key,
            mixed_at=when,
            use_from=when + timedelta(seconds=sheet.induction_s),
            bin_by=bin_by,
            basis=basis,
            total_ml=worked.total_ml if worked else None,
            pours=[asdict(pour) for pour in worked.pours] if worked else [],
            painter=painter,
        )
    )
    tool = tools_of(act.session).get(sheet.tool)
    if tool is not None:
        act.notes.append(spray_line(sheet, tool))
    much = f"{worked.total_ml:.0f} ml " if worked else ""
    told = f"pot {letter}: {much}{sheet.name}"
    if bin_by is not None:
        told += f", bin by {act.hour(bin_by)}"
    return act.done("", told)


def _free_letter(act: Act) -> str | Refusal:
    used = {row.letter for row in finding.open_pots(act.session)}
    free = [letter for letter in LETTERS if letter not in used]
    return free[0] if free else Refusal("26 pots are open", "", "bin some first")


def bin_pot(shop: Shop, letter: str, by: str) -> Done | Refusal:
    """Empty or bin a pot. No coat's clock changes."""
    with shop.act("bin", by) as act:
        wanted = letter.strip().upper()
        row = next((pot for pot in finding.open_pots(act.session) if pot.letter == wanted), None)
        if row is None:
            return Refusal(f"no open pot {letter[:8]}")
        row.binned_at = act.now
        return act.done("", f"pot {row.letter} binned")

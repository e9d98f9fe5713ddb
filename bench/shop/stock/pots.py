"""Mixing, topping up, binning, flushing: the clock of a pot starts when hardener meets base."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import asdict, replace
from datetime import datetime

from bench.process.ahead.lookahead import leaves_a_window, mix_against
from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.pots import (
    Pot,
    loads_a_gun,
    outside_its_limits,
    pot_if_mixed,
    pot_off_ratio,
    pot_past_life,
    pot_to_take,
)
from bench.process.parts.spray_guidance import spray_line
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.safety.hazards import leftover_cautions
from bench.process.sheets.product import Product
from bench.process.stock.mixing import MOST_ML, MixStart, mix_for, too_much
from bench.process.wording.time_text import format_duration
from bench.shop.core.mappers import by_key, guns_of, parts_here, products_of, tools_of
from bench.shop.core.overrides import with_overrides
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.corrections.correction_effects import keep_clock, pot_now
from bench.shop.queries.lookahead import length_of, waits_for
from bench.shop.stock.tin_usage import bin_cans, take_for_mix
from bench.store.databases.database import Session
from bench.store.log import sheet_versions
from bench.store.queries import bench_rows
from bench.store.schema.tables import MixRow, StepRow
from bench.trade.mixing import Mix

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def mix(
    shop: Shop,
    product: str,
    by: str,
    *,
    known: MixStart | None = None,
    thinner_pct: float | None = None,
    at: datetime | None = None,
    tins: Sequence[int] = (),
    override: Override | None = None,
) -> Outcome | Refusal:
    """Record a mix, start its pot clock and take what is poured from the tins there are.

    known: how much is needed, left or poured; None for what is only activated, such as a
    two-pack aerosol. tins: numbers of tins to take instead of those whose turn it is. override:
    the reason for each one that is out of date, and for a mix that leaves no part a window.
    """
    with shop.act("mix", by) as act:
        sheets = products_of(act.session)
        sheet = by_key(sheets, product, "product")
        if isinstance(sheet, Refusal):
            return sheet
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        amounts = _mix_amounts(sheet, known, thinner_pct)
        if isinstance(amounts, Refusal):
            return amounts
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        row = _pot_row(act, sheet, sheets, amounts, painter, when)
        if isinstance(row, Refusal):
            return row
        pours = {pour.role: pour.ml for pour in amounts.pours} if amounts else {"": 0.0}
        overridden_rules = take_for_mix(
            act, row, sheet, sheets, pours, when, tins, override, _no_window(act, sheet, when)
        )
        if isinstance(overridden_rules, Refusal):
            return overridden_rules
        act.session.add(row)
        words = f"pot {row.letter}: "
        words += f"{amounts.total_ml:.0f} ml {sheet.name}" if amounts else sheet.name
        end = pot_now(act, row).end
        if end is not None:
            words += f", bin by {end.words(act.local_now)}"
        return act.done("", with_overrides(words, overridden_rules))


def _no_window(act: Transaction, sheet: Product, when: datetime) -> Sequence[Refusal]:
    """Why not to mix it at ``when``, for the parts whose next coat it is."""
    waiting = [part for part in parts_here(act.session) if waits_for(part, sheet.key)]
    environment = act.around(act.products, when, waiting)
    rest = pot_if_mixed(sheet, None, environment, when).use_from - when
    return mix_against(
        leaves_a_window(
            part,
            clocks_of(part, environment),
            environment,
            when,
            length_of(act.session, part, act.products),
            rest,
        )
        for part in waiting
    )


def _mix_amounts(
    sheet: Product, known: MixStart | None, thinner_pct: float | None
) -> Mix | Refusal | None:
    if known is not None:
        return mix_for(sheet, known, thinner_pct)
    if sheet.ratio is not None:
        return Refusal(
            f"how much {sheet.name} is not said", "", "say how much is needed, left, or poured"
        )
    if not sheet.keeps_a_pot_clock:
        return Refusal(f"{sheet.name} is not mixed", "", "it comes mixed in its tin")
    return None


def _pot_row(
    act: Transaction,
    sheet: Product,
    sheets: dict[str, Product],
    amounts: Mix | None,
    painter: str,
    when: datetime,
) -> MixRow | Refusal:
    """The pot as it begins, with the spray line for the notes."""
    letter = _free_letter(act)
    if isinstance(letter, Refusal):
        return letter
    paint_c = act.around(sheets, when).paint_c(when)
    if outside := outside_its_limits(sheet, paint_c, act.house.units):
        act.notes.append(outside)
    tool = tools_of(act.session).get(sheet.tool)
    if tool is not None:
        act.notes.append(spray_line(sheet, tool, act.house.units))
    return MixRow(
        letter=letter,
        product=sheet.key,
        mixed_at=when,
        total_ml=amounts.total_ml if amounts else None,
        pours=[asdict(pour) for pour in amounts.pours] if amounts else [],
        painter=painter,
        sheet_version=sheet_versions.present_key(act.session, sheet.key),
    )


def _free_letter(act: Transaction) -> str | Refusal:
    """One that no open pot has, and if there is a choice no pot whose paint is still in a gun."""
    rows = bench_rows.pots_here(act.session)
    letters = {row.letter for row in rows if row.binned_at is None}
    in_guns = {row.letter for row in rows if row.in_gun}
    free = sorted(set(LETTERS) - letters, key=lambda letter: (letter in in_guns, letter))
    return free[0] if free else Refusal("26 pots are open", "", "bin some first")


def top_up(
    shop: Shop,
    letter: str,
    by: str,
    *,
    known: MixStart,
    thinner_pct: float | None = None,
    tins: Sequence[int] = (),
    override: Override | None = None,
) -> Outcome | Refusal:
    """Pour a fresh mix into an open pot. The pot stays as old as its oldest drop.

    known: the fresh mix. tins: as in ``mix``. override: the reason for topping up a pot that is
    past its life or off its ratio, and for each tin that is out of date.
    """
    with shop.act("top up", by) as act:
        row = _open_pot(act, letter)
        if isinstance(row, Refusal):
            return row
        sheets = products_of(act.session)
        sheet = sheets.get(row.product)
        if sheet is None or row.total_ml is None:
            return Refusal(f"pot {row.letter} was not mixed", "", "a can cannot be topped up")
        fresh = mix_for(sheet, known, thinner_pct)
        if isinstance(fresh, Refusal):
            return fresh
        if row.total_ml + fresh.total_ml > MOST_ML:
            return too_much(row.total_ml + fresh.total_ml)
        pours = {pour.role: pour.ml for pour in fresh.pours}
        past = _spoilt(act, row)
        overridden_rules = take_for_mix(
            act, row, sheet, sheets, pours, act.now, tins, override, past
        )
        if isinstance(overridden_rules, Refusal):
            return overridden_rules
        return _write_top_up(act, row, sheet, fresh, overridden_rules)


def _spoilt(act: Transaction, row: MixRow) -> list[Refusal]:
    """Return the rules against paint in a pot that is off its ratio, or past its life."""
    pot, called = pot_now(act, row), f"pot {row.letter}"
    refusals = [pot_off_ratio(called, pot.off)] if pot.off else []
    if pot.end is not None and act.now >= pot.end.at:
        refusals.append(pot_past_life(called, pot.end.words(act.local_now)))
    return refusals


def _write_top_up(
    act: Transaction, row: MixRow, sheet: Product, fresh: Mix, overridden_rules: Sequence[str]
) -> Outcome | Refusal:
    assert row.total_ml is not None
    total_ml = row.total_ml + fresh.total_ml
    pours = [
        replace(pour, fill_to_ml=pour.fill_to_ml + row.total_ml, scale_to_g=None)
        for pour in fresh.pours
    ]
    at = act.now.isoformat()
    row.pours = [*row.pours, *({**asdict(pour), "at": at} for pour in pours)]
    row.total_ml = total_ml
    words = f"pot {row.letter} topped up: {fresh.total_ml:.0f} ml {sheet.name}"
    words += f", {total_ml:.0f} ml in all"
    end = pot_now(act, row).end
    if end is not None:
        words += f", still bin by {end.words(act.local_now)}"
        act.notes.append(_age_words(act, row.mixed_at, end))
    return act.done("", with_overrides(words, overridden_rules))


def _age_words(act: Transaction, mixed_at: datetime, end: Edge) -> str:
    age_s = (act.now - mixed_at).total_seconds()
    life_s = (end.at - mixed_at).total_seconds()
    life = f"{format_duration(life_s)}{end.doubt}"
    words = f"OLD POT, {format_duration(age_s)} of {life}: the whole mix keeps that end"
    return words + (". Better a fresh small cup" if age_s > life_s / 2 else "")


def bin_pot(shop: Shop, letter: str, by: str, *, left_ml: float | None = None) -> Outcome | Refusal:
    """Empty or bin a pot. No coat's clock changes.

    left_ml: how much of it was left and is thrown away; None where nobody measured.
    """
    with shop.act("bin", by) as act:
        row = _open_pot(act, letter)
        if isinstance(row, Refusal):
            return row
        most_ml = MOST_ML if row.total_ml is None else row.total_ml
        if left_ml is not None and not 0 <= left_ml <= most_ml:
            return Refusal(f"{left_ml:g} ml left", "", f"from 0 to the {most_ml:.0f} ml of the pot")
        row.binned_at, row.binned_ml = act.now, left_ml
        keep_clock(act, row)
        if row.total_ml is None:
            bin_cans(act, row, left_ml)
        if row.in_gun:
            act.notes.append(f"every gun of pot {row.letter} is still to be flushed")
        act.notes += leftover_cautions(products_of(act.session).get(row.product))
        rest = "" if left_ml is None else f", {left_ml:.0f} ml left in it"
        return act.done("", f"pot {row.letter} binned{rest}")


def _open_pot(act: Transaction, letter: str) -> MixRow | Refusal:
    pot_letter = letter.strip().upper()
    pots = bench_rows.open_pots(act.session)
    match = next((pot for pot in pots if pot.letter == pot_letter), None)
    row = match or (bench_rows.last_pot(act.session, pot_letter) if pot_letter.isalpha() else None)
    if row is not None and (conflict := act.unseen(row)):
        return conflict
    letters = ", ".join(pot.letter for pot in pots) or "none"
    return match or Refusal(f"no open pot {letter[:8]}", "", f"open: {letters}")


# --- guns ----------------------------------------------------------------------------------------


def take_from(
    rows: Iterable[MixRow],
    step: StepRow,
    product: Product | None,
    pots: Collection[Pot],
    when: datetime,
) -> MixRow | None:
    """Choose the pot a coat, or a face of it, is sprayed from: the newest one in use.

    It loads the gun. rows: of the pots.
    """
    pot = pot_to_take(product.key, pots, when) if product else None
    if product is None or pot is None:
        return None
    row = next(row for row in rows if row.letter == pot.letter)
    if loads_a_gun(product, sprayed=step.sprayed):
        row.in_gun = True
    return row


def pot_of_face(
    session: Session,
    rows: Sequence[MixRow],
    step: StepRow,
    product: Product | None,
    pots: Collection[Pot],
    when: datetime,
) -> int | None:
    """Say from which pot a face was sprayed: the coat's own, or one mixed since it ran out.

    A newer pot that another coat in hand is sprayed from is that coat's. rows: of the pots.
    """
    if step.mix_id is None:
        return None
    own = step.pots()[-1]
    if not rows:
        return own
    others = [coat for coat in bench_rows.sprayed_from(session, rows) if coat.id != step.id]
    taken = {pot for coat in others if coat.status == "in hand" for pot in coat.pots()}
    free = [row for row in rows if row.id == own or row.id not in taken]
    letters = {row.letter for row in free}
    row = take_from(free, step, product, [pot for pot in pots if pot.letter in letters], when)
    return row.id if row is not None else own


def flush(shop: Shop, letter: str, by: str) -> Outcome | Refusal:
    """Flush every gun that was loaded from a pot, whether the pot is binned by now or not."""
    with shop.act("flush", by) as act:
        pot_letter = letter.strip().upper()
        in_guns = [row for row in bench_rows.pots_here(act.session) if row.in_gun]
        rows = [row for row in in_guns if row.letter == pot_letter]
        for pot_row in rows or filter(None, [bench_rows.last_pot(act.session, pot_letter)]):
            if conflict := act.unseen(pot_row):
                return conflict
        if not rows:
            letters = ", ".join(sorted({row.letter for row in in_guns})) or "none"
            return Refusal(f"no gun is loaded from pot {letter[:8]}", "", f"loaded: {letters}")
        environment = act.around(products_of(act.session), rows[0].mixed_at)
        guns = guns_of(act.session, rows, environment)
        cautions = (text for gun in guns for text in gun.cautions)
        act.notes += dict.fromkeys(cautions)
        for row in rows:
            row.in_gun = False
            keep_clock(act, row)
        return act.done("", f"every gun of pot {pot_letter} flushed")

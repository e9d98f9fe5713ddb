"""Putting right what was read off a thermometer, and what was poured into a pot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bench.process.correcting import off_ratio
from bench.process.mixing import MOST_ML
from bench.process.refusal import Refusal
from bench.process.spoken import day_words
from bench.process.temperature import COLDEST_C, WARMEST_C
from bench.shop.acting import Act, Done, Shop
from bench.shop.history import touched
from bench.shop.moving import Change, clocks_now, corrected, keep_clock
from bench.shop.rows import products_of
from bench.store import past, stock
from bench.store.journal import CORRECT
from bench.store.tables import MixRow, ReadingRow

COLUMNS = {"air": "air_c", "humidity": "rh_pct", "metal": "metal_c"}
"""What a reading has."""


def reading_of_line(shop: Shop, line: int) -> int | Refusal:
    """The number of the reading that a line of the journal is about."""
    return _only(shop, line, str(ReadingRow.__tablename__), "reading")


def pot_of_line(shop: Shop, line: int) -> int | Refusal:
    """The number of the pot that a line of the journal is about."""
    return _only(shop, line, str(MixRow.__tablename__), "pot")


def _only(shop: Shop, line: int, table: str, what: str) -> int | Refusal:
    with shop.store.reading() as session:
        row = past.line_numbered(session, line)
        if row is None:
            return Refusal(f"no line {line} in the journal", "", "read its number again")
        numbers = touched(row, table)
        if len(numbers) != 1:
            return Refusal(f"line {line} is about no {what}", row.text, f"the line of its {what}")
        return numbers.pop()


def figures_of(shop: Shop, number: int) -> tuple[datetime, dict[str, float | None]] | Refusal:
    """When a reading was taken and what it says, as ``correct_reading`` takes it."""
    with shop.store.reading() as session:
        row = session.get(ReadingRow, number)
        if row is None:
            return Refusal(f"no reading {number}", "", "read its line again")
        return row.at, {what: getattr(row, name) for what, name in COLUMNS.items()}


@dataclass(frozen=True)
class PotTold:
    """A pot as it was written down. pours: roles and ml in order; a can has none."""

    letter: str
    mixed_at: datetime
    pours: tuple[tuple[str, float], ...]


def pot_of(shop: Shop, number: int) -> PotTold | Refusal:
    """A pot as ``correct_pours`` and ``correct_mixed`` take it."""
    with shop.store.reading() as session:
        row = session.get(MixRow, number)
        if row is None:
            return Refusal(f"no pot {number}", "", "read its line again")
        return pot_told(row)


def pot_told(row: MixRow) -> PotTold:
    """A pot as plain values."""
    pours = tuple((str(pour["role"]), float(pour["ml"])) for pour in row.pours)
    return PotTold(row.letter, row.mixed_at, pours)


def correct_reading(
    shop: Shop, number: int, by: str, reason: str, figures: Mapping[str, float | None]
) -> Done | Refusal:
    """A reading's figures were read or typed wrong.

    figures: of air, humidity (%) and metal (C) those that are other; None: nobody read it.
    """
    with shop.act(CORRECT, by) as act:
        why = act.reason(reason)
        if isinstance(why, Refusal):
            return why
        row = act.session.get(ReadingRow, number)
        if row is None:
            return Refusal(f"no reading {number}", "", "read its line again")
        if first := act.unseen(row):
            return first
        before = clocks_now(act)
        olds: list[str] = []
        news: list[str] = []
        for what, new in figures.items():
            refused = _bad(what, new)
            if refused is not None:
                return refused
            old = getattr(row, COLUMNS[what])
            if new != old:
                olds.append(_figure(what, old))
                news.append(_figure(what, new))
                setattr(row, COLUMNS[what], new)
        if not news:
            return Refusal("that is what is written down", "", "nothing to put right")
        act.session.flush()
        local = row.at.astimezone(act.local_now.tzinfo)
        change = Change(f"read by {row.painter}", ", ".join(olds), ", ".join(news))
        return corrected(act, "", f"reading of {day_words(local)}", change, why, before)


def _bad(what: str, value: float | None) -> Refusal | None:
    if what not in COLUMNS:
        return Refusal(f"no {what[:20]} in a reading", "", f"one of {', '.join(COLUMNS)}")
    if value is None:
        no_air = Refusal("a reading without the air", "", "undo it, or say what the air was")
        return no_air if what == "air" else None
    if what == "humidity":
        fits = 0 < value <= 100
        return None if fits else Refusal(f"humidity {value:g} %", "", "over 0, up to 100 %")
    if COLDEST_C <= value <= WARMEST_C:
        return None
    right = f"from {COLDEST_C:g} to {WARMEST_C:g} C; read it again"
    return Refusal(f"{what} {value:g} C", "", right)


def _figure(what: str, value: float | None) -> str:
    if value is None:
        return f"{what} not read"
    return f"{what} {value:g} {'%' if what == 'humidity' else 'C'}"


def pot_to_put_right(act: Act, number: int) -> MixRow | Refusal:
    """The pot with a number; not one that was changed unseen."""
    row = act.session.get(MixRow, number)
    if row is None:
        return Refusal(f"no pot {number}", "", "read its line again")
    return act.unseen(row) or row


def correct_pours(
    shop: Shop, number: int, by: str, reason: str, poured_ml: Mapping[int, float]
) -> Done | Refusal:
    """What was poured into a pot was another amount: its life, its tins and its flags follow.

    poured_ml: the right amount by the pour's place, from 1, in the order they went in.
    """
    with shop.act(CORRECT, by) as act:
        why = act.reason(reason)
        if isinstance(why, Refusal):
            return why
        row = pot_to_put_right(act, number)
        if isinstance(row, Refusal):
            return row
        refused = _bad_pours(row, poured_ml)
        if refused is not None:
            return refused
        before = clocks_now(act)
        olds: list[str] = []
        news: list[str] = []
        for place, ml in sorted(poured_ml.items()):
            pour = row.pours[place - 1]
            if ml != pour["ml"]:
                olds.append(f"{pour['role']} {pour['ml']:.0f} ml")
                news.append(f"{pour['role']} {ml:.0f} ml")
                _take_other(act, row, str(pour["role"]), ml - float(pour["ml"]))
        if not news:
            return Refusal("that is what is written down", "", "nothing to put right")
        _pour_again(act, row, poured_ml)
        mixed = day_words(row.mixed_at.astimezone(act.local_now.tzinfo))
        change = Change("poured", ", ".join(olds), ", ".join(news))
        return corrected(act, "", f"pot {row.letter} mixed {mixed}", change, why, before)


def _bad_pours(row: MixRow, poured_ml: Mapping[int, float]) -> Refusal | None:
    if not row.pours:
        return Refusal(f"pot {row.letter} was not mixed", "", "a can has no pours")
    for place, ml in poured_ml.items():
        if not 1 <= place <= len(row.pours):
            told = ", ".join(f"{n} {p['role']}" for n, p in enumerate(row.pours, start=1))
            return Refusal(f"no pour {place}", "", f"there are: {told}")
        if not 0 <= ml <= MOST_ML:
            return Refusal(f"{ml:g} ml", "", f"from 0 to {MOST_ML:.0f} ml")
    total_ml = sum(_amounts(row, poured_ml))
    if not 0 < total_ml <= MOST_ML:
        return Refusal("too much for one pot", f"{total_ml:.0f} ml", f"at most {MOST_ML:.0f} ml")
    if row.binned_ml is not None and row.binned_ml > total_ml:
        return Refusal(
            f"{row.binned_ml:.0f} ml of it were binned", f"{total_ml:.0f} ml in all", "more poured"
        )
    return None


def _amounts(row: MixRow, poured_ml: Mapping[int, float]) -> list[float]:
    return [
        poured_ml.get(place, float(pour["ml"])) for place, pour in enumerate(row.pours, start=1)
    ]


def _pour_again(act: Act, row: MixRow, poured_ml: Mapping[int, float]) -> None:
    """The pours with their lines, the pot's end, and what the coats from it have to say of it."""
    line_ml = 0.0
    pours: list[dict[str, Any]] = []
    by_role: dict[str, float] = {}
    for pour, ml in zip(row.pours, _amounts(row, poured_ml), strict=True):
        line_ml += ml
        share = ml / pour["ml"] if pour["ml"] else 0.0
        grams = {"g": pour["g"] * share} if pour.get("g") is not None else {}
        pours.append({**pour, **grams, "ml": ml, "fill_to_ml": line_ml, "scale_to_g": None})
        by_role[str(pour["role"])] = by_role.get(str(pour["role"]), 0.0) + ml
    row.pours, row.total_ml = pours, line_ml
    keep_clock(act, row)
    product = products_of(act.session).get(row.product)
    if product is not None and (off := off_ratio(product, by_role)):
        act.notes.append(f"pot {row.letter}: {off}")
        for coat in stock.coats_from_pots(act.session, [row]):
            coat.flags = [*coat.flags, f"as corrected its pot {row.letter} had {off}"]


def _take_other(act: Act, row: MixRow, role: str, more_ml: float) -> None:
    """So much more, or less, was taken from the last tin that the part of the mix came from."""
    for place in range(len(row.tins) - 1, -1, -1):
        taken = row.tins[place]
        tin = stock.tin(act.session, int(taken["id"]))
        if taken.get("role") != role or tin is None:
            continue
        ml = max(float(taken["ml"]) + more_ml, 0.0)
        left_ml = tin.left_ml - (ml - float(taken["ml"]))
        tin.left_ml = min(max(left_ml, 0.0), tin.size_ml)
        row.tins = [*row.tins[:place], {**taken, "ml": round(ml, 1)}, *row.tins[place + 1 :]]
        act.notes.append(f"tin {tin.id}: {tin.left_ml:.0f} ml left by the figures")
        return

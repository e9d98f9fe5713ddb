"""Facts of a reading and of a pot: its figures; when it was mixed, what was poured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from functools import partial
from typing import Any

from bench.process.actions.correction_rules import between
from bench.process.clocks.temperature import Reading
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MOST_ML, too_much
from bench.process.wording.time_text import date_words, day_words
from bench.shop.core.mappers import reading_of, settings_of
from bench.shop.core.transaction import Shop, Target, Transaction
from bench.shop.corrections.correction import Correction, with_day
from bench.shop.corrections.correction_effects import (
    Change,
    clocks_now,
    keep_clock,
    keep_topped_up,
    pot_now,
)
from bench.shop.corrections.questions import (
    CorrectableFact,
    FigureField,
    FiguresQuestion,
    Menu,
    hour_question,
)
from bench.shop.environment.readings import unlikely
from bench.shop.queries.log import rows_touched
from bench.store.queries import tin_rows
from bench.store.schema.tables import JournalRow, MixRow, ReadingRow, StepRow, TinRow

COLUMNS = {"air": "air_c", "humidity": "rh_pct", "metal": "metal_c"}
UNITS = {"air": "C", "humidity": "%", "metal": "C"}
"""What a reading has: where it stands in its row, and its unit."""

MOST_POTS = 8
"""So many pots a coat may have come from are offered, the newest first."""


@dataclass(frozen=True)
class FiguresOfReading(Correction):
    """A reading's figures were read or typed wrong.

    reading: its number, as ``reading_of_line`` gives it. figures: of air, humidity (%) and metal
    (C) those that are other; None: nobody read it.
    """

    word = "reading"
    help = "the figures of a reading"
    reading: int
    figures: Mapping[str, float | None] = field(default_factory=dict)

    def apply(self, act: Transaction, target: Target) -> Change | Refusal:
        """Write the figures that are another, and what rests on them."""
        row = act.session.get(ReadingRow, self.reading)
        if row is None:
            return no_row("reading", self.reading)
        if refused := act.unseen(row) or self._refusal():
            return refused
        other = {w: new for w, new in self.figures.items() if new != getattr(row, COLUMNS[w])}
        old = ", ".join(_figure(what, getattr(row, COLUMNS[what])) for what in other)
        for what, new in other.items():
            setattr(row, COLUMNS[what], new)
        local = row.at.astimezone(act.local_now.tzinfo)
        now = ", ".join(_figure(what, value) for what, value in other.items())
        return Change(f"read by {row.painter}", old, now, f"reading of {day_words(local)}")

    def _refusal(self) -> Refusal | None:
        for what, value in self.figures.items():
            if what not in COLUMNS:
                return Refusal(f"no {what[:20]} in a reading", "", f"one of {', '.join(COLUMNS)}")
            if what == "air" and value is None:
                return Refusal("a reading without the air", "", "undo it, or say what the air was")
            if value is not None and (refused := unlikely(what, value)):
                return refused
        return None

    @classmethod
    def offered(cls, reading: Reading) -> CorrectableFact:
        """Ask for all its figures. reading: with its hour in the shop's zone."""
        olds = {what: getattr(reading, name) for what, name in COLUMNS.items()}
        question = FiguresQuestion(
            [FigureField(w, UNITS[w], old, must=w == "air") for w, old in olds.items()],
            lambda new: cls(reading.number, dict(zip(COLUMNS, new, strict=True))),
        )
        old_words = ", ".join(_figure(what, old) for what, old in olds.items())
        return CorrectableFact("", f"Reading of {date_words(reading.at)}", old_words, question)


def _figure(what: str, value: float | None) -> str:
    called = "surface" if what == "metal" else what
    return f"{called} not read" if value is None else f"{called} {value:g} {UNITS[what]}"


@dataclass(frozen=True)
class HourOfMix(Correction):
    """Hardener met base at another hour: the pot's rest and its end follow.

    Refused ahead of now, after its first coat was begun, and after it was topped up or binned.
    """

    word = "mixed"
    help = "when a pot was mixed"
    pot: int
    at: datetime

    def apply(self, act: Transaction, target: Target) -> Change | Refusal:
        """Move the hour, and say of its coats whether the pot was past its life."""
        row, when, words_of = _pot(act, self.pot), act.when(self.at), with_day(act)
        if isinstance(row, Refusal):
            return row
        if isinstance(when, Refusal):
            return when
        coats = tin_rows.coats_from_pots(act.session, [row])
        after = [coat.first_at for coat in coats if coat.first_at]
        after += [datetime.fromisoformat(pour["at"]) for pour in row.pours if "at" in pour]
        after += [row.binned_at] if row.binned_at else []
        fit = between(when, (), after, words_of)
        if isinstance(fit, Refusal):
            return fit
        old, before = row.mixed_at, clocks_now(act)
        _set_mixing_hour(act, row, fit)
        keep_topped_up(act, before)
        for coat in coats:
            past_its_life(act, row, coat)
        return Change("mixed", words_of(old), words_of(fit), f"pot {row.letter}")

    @classmethod
    def offered(cls, pot: MixRow, zone: tzinfo) -> Iterator[CorrectableFact]:
        """Ask for the hour."""
        mixed_at = pot.mixed_at.astimezone(zone)
        yield hour_question(f"Pot {pot.letter}", "mixed", mixed_at, partial(cls, pot.id or 0))


def _pot(act: Transaction, number: int) -> MixRow | Refusal:
    """The pot with a number; not one that was changed unseen."""
    row = act.session.get(MixRow, number)
    return (act.unseen(row) or row) if row is not None else no_row("pot", number)


def _set_mixing_hour(act: Transaction, row: MixRow, at: datetime) -> None:
    """The pot and the lids that were lifted for it."""
    old, row.mixed_at = row.mixed_at, at
    for pour in row.tins:
        tin = act.session.get(TinRow, int(pour["id"]))
        if tin is not None and tin.opened_at == old:
            tin.opened_at = at
    keep_clock(act, row)


def past_its_life(act: Transaction, pot: MixRow, coat: StepRow) -> None:
    """Say on a coat, and to the painter, that its pot was over before its last face."""
    end = pot_now(act, pot).end
    if end is not None and (coat.last_at or act.now) > end.at:
        end_words = f"{with_day(act)(end.at)}{end.doubt}"
        flag = f"as corrected its pot {pot.letter} was past its life, {end_words}"
        coat.flags = [*coat.flags, flag]
        act.notes.append(flag)


@dataclass(frozen=True)
class PoursOfPot(Correction):
    """A pour into a pot was another amount: its life, its tins and its flags follow.

    ml: the right amount by the pour's place, from 1, in the order they went in.
    """

    word = "pot"
    help = "what was poured into a pot"
    pot: int
    ml: Mapping[int, float]

    def apply(self, act: Transaction, target: Target) -> Change | Refusal:
        """Write the amounts, take them from the tins, and say what its coats have to say of it."""
        row = _pot(act, self.pot)
        if isinstance(row, Refusal):
            return row
        if refused := _refused_pours(row, self.ml):
            return refused
        pours = [(row.pours[place - 1], ml) for place, ml in sorted(self.ml.items())]
        other = [(pour, ml) for pour, ml in pours if ml != pour["ml"]]
        for pour, ml in other:
            _take_other(act, row, str(pour["role"]), ml - float(pour["ml"]))
        _pour_again(act, row, self.ml)
        old = ", ".join(f"{pour['role']} {pour['ml']:.0f} ml" for pour, _ in other)
        new = ", ".join(f"{pour['role']} {ml:.0f} ml" for pour, ml in other)
        return Change("poured", old, new, f"pot {row.letter} mixed {with_day(act)(row.mixed_at)}")

    @classmethod
    def offered(cls, pot: MixRow) -> Iterator[CorrectableFact]:
        """Ask for every amount; of a can for none."""
        number = pot.id or 0
        question = FiguresQuestion(
            [FigureField(str(pour["role"]), "ml", float(pour["ml"])) for pour in pot.pours],
            lambda new: cls(number, {n: ml or 0.0 for n, ml in enumerate(new, start=1)}),
        )
        old_words = ", ".join(f"{pour['role']} {pour['ml']:.0f} ml" for pour in pot.pours)
        if pot.pours:
            yield CorrectableFact(f"Pot {pot.letter}", "poured", old_words, question)


def _refused_pours(row: MixRow, ml_by_place: Mapping[int, float]) -> Refusal | None:
    if not row.pours:
        return Refusal(f"pot {row.letter} was not mixed", "", "a can has no pours")
    for place, ml in ml_by_place.items():
        if not 1 <= place <= len(row.pours):
            numbers = ", ".join(f"{n} {p['role']}" for n, p in enumerate(row.pours, start=1))
            return Refusal(f"no pour {place}", "", f"there are: {numbers}")
        if not 0 <= ml <= MOST_ML:
            return Refusal(f"{ml:g} ml", "", f"from 0 to {MOST_ML:.0f} ml")
    total_ml = sum(_amounts(row, ml_by_place))
    if not 0 < total_ml <= MOST_ML:
        return too_much(total_ml)
    if row.binned_ml is not None and row.binned_ml > total_ml:
        return Refusal(
            f"{row.binned_ml:.0f} ml of it were binned", f"{total_ml:.0f} ml in all", "more poured"
        )
    return None


def _amounts(row: MixRow, ml_by_place: Mapping[int, float]) -> list[float]:
    return [ml_by_place.get(n, float(pour["ml"])) for n, pour in enumerate(row.pours, start=1)]


def _pour_again(act: Transaction, row: MixRow, ml_by_place: Mapping[int, float]) -> None:
    """The pours with their lines, the pot's end, and what the coats from it have to say of it."""
    line_ml = 0.0
    pours: list[dict[str, Any]] = []
    for pour, ml in zip(row.pours, _amounts(row, ml_by_place), strict=True):
        line_ml += ml
        share = ml / pour["ml"] if pour["ml"] else 0.0
        grams = {"g": pour["g"] * share} if pour.get("g") is not None else {}
        pours.append({**pour, **grams, "ml": ml, "fill_to_ml": line_ml, "scale_to_g": None})
    row.pours, row.total_ml = pours, line_ml
    keep_clock(act, row)
    off = pot_now(act, row).off
    if off:
        act.notes.append(f"pot {row.letter}: {off}")
    had = f"as corrected its pot {row.letter} had "
    for coat in tin_rows.coats_from_pots(act.session, [row]):
        flags = [flag for flag in coat.flags if not flag.startswith(had)]
        coat.flags = [*flags, f"{had}{off}"] if off else flags


def _take_other(act: Transaction, row: MixRow, role: str, more_ml: float) -> None:
    """So much more, or less, was taken from the last tin that the part of the mix came from."""
    for place in range(len(row.tins) - 1, -1, -1):
        pour = row.tins[place]
        tin = act.session.get(TinRow, int(pour["id"]))
        if pour.get("role") != role or tin is None:
            continue
        ml = max(float(pour["ml"]) + more_ml, 0.0)
        left_ml = tin.left_ml - (ml - float(pour["ml"]))
        tin.left_ml = min(max(left_ml, 0.0), tin.size_ml)
        row.tins = [*row.tins[:place], {**pour, "ml": round(ml, 1)}, *row.tins[place + 1 :]]
        act.notes.append(f"tin {tin.id}: {tin.left_ml:.0f} ml left by the figures")
        return


# --- which reading, which pot --------------------------------------------------------------------


def reading_of_line(shop: Shop, line: int) -> int | Refusal:
    """Return the number of the reading that a line of the journal is about."""
    return _only(shop, line, str(ReadingRow.__tablename__), "reading")


def pot_of_line(shop: Shop, line: int) -> int | Refusal:
    """Return the number of the pot that a line of the journal is about."""
    return _only(shop, line, str(MixRow.__tablename__), "pot")


def _only(shop: Shop, line: int, table: str, what: str) -> int | Refusal:
    with shop.store.reading() as session:
        row = session.get(JournalRow, line)
        if row is None:
            return Refusal(f"no entry {line} in the log", "", "read its number again")
        numbers = rows_touched(row, table)
        if len(numbers) != 1:
            return Refusal(f"line {line} is about no {what}", row.text, f"the line of its {what}")
        return numbers.pop()


def reading_fact(shop: Shop, number: int) -> CorrectableFact | Refusal:
    """Return the figures of a reading, as a fact to correct."""
    with shop.store.reading() as session:
        row = session.get(ReadingRow, number)
        if row is None:
            return no_row("reading", number)
        zone = settings_of(session).hours.zone
        return FiguresOfReading.offered(replace(reading_of(row), at=row.at.astimezone(zone)))


def pot_menu(shop: Shop, number: int) -> Menu | Refusal:
    """Return what of a pot can be corrected."""
    with shop.store.reading() as session:
        pot = session.get(MixRow, number)
        if pot is None:
            return no_row("pot", number)
        zone = settings_of(session).hours.zone
        facts = (*HourOfMix.offered(pot, zone), *PoursOfPot.offered(pot))
        label, title = f"pot {pot.letter}: mixed, poured", f"Pot {pot.letter}: what is wrong?"
        return Menu(label, title, facts)


def pots_it_may_be(shop: Shop, product: str, at: datetime) -> dict[int, str]:
    """Return the pots a coat begun at ``at`` may be from, in words by number, newest first."""
    with shop.store.reading() as session:
        zone = settings_of(session).hours.zone
        return {
            pot.id or 0: f"pot {pot.letter} mixed {date_words(pot.mixed_at.astimezone(zone))}"
            for pot in tin_rows.pots_mixed_before(session, product, at, MOST_POTS)
        }


def no_row(what: str, number: int) -> Refusal:
    """Return the refusal of a number that no reading, or no pot, has."""
    return Refusal(f"no {what} {number}", "", "read its line again")

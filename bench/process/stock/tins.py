"""Tins: whether one is still in date, which one a mix takes from, and what is left in it."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo

from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.wording.display_units import METRIC, ShopUnits, format_figures, quantity
from bench.process.wording.time_text import DAY, HOUR, MINUTE, doubt_mark, format_duration

ONE_PACK = "tin"
"""How a sheet names the one part of what is not mixed."""

SOON = timedelta(days=14)
"""How long before its end a tin is said to be near it (common practice, no source)."""

LOW_SHARE = 0.15
"""With less than this share of it left a tin is said to be low (common practice, no source)."""

SLACK_ML = 5.0
"""What is left in a tin is known no better: for so little no second lid is lifted."""

MOST_ML = 200_000.0
"""One drum; nobody has more in one at a bench."""

SIGNS = {
    "hardener": "cloudy, skinned, gelled or full of crystals: bin it",
    "activator": "gelled or seedy: bin it",
    "thinner": "cloudy from water: bin it",
}
"""What a dead one looks like, by its role (common practice, no source)."""


@dataclass(frozen=True)
class Tin:
    """One tin. number: as it is written on its lid; role is empty where nothing is mixed.

    opened_life_s: how long it keeps once it is open, None where the sheet says nothing; guessed:
    that figure is a placeholder. A figure of 0 ml left is what was taken, not what somebody saw.
    """

    number: int
    product: str
    name: str
    role: str
    batch: str
    size_ml: float
    left_ml: float
    came_at: datetime
    use_by: datetime | None = None
    opened_at: datetime | None = None
    empty_at: datetime | None = None
    price: float | None = None
    opened_life_s: float | None = None
    guessed: bool = False


@dataclass(frozen=True)
class TinPour:
    """So much is poured from a tin. short_ml: so much more than its figures say is in it."""

    tin: Tin
    ml: float
    short_ml: float = 0.0


def roles_of(product: Product) -> tuple[str, ...]:
    """Return the parts a product comes in tins of; one empty name where nothing is mixed."""
    if product.ratio is None:
        return ("",)
    roles = [share.role for share in product.ratio.shares]
    if product.thinner is not None and "thinner" not in roles:
        roles.append("thinner")
    return tuple(roles)


def opened_life_s(product: Product, role: str) -> float | None:
    """Give how long an opened tin of a part keeps, None where the product's sheet does not say."""
    return product.opened_life_s.get(role or ONE_PACK)


def good_until(tin: Tin) -> datetime | None:
    """Return the sooner of its use-by and its end once open; None where neither is known."""
    ends = [tin.use_by] if tin.use_by else []
    if tin.opened_at is not None and tin.opened_life_s is not None:
        ends.append(tin.opened_at + timedelta(seconds=tin.opened_life_s))
    return min(ends, default=None)


def out_of_date(tin: Tin, at: datetime) -> str:
    """Say why a tin is out of date at an instant, with the figure; empty while it is not."""
    reasons = []
    if tin.opened_at is not None and tin.opened_life_s is not None:
        open_s = (at - tin.opened_at).total_seconds()
        if open_s >= tin.opened_life_s:
            guess = doubt_mark(tin.guessed)
            keeps = format_duration(tin.opened_life_s)
            reasons.append(f"opened {days_words(open_s)} ago, keeps {keeps}{guess} once open")
    if tin.use_by is not None and at >= tin.use_by:
        reasons.append(f"its use-by was {day_of(tin.use_by)}")
    return "; ".join(reasons)


def days_words(seconds: float) -> str:
    """Return a length of time as a tin needs it: whole days, under one whole hours.

    >>> days_words(84.9 * 86400), days_words(3.9 * 3600), days_words(59)
    ('84 d', '3 h', '0 min')
    """
    for unit_s, unit in ((DAY, "d"), (HOUR, "h")):
        if seconds >= unit_s:
            return f"{seconds // unit_s:.0f} {unit}"
    return f"{max(seconds, 0) // MINUTE:.0f} min"


def tin_word(tin: Tin, now: datetime) -> str:
    """Return the tin's state: EMPTY, OLD (out of date), OPEN or SEALED."""
    if tin.empty_at is not None:
        return "EMPTY"
    if out_of_date(tin, now):
        return "OLD"
    return "OPEN" if tin.opened_at is not None else "SEALED"


def ends_soon(tin: Tin, now: datetime) -> bool:
    """Return whether its end is near, and not past."""
    end = good_until(tin)
    return end is not None and now < end <= now + SOON


def is_low(tin: Tin) -> bool:
    """Return whether there is little left in it, by the figures."""
    return tin.left_ml < LOW_SHARE * tin.size_ml


def tin_words(tin: Tin) -> str:
    """Say what it is called: "tin 7, hardener of Two-pack gloss 2:1"."""
    part = f"{tin.role} of " if tin.role else ""
    return f"tin {tin.number}, {part}{tin.name}"


def batch_words(tin: Tin) -> str:
    """Return its number and its batch: "7 (H-204)"."""
    return f"{tin.number} ({tin.batch or 'no batch number'})"


def in_date(tin: Tin, at: datetime) -> Refusal | None:
    """Return the rule against a tin that is out of date; a painter may go on with a reason."""
    why = out_of_date(tin, at)
    if not why:
        return None
    signs = SIGNS.get(tin.role, "gelled, seedy or hard settled: bin it")
    remedy = f"open a fresh one. {signs[0].upper()}{signs[1:]}"
    rule = f"{tin_words(tin)}, is out of date"
    return rules.TIN_OUT_OF_DATE.refuses(rule, why, remedy, str(tin.number))


def age_words(tin: Tin, now: datetime) -> str:
    """Say how long its lid has been off: "open 84 d", or "sealed"."""
    if tin.opened_at is None:
        return "sealed"
    return f"open {days_words((now - tin.opened_at).total_seconds())}"


def until_words(tin: Tin, now: datetime) -> str:
    """Say how long it is good: "good until 17 Sep 2025?", "OUT OF DATE: ..". now: local."""
    if tin_word(tin, now) == "OLD":
        return f"OUT OF DATE: {out_of_date(tin, now)}"
    end = good_until(tin)
    if end is None:
        return ""
    guess = doubt_mark(tin.guessed and end != tin.use_by)
    days = f" ({days_words((end - now).total_seconds())})"
    return f"good until {day_of(end.astimezone(now.tzinfo))}{guess}{days}"


def left_words(tin: Tin, units: ShopUnits = METRIC) -> str:
    """Say what is left of what: "420 of 500 ml"."""
    rest = format_figures(tin.left_ml, "ml", units, ".0f")
    return f"{rest} of {quantity(tin.size_ml, 'ml', units, '.0f')}"


# --- which tin is taken --------------------------------------------------------------------------


def in_turn(tins: Iterable[Tin], at: datetime) -> tuple[Tin, ...]:
    """Give the tins of one part in the order they are used up: those that are in date, or else all.

    Opened ones come first, then the one whose end is nearest, then the one that came first.
    """
    listed = [tin for tin in tins if tin.empty_at is None]
    sound = [tin for tin in listed if not out_of_date(tin, at)]
    return tuple(sorted(sound or listed, key=_turn))


def _turn(tin: Tin) -> tuple[bool, bool, float, int]:
    end = good_until(tin)
    return tin.opened_at is None, end is None, end.timestamp() if end else 0.0, tin.number


def pours_for(tins: Iterable[Tin], ml: float, at: datetime) -> tuple[TinPour, ...]:
    """Return what is poured from which tin for ``ml`` of one part; none where no tin is listed.

    A tin that runs out is followed by the next. Where all together hold less by their figures, the
    last gives the rest: the figures are wrong then, not the cup.
    """
    order = in_turn(tins, at)
    with_some = [tin for tin in order if tin.left_ml > 0] or list(order[:1])
    pours: list[TinPour] = []
    wanted_ml = ml
    for place, tin in enumerate(with_some):
        last = place == len(with_some) - 1
        if last or wanted_ml - tin.left_ml <= SLACK_ML:
            short_ml = max(wanted_ml - tin.left_ml, 0.0)
            pours.append(TinPour(tin, wanted_ml, short_ml if short_ml > SLACK_ML else 0.0))
            break
        pours.append(TinPour(tin, tin.left_ml))
        wanted_ml -= tin.left_ml
    return tuple(pours)


def group_alike(tins: Iterable[Tin]) -> tuple[tuple[Tin, ...], ...]:
    """Return the tins in their order, sealed ones that differ only in number together."""
    groups: dict[object, list[Tin]] = {}
    for tin in tins:
        same = replace(tin, number=0) if tin.opened_at is None else tin
        groups.setdefault(same, []).append(tin)
    return tuple(tuple(group) for group in groups.values())


def sound_ml(tins: Iterable[Tin], now: datetime) -> float:
    """Return how much is left in the tins that are in date, in ml."""
    return sum(t.left_ml for t in tins if t.empty_at is None and not out_of_date(t, now))


@dataclass(frozen=True)
class TinPlan:
    """What a mix takes: by its parts, from which tins; missing: the parts no tin is listed of.

    idle: tins of the same parts that are out of date and were passed over.
    """

    taken: tuple[tuple[str, TinPour], ...] = ()
    missing: tuple[str, ...] = ()
    idle: tuple[Tin, ...] = ()

    def against(self, at: datetime) -> tuple[tuple[Tin, Refusal], ...]:
        """Give the tins it would take although they are out of date, and the rule against each."""
        rules = ((pour.tin, in_date(pour.tin, at)) for _, pour in self.taken)
        return tuple((tin, refused) for tin, refused in rules if refused is not None)


def plan_mix(
    tins: Iterable[Tin],
    product: str,
    thinners: Collection[str],
    amounts_ml: Mapping[str, float],
    at: datetime,
    numbers: Collection[int] = (),
) -> TinPlan | Refusal:
    """Return which tins a mix of so much of each part is poured from.

    thinners: products that are thinner themselves, taken where the product has no thinner of its
    own. numbers: numbers of tins to take, for the parts they hold, in place of whose turn it is.
    """
    by_part = {role: _tins_of(tins, product, role, thinners) for role in amounts_ml}
    for number in numbers:
        if all(tin_by_number(of_part, number) is None for of_part in by_part.values()):
            parts = ", ".join(role for role in amounts_ml if role) or "it"
            return Refusal(f"tin {number} holds no part of this mix", "", f"name tins of {parts}")
    role_pours: list[tuple[str, TinPour]] = []
    idle: list[Tin] = []
    for role, ml in amounts_ml.items():
        of_part = by_part[role]
        choice = [tin for tin in of_part if tin.number in numbers] or of_part
        pours = pours_for(choice, ml, at)
        role_pours += [(role, pour) for pour in pours]
        used = {pour.tin.number for pour in pours}
        idle += [tin for tin in of_part if tin.number not in used and out_of_date(tin, at)]
    missing = tuple(role for role in amounts_ml if not by_part[role])
    return TinPlan(tuple(role_pours), missing, tuple(idle))


def _tins_of(
    tins: Iterable[Tin], product: str, role: str, thinners: Collection[str]
) -> tuple[Tin, ...]:
    listed = [tin for tin in tins if tin.empty_at is None]
    own = [tin for tin in listed if (tin.product, tin.role) == (product, role)]
    if own or role != "thinner":
        return tuple(own)
    return tuple(tin for tin in listed if tin.product in thinners)


def plan_words(plan: TinPlan) -> str:
    """Say the tins in one line: "base 4 (B-12), hardener 7 (H-204)"; empty without any."""
    return ", ".join(f"{role} {batch_words(pour.tin)}".strip() for role, pour in plan.taken)


def plan_notes(plan: TinPlan) -> tuple[str, ...]:
    """Return what the painter should know of the tins a mix was poured from, each in a line."""
    words = plan_words(plan)
    notes = [f"from tins: {words}"] if words else []
    if plan.missing:
        parts = " and ".join(role for role in plan.missing if role) or "it"
        notes.append(f"no tin of {parts} is listed: no batch number")
    for _, pour in plan.taken:
        if pour.short_ml:
            more = f"{pour.short_ml:.0f} ml more than its figures say was left"
            notes.append(f"tin {pour.tin.number}: {more}: count it")
    notes += [f"tin {tin.number} is out of date: bin it" for tin in plan.idle]
    return tuple(notes)


# --- use-by dates --------------------------------------------------------------------------------

FIRST_YEAR, LAST_YEAR = 2000, 2099
USE_BY_FIGURES = "month and year as 0327, or day, month and year as 310327"
_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})(?:-([0-9]{1,2}))?")


def read_use_by(text: str) -> date:
    """Return the last good day of "2027-03-31", or of the month "2027-03".

    Raises ValueError with what was read and what would be right.
    """
    match = _ISO.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"read {text[:40]!r}; wanted a use-by such as 2027-03-31 or 2027-03")
    year, month, day = (int(part) if part else 0 for part in match.groups())
    return _last_good_day(year, month, day, text)


def use_by_of_figures(figures: int) -> date:
    """Return the last good day of what a keypad can type: 327 is March 2027, 310327 its 31st.

    Raises ValueError with what was read and what would be right.
    """
    if not 101 <= figures <= 311299:
        raise ValueError(f"read {figures}; wanted {USE_BY_FIGURES}")
    day_and_month, year = divmod(figures, 100)
    day, month = divmod(day_and_month, 100)
    return _last_good_day(FIRST_YEAR + year, month, day, f"{figures}")


def _last_good_day(year: int, month: int, day: int, text: str) -> date:
    if not FIRST_YEAR <= year <= LAST_YEAR or not 1 <= month <= 12:
        raise ValueError(f"read {text[:40]!r}; there is no such month")
    last = monthrange(year, month)[1]
    if day > last:
        raise ValueError(f"read {text[:40]!r}; that month has {last} days")
    return date(year, month, day or last)


def end_of_day(day: date, zone: tzinfo) -> datetime:
    """Return the instant from which a tin is past its use-by: the day itself is still good."""
    return datetime.combine(day + timedelta(days=1), time(), zone)


def day_of(use_by: datetime) -> str:
    """Write a use-by as it is printed: its last good day. use_by: in the shop's zone."""
    return f"{use_by - timedelta(minutes=1):%d %b %Y}"


def last_day(use_by: datetime) -> date:
    """Give the last good day of what ``end_of_day`` gave: that of the noon before its end.

    use_by: in the shop's zone, which may have been another then: a shop that sets a zone up to
    twelve hours away reads the day that is on its tins.
    """
    return (use_by - timedelta(hours=12)).date()


def tin_by_number(tins: Sequence[Tin], number: int) -> Tin | None:
    """Return the tin with a number."""
    return next((tin for tin in tins if tin.number == number), None)

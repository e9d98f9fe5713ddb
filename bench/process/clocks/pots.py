"""The clocks of a pot, and of a gun that is loaded from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import accumulate
from operator import attrgetter, itemgetter

from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.temperature import FOR_GOOD, Reading
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import SHEET_C, Product
from bench.process.wording.display_units import ShopUnits, format_figures, quantity, shop_unit
from bench.process.wording.time_text import format_clock, format_duration
from bench.trade.ageing import NO_FIGURE_C, Basis, TimeTable
from bench.trade.mixing import (
    BIG_POT_OVER_ML,
    big_pot_life_s,
    induction_s,
    pot_life_s,
)

BIN_SOON_S = 30 * 60
"""How long before its end a pot says BIN BY (common practice, no source)."""

FLUSH_WITHIN_S = 60 * 60
"""Longest that two-pack paint may stand in a gun, 15 to 60 min (common practice, no source)."""

FLUSH_SOON_S = 15 * 60
"""How long before that the gun is on the list of what to do (common practice, no source)."""


@dataclass(frozen=True)
class Pot:
    """One mixed quantity. bin_by None: the product has no pot life.

    against: the tins out of date it was mixed from, each with the reason for it; unconfirmed: its
    times are of a product whose data sheet nobody typed; warmed: the warmest reading since, where
    that ended it sooner; off: how far it is off its ratio, empty where that does not matter.
    """

    letter: str
    product: str
    name: str
    mixed_at: datetime
    use_from: datetime
    bin_by: datetime | None
    total_ml: float | None = None
    basis: Basis = "sheet"
    against: tuple[str, ...] = ()
    unconfirmed: bool = False
    warmed: Reading | None = None
    off: str = ""

    @property
    def ready(self) -> Edge:
        """Return the end of its induction time, from when on it may be used."""
        return Edge(self.use_from, "opening", unconfirmed=self.unconfirmed)

    @property
    def end(self) -> Edge | None:
        """Return the end of its life, None where it has none."""
        if self.bin_by is None:
            return None
        return Edge(self.bin_by, "closing", self.basis, unconfirmed=self.unconfirmed)


Drop = tuple[datetime, float | None]
"""When something went into a pot, and how many ml were in it then, None for a can's."""


@dataclass(frozen=True)
class Gun:
    """A gun that was loaded from a pot and not flushed since. flush_by None: no end is known.

    cautions: shown where it is flushed; unconfirmed: as its pot's.
    """

    letter: str
    name: str
    flush_by: datetime | None
    cautions: tuple[str, ...] = ()
    unconfirmed: bool = False

    @property
    def end(self) -> Edge | None:
        """Return by when it must be flushed, None where no end is known."""
        if self.flush_by is None:
            return None
        return Edge(self.flush_by, "closing", unconfirmed=self.unconfirmed)


def rest_of(product: Product, paint_c: float | None) -> timedelta:
    """Return how long a mix rests before spraying: cold lengthens it, warmth is not credited.

    The sheet's figure is for SHEET_C; without a reading it is taken as it stands. Colder than any
    estimate goes, the longest of them is taken: the pot is outside its sheet's limits and says so.
    """
    if not product.induction_s or paint_c is None:
        return timedelta(seconds=product.induction_s)
    at_c = max(paint_c, SHEET_C - NO_FIGURE_C)
    rest = induction_s(((SHEET_C, product.induction_s),), at_c)
    return timedelta(seconds=round(rest.seconds))


def pot_clock(
    product: Product, drops: Sequence[Drop], around: Environment, until: datetime = FOR_GOOD
) -> tuple[datetime, datetime | None, Basis]:
    """Give from when a pot may be used, when to bin it, and what that rests on.

    drops: what was mixed, then each top-up. The pot rests as long as its newest drop and is as old
    as its oldest; only where a top-up made it a big pot does that one end it sooner. around: the
    readings since it was mixed and the last one before; until: those that count.
    """
    use_from = max(at + rest_of(product, around.paint_c(at)) for at, _ in drops)
    if not product.pot_life:
        return use_from, None, "sheet"
    longest = timedelta(seconds=max(life_s for _, life_s in product.pot_life))
    ends = (
        drop_ends(product, drop, around.during(drop[0], min(drop[0] + longest, until)))
        for drop in drops
    )
    return use_from, *min(ends)


def warmest_reading(
    product: Product, drops: Sequence[Drop], around: Environment, bin_by: datetime
) -> Reading | None:
    """Give the warmest reading since a pot was mixed, where a pot ends sooner for it; else None."""
    mixed_at = min(at for at, _ in drops)
    as_mixed = pot_clock(product, drops, around, mixed_at)[1]
    if as_mixed is None or bin_by >= as_mixed:
        return None
    later = [reading for reading in around.during(mixed_at, as_mixed) if reading.at > mixed_at]
    return max(later, key=attrgetter("air_c"), default=None)


def warmed_words(pot: Pot, now: datetime) -> str:
    """Say why a warm reading ended a pot sooner; empty where none did. now: in the shop's zone."""
    if pot.warmed is None:
        return ""
    reading = f"air {pot.warmed.air_c:g} C read {format_clock(pot.warmed.at, now)}"
    return f"sooner: {reading}, counted from the reading before it"


def drop_ends(product: Product, drop: Drop, readings: Sequence[Reading]) -> tuple[datetime, Basis]:
    """Give when a drop must be binned by what was read of the air, and what that rests on.

    readings: oldest first, from the last one before the mixing on; without that one the sheet's own
    temperature is taken and the figure is a guess. No reading makes a pot younger, one written down
    late no more than others: it is the soonest of the ends by what was written down so far.
    """
    mixed_at, total_ml = drop
    before = [reading.air_c for reading in readings[:1] if reading.at <= mixed_at]
    by_number = sorted(readings[len(before) :], key=lambda reading: reading.number)
    newest = accumulate((reading.at for reading in by_number), max)
    late = (n for n, at in enumerate(newest) if by_number[n].at < at)
    lives = [(r.at, *_life(product.pot_life, r.air_c, total_ml)) for r in by_number]
    start = (mixed_at, *_life(product.pot_life, before[0] if before else None, total_ml))
    cuts = (sorted(lives[:n], key=itemgetter(0)) for n in (*late, len(lives)))
    return min(_soonest_end(start, cut) for cut in cuts)


@lru_cache(1024)
def _life(
    sheet: TimeTable, paint_c: float | None, total_ml: float | None
) -> tuple[timedelta, Basis]:
    """Return how long a pot lasts: warmth shortens it, cold does not lengthen it.

    A big pot warms itself.
    """
    life = pot_life_s(sheet, SHEET_C if paint_c is None else paint_c)
    seconds = big_pot_life_s(life.seconds, total_ml) if total_ml else life.seconds
    return timedelta(seconds=seconds), "guess" if paint_c is None else life.basis


def _soonest_end(
    start: tuple[datetime, timedelta, Basis], later: Sequence[tuple[datetime, timedelta, Basis]]
) -> tuple[datetime, Basis]:
    """Return the soonest end by the lives that a pot had when it was mixed and at each reading.

    Each stretch uses up its share of the life at its warmer end (on the safe side; the sum is that
    of ``ageing.progress``); what is left lasts as long as it would at the reading.
    """
    since, was, basis = start
    used, ends = 0.0, since + was
    for at, life, its_basis in later:
        if at >= ends:
            break
        sooner = since + life * (1 - used)
        if sooner < ends:
            ends, basis = sooner, its_basis
        used += (at - since) / min(was, life)
        since, was = at, life
    return ends, basis


def pot_if_mixed(
    product: Product, total_ml: float | None, around: Environment, now: datetime
) -> Pot:
    """Give the pot that would be mixed now, without a letter. total_ml: None where that is open."""
    use_from, bin_by, basis = pot_clock(product, [(now, total_ml)], around)
    unconfirmed = bool(product.doubt_of("pot_life", "induction_s"))
    return Pot(
        *("", product.key, product.name, now, use_from, bin_by, total_ml, basis),
        unconfirmed=unconfirmed,
    )


def why_shorter(product: Product, total_ml: float, paint_c: float | None, units: ShopUnits) -> str:
    """Say why a pot lasts less long than its sheet says; empty where it does not.

    total_ml: of the pot, over 0; paint_c: as last read, None where nothing was.
    """
    if not product.pot_life:
        return ""
    sheet_s = pot_life_s(product.pot_life, SHEET_C).seconds
    at_c = SHEET_C if paint_c is None else paint_c
    life_s = pot_life_s(product.pot_life, at_c).seconds
    reasons = [f"air {quantity(at_c, 'C', units)}"] if life_s < sheet_s else []
    if big_pot_life_s(life_s, total_ml) < life_s:
        reasons.append(f"over {quantity(BIG_POT_OVER_ML, 'ml', units)} it heats up")
    sheet = f"{format_duration(sheet_s)}{product.doubt_of('pot_life')}"
    return f"less than the sheet's {sheet}: {', '.join(reasons)}" if reasons else ""


def outside_its_limits(product: Product, paint_c: float | None, units: ShopUnits) -> str:
    """Warn of a pot colder or warmer than its sheet coats at; empty where it is not."""
    limits = product.limits
    if paint_c is None or limits.metal_least_c <= paint_c <= limits.metal_most_c:
        return ""
    side, end_c = (
        ("below", limits.metal_least_c)
        if paint_c < limits.metal_least_c
        else ("above", limits.metal_most_c)
    )
    temperature, end = (
        quantity(paint_c, "C", units),
        f"{format_figures(end_c, 'C', units)}{product.doubt_of('limits')}",
    )
    return f"{temperature} is {side} its range, {end} {shop_unit('C', units)}: read its sheet first"


def loads_a_gun(product: Product, *, sprayed: bool) -> bool:
    """Return whether a coat leaves paint in a gun that goes hard: mixed, ageing, and no can."""
    return sprayed and product.keeps_a_pot_clock and product.ratio is not None


def flush_by(
    bin_by: datetime | None, triggers: Iterable[tuple[datetime | None, bool]]
) -> datetime | None:
    """Return when a gun must be flushed by: the pot's end, or an hour after its last trigger.

    triggers: of each coat sprayed from the pot when the trigger was last released, and whether it
    is still in hand.
    """
    released: list[datetime] = []
    for at, in_hand in triggers:
        if in_hand:
            return bin_by
        if at is not None:
            released.append(at)
    ends = [max(released) + timedelta(seconds=FLUSH_WITHIN_S)] if released else []
    return min([*ends, bin_by] if bin_by is not None else ends, default=None)


def gun_left_s(gun: Gun, now: datetime) -> float | None:
    """Return the seconds until it must be flushed, below 0 once that is past."""
    return None if gun.flush_by is None else (gun.flush_by - now).total_seconds()


def pot_word(pot: Pot, now: datetime) -> str:
    """Return the pot's state: REST, USE, BIN BY (its end is near) or BIN (also off its ratio)."""
    if pot.off or (pot.bin_by is not None and now >= pot.bin_by):
        return "BIN"
    if now < pot.use_from:
        return "REST"
    if pot.bin_by is not None and (pot.bin_by - now).total_seconds() <= BIN_SOON_S:
        return "BIN BY"
    return "USE"


def pot_past_life(pot: str, ended: str) -> Refusal:
    """Return the rule against a pot whose life is over. ended: the hour, in words."""
    rule, hour = f"{pot} is past its life", f"its life ended {ended}"
    return rules.POT_PAST_LIFE.refuses(rule, hour, "bin it and mix fresh")


def pot_off_ratio(pot: str, off: str) -> Refusal:
    """Return the rule against a pot that is known to be off its ratio."""
    rule = f"{pot} is off its ratio"
    return rules.POT_OFF_RATIO.refuses(rule, off, "bin it and mix fresh")


def pot_to_take(product: str, pots: Iterable[Pot], at: datetime) -> Pot | None:
    """Return the pot a coat is begun with: the newest one in use, else the newest there is."""
    own = [pot for pot in pots if pot.product == product and pot.mixed_at <= at]
    in_use = [pot for pot in own if pot_word(pot, at) in ("USE", "BIN BY")]
    return max(in_use or own, key=lambda pot: pot.mixed_at, default=None)

"""Solvent: VOC of the mix, air that dilutes its vapour, when a room is clear. None is a permit."""

from __future__ import annotations

import math

from bench.process.spoken import figure
from bench.screens.sums.road import (
    MOST_ASKED,
    USUAL,
    Asking,
    Facts,
    Group,
    Road,
    Sum,
    air,
    maybe,
    number,
    pick,
)
from bench.screens.sums.told import Figure, Told, at_least
from bench.trade import solvent
from bench.trade.solvent import SOLVENTS, VOC_LIMITS, Portion

_CATEGORIES = tuple(VOC_LIMITS)
_SOLVENTS = tuple(SOLVENTS.values())
_ITS_SHEET = "another: its safety sheet"
_HOWS = ("once, so many grams", "all the while, grams a minute")
_FRACTION_PCT, _LEAST_PCT, _LEFT_PCT = 10.0, 0.1, 1.0
"""Usual: a tenth of the explosive limit, never so little as a thousandth; a hundredth of the mist
left (common practice, no source)."""


def _voc(_: Facts) -> Road:
    names = (*(VOC_LIMITS[key].name for key in _CATEGORIES), "none: only the figure")
    which = yield from pick("category", names, _CATEGORIES.index("topcoat"))
    portions = [(yield from _portion(1, (yield from number("part 1", "l", such_as=4))))]
    while len(portions) < MOST_ASKED // 4:
        nth = len(portions) + 1
        litres = yield from maybe(f"part {nth}", "l", 1, "no more")
        if litres is None:
            break
        portions.append((yield from _portion(nth, litres)))
    water_l = yield from number("water within them", "l", 0, such_as=1.5)
    found = solvent.voc_of_mix(portions, water_l)
    if which == len(_CATEGORIES):
        rows = [Figure("VOC of the mix", figure(found.whole_g_l), "g/l", big=True)]
        return Told(tuple(rows), cautions=solvent.VOC_CAUTIONS)
    beside = solvent.beside_limit(found, _CATEGORIES[which])
    rows = [
        Figure("VOC that counts", figure(beside.figure_g_l), "g/l", big=True),
        Figure("the EU limit", f"{beside.limit.limit_g_l:g}", "g/l", big=True),
    ]
    if water_l:
        rows.append(Figure("of the whole", figure(found.whole_g_l), "g/l"))
    rows.append(Figure("limit", beside.limit.name))
    return Told(tuple(rows), cautions=beside.cautions)


def _portion(nth: int, litres: float) -> Asking[Portion]:
    voc_g_l = yield from number(f"VOC of part {nth}, its sheet", "g/l", such_as=420)
    return Portion(litres, voc_g_l)


def _solvent() -> Asking[tuple[float, float]]:
    """Lower explosive limit in vol %, and molar mass."""
    names = (*(each.name for each in _SOLVENTS), _ITS_SHEET)
    which = yield from pick("solvent, of a mix the worst", names)
    if which < len(_SOLVENTS):
        return _SOLVENTS[which].lel_pct, _SOLVENTS[which].molar_mass_g_mol
    lel_pct = yield from number("lower explosive limit, vol %", "%", such_as=1)
    return lel_pct, (yield from number("molar mass", "g/mol", such_as=106))


def _dilution(facts: Facts) -> Road:
    lel_pct, molar_mass = yield from _solvent()
    flows = yield from pick("it evaporates", _HOWS)
    if flows:
        amount = yield from number("evaporating", "g/min", such_as=20)
        factor = yield from number("air mixes, 1 perfectly to 10 badly", "", 1, such_as=3)
    else:
        amount, factor = (yield from number("evaporating", "g", such_as=500)), 1.0
    fraction_pct = yield from number("of the explosive limit", "%", _FRACTION_PCT, USUAL)
    air_c = yield from air(facts)
    fraction = _fraction(fraction_pct)
    if flows:
        m3 = solvent.dilution_flow_m3_h(
            amount, molar_mass, lel_pct, fraction, mixing_factor=factor, air_c=air_c
        )
    else:
        m3 = solvent.dilution_air_m3(amount, molar_mass, lel_pct, fraction, air_c)
    lel_g_m3 = solvent.lel_g_m3(lel_pct, molar_mass, air_c)
    rows = (
        Figure("clean air", _safe(m3), "m3/h" if flows else "m3", big=True),
        Figure("explosive from", f"{lel_pct:g} vol %,", f"{figure(lel_g_m3)} g/m3"),
        Figure("reckoned to", f"{fraction_pct:g}", "% of that"),
    )
    return Told(rows, cautions=solvent.AIR_CAUTIONS)


def _fraction(percent: float) -> float:
    """A share of the explosive limit, refused in the percent that was typed."""
    most_pct = 100 * solvent.MOST_LEL_FRACTION
    if not _LEAST_PCT <= percent <= most_pct:
        raise ValueError(
            f"of the explosive limit: read {percent:g} %, and vapour over a quarter of it is held "
            f"dangerous; wanted {_LEAST_PCT:g} to {most_pct:g} %, mostly {_FRACTION_PCT:g} %"
        )
    return percent / 100


def _safe(m3: float) -> str:
    """Rounded up to three figures: never less air than reckoned."""
    if m3 <= 0:
        return "0"
    return at_least(m3, max(0, 2 - math.floor(math.log10(m3))))


def _clearance(facts: Facts) -> Road:
    room_m3 = yield from number("room", "m3", such_as=120)
    flow_m3_h = yield from number("the fan moves", "m3/h", such_as=2400)
    left_pct = yield from number("of the mist left", "%", _LEFT_PCT, USUAL)
    factor = yield from number("air mixes, 1 perfectly to 10 badly", "", 1, such_as=3)
    changes_h = solvent.air_changes_per_h(room_m3, flow_m3_h)
    minutes = solvent.clearance_min(changes_h, left_pct, mixing_factor=factor)
    house = facts.view.house
    own = f"{house.clearance.total_seconds() / 60:g}{'' if house.measured else '?'}"
    rows = [
        Figure("clear after", at_least(minutes), "min", big=True),
        Figure("air changes an hour", figure(changes_h)),
        Figure("this shop keeps masks on for", own, "min"),
    ]
    for each in solvent.CLEARANCES:
        most = " and more" if each.most_min is None else f" to {each.most_min:g}"
        rows.append(Figure(f"published, {each.place}", f"{each.least_min:g}{most}", "min"))
    guesses = () if house.measured else ("this room was never measured by smoke",)
    return Told(tuple(rows), guesses=guesses, cautions=solvent.CLEARANCE_CAUTIONS)


_NO_PERMIT = "An estimate, not a permit: local rules and a competent person decide."

GROUP = Group(
    "solvent",
    (
        Sum("VOC of the mix as sprayed", (_NO_PERMIT,), _voc),
        Sum("air to dilute vapour", (_NO_PERMIT,), _dilution),
        Sum("when a room is clear", (_NO_PERMIT,), _clearance),
    ),
)

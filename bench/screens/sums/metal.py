"""Zinc and films on it: mass and thickness, the standard's least, years, readings, cross-cut."""

from __future__ import annotations

from bench.process.product import Product
from bench.process.spoken import figure
from bench.screens.sums.road import (
    Asking,
    Facts,
    Group,
    Road,
    Sum,
    maybe,
    number,
    pick,
    product,
    several,
    sheet_number,
)
from bench.screens.sums.tins import ANOTHER_TIN
from bench.screens.sums.told import Figure, Told, at_most, doubts
from bench.trade import crosscut, readings, zinc

_EDITIONS = ("2009", "1999")
_ARTICLES = ("steel", "casting", "threaded", "centrifuged")
_ARTICLE_WORDS = (
    "steel, not centrifuged",
    "casting",
    "threaded, centrifuged",
    "other, centrifuged",
)
_CATEGORIES = tuple(zinc.LOSS_UM_YEAR)
_CATEGORY_WORDS = (
    "C1 heated rooms",
    "C2 dry sheds, countryside",
    "C3 towns, mild coast",
    "C4 industry, coast",
    "C5 harsh coast, damp industry",
    "CX offshore, tropics",
)
"""ISO 12944-2 examples in words of our own (from memory)."""
_SURFACES = tuple(readings.ROUGHNESS_UM)
_SURFACE_WORDS = {
    "smooth": "smooth, zinc not blasted",
    "fine": "blasted, fine",
    "medium": "blasted, medium",
    "coarse": "blasted, coarse",
    "unknown": "blasted, not known how",
}


def _mass(_: Facts) -> Road:
    by_mass = yield from pick("known is", ("the thickness", "the mass on one face"))
    if by_mass:
        zinc_g_m2 = yield from number("zinc", "g/m2", such_as=610)
        zinc_um = zinc.thickness_um(zinc_g_m2)
    else:
        zinc_um = yield from number("zinc", "um", such_as=85)
        zinc_g_m2 = zinc.mass_g_m2(zinc_um)
    return Told(
        (
            Figure("mass on one face", figure(zinc_g_m2), "g/m2", big=True),
            Figure("thickness", figure(zinc_um), "um", big=True),
            Figure("density, as ISO 1461", f"{zinc.DENSITIES_G_CM3['ISO 1461']:g}", "g/cm3"),
        )
    )


def _least(_: Facts) -> Road:
    steel_mm = yield from number("the steel is thick", "mm", such_as=5)
    article = _ARTICLES[(yield from pick("article", _ARTICLE_WORDS))]
    edition = _EDITIONS[(yield from pick("edition of ISO 1461", _EDITIONS))]
    found = zinc.least_zinc(steel_mm, edition, article)
    return Told(
        (
            Figure("mean at least", f"{found.mean_um:g}", "um", big=True),
            Figure("anywhere at least", f"{found.local_um:g}", "um", big=True),
            Figure("source", found.source),
        )
    )


def _years(_: Facts) -> Road:
    zinc_um = yield from number("zinc", "um", such_as=85)
    category = _CATEGORIES[(yield from pick("where it will be", _CATEGORY_WORDS, 2))]
    years = zinc.years_left(zinc_um, category)
    slow, fast = zinc.LOSS_UM_YEAR[category]
    rows = [Figure("years, at least", at_most(years.least), big=True)]
    if years.most is not None:
        rows.append(Figure("at most", at_most(years.most), big=True))
    rows.append(Figure(f"zinc lost a year in {category}", f"{slow:g} to {fast:g}", "um"))
    return Told(
        tuple(rows),
        guesses=(
            "an estimate for bare zinc in open air, from first-year losses; splashed, buried "
            "or in a crevice it goes faster",
        ),
    )


def _paint_on_zinc(_: Facts) -> Road:
    zinc_um = yield from several("zinc, reading", "um", 85)
    total_um = yield from several("with paint, reading", "um", 145)
    found = zinc.paint_on_zinc(total_um, zinc_um)
    rows = [
        Figure("paint, mean", figure(found.mean_um), "um", big=True),
        Figure("zinc below it", figure(found.zinc_mean_um), "um", big=True),
        Figure("each", ", ".join(figure(each) for each in found.readings_um), "um"),
    ]
    few = len(zinc_um) < readings.LEAST_READINGS
    return Told(tuple(rows), guesses=("five spots of bare zinc are better",) if few else ())


def _set_of_readings(facts: Facts) -> Road:
    known = yield from product(facts, _judged_by_standard, ANOTHER_TIN)
    film = known.film if known else None
    nominal = film.target_um if film else None
    nominal_um = yield from sheet_number("dry film asked for", "um", nominal, known, 60)
    most_um = yield from _most(film.most_um if film else None, nominal_um)
    surface = yield from pick("surface", tuple(_SURFACE_WORDS[each] for each in _SURFACES))
    zinc_um = yield from number("zinc below, mean", "um", 0, "bare steel", such_as=85)
    area_m2 = yield from maybe("painted area", "m2", 1, "five readings do")
    films = yield from several("reading", "um", nominal_um)
    if zinc_um:
        films = zinc.paint_on_zinc(films, (zinc_um,)).readings_um
    found = readings.judge(
        films,
        nominal_um,
        correction_um=readings.ROUGHNESS_UM[_SURFACES[surface]],
        most_um=most_um,
        area_m2=area_m2,
    )
    rows = (
        Figure("mean", figure(found.mean_um), "um", big=True),
        Figure("least", figure(found.least_um), "um", big=True),
        Figure("most", figure(found.most_um), "um", big=True),
    )
    word = "ACCEPTED" if found.accept else "NOT ACCEPTED"
    if found.accept and found.take_more:
        word = "ACCEPTED SO FAR: TAKE MORE"
    good = found.accept and not found.take_more
    return Told(rows, word, good, (found.why,), doubts(known))


def _judged_by_standard(each: Product) -> bool:
    """A thinner film, such as an etch primer, is outside the standard."""
    return each.film is not None and each.film.target_um >= readings.LEAST_NOMINAL_UM


def _most(from_sheet_um: float | None, nominal_um: float) -> Asking[float]:
    """The sheet's most a coat, else the standard's three times what was asked for."""
    if from_sheet_um is not None and from_sheet_um >= nominal_um:
        return (yield from number("the sheet's most", "um", from_sheet_um, "sheet"))
    times = readings.MOST_TIMES_NOMINAL
    return (yield from number("the most", "um", times * nominal_um, "three times", such_as=180))


def _cross_cut(_: Facts) -> Road:
    film_um = yield from number("dry film", "um", such_as=75)
    soft = yield from pick("on", ("metal", "wood, plaster or plastic"))
    squares = yield from maybe("squares off, of 25, halves too", "", 1.5, "not cut yet")
    cuts = Figure("cuts", f"{crosscut.CUTS}", "each way")
    if squares is None:
        spacing_mm = crosscut.spacing_mm(film_um, soft_substrate=bool(soft))
        return Told((Figure("cuts apart by", f"{spacing_mm}", "mm", big=True), cuts))
    flaked_pct = crosscut.flaked_pct(squares)
    found = crosscut.cross_cut(film_um, flaked_pct, soft_substrate=bool(soft))
    rows = (
        Figure("class of ISO 2409", str(found.iso_class), big=True),
        Figure("flaked", figure(flaked_pct), "%", big=True),
        Figure("cuts apart by", f"{found.spacing_mm}", "mm"),
        cuts,
        Figure("class of ASTM D3359", found.astm_class, "(5B best)"),
    )
    why = (found.meaning, "0 is the best class of ISO 2409. Good enough is agreed beforehand.")
    return Told(rows, why=why)


GROUP = Group(
    "zinc and film readings",
    (
        Sum("zinc: mass and thickness", (), _mass),
        Sum("zinc: the least of ISO 1461", (), _least),
        Sum("zinc: years left", ("Paint over it is not counted.",), _years),
        Sum(
            "paint on zinc",
            ("A magnetic gauge reads zinc and paint together: the zinc before painting.",),
            _paint_on_zinc,
        ),
        Sum(
            "accept a set of film readings",
            ("The rule of ISO 19840. Random places; a thin-looking spot is no reading.",),
            _set_of_readings,
        ),
        Sum(
            "cross-cut",
            ("Six cuts each way down to the metal, brush, tape, look.",),
            _cross_cut,
        ),
    ),
)

"""How much: litres to buy, cans, wet and dry film, what there is and where it runs out."""

from __future__ import annotations

from bench.process.product import Product
from bench.process.spoken import figure
from bench.screens.sums import pieces
from bench.screens.sums.paints import (
    SHAPE_WORDS,
    SHAPES,
    dry_film,
    paint,
    solids,
    thinner,
    transfer,
)
from bench.screens.sums.road import (
    USUAL,
    Facts,
    Group,
    Road,
    Sum,
    number,
    pick,
    product,
    sheet_number,
)
from bench.screens.sums.tins import ANOTHER_TIN
from bench.screens.sums.told import Figure, Told, at_least, at_most, doubts
from bench.trade import checked, film, mixing
from bench.trade.film import CAN_ML, SOLIDS_IN_A_CAN_PCT


def _litres(facts: Facts) -> Road:
    known = yield from paint(facts)
    area_m2 = yield from number("area", "m2", such_as=7.5)
    dry_um = yield from dry_film(known)
    coats = yield from number("coats", "", 1, such_as=2, whole=True)
    solids_pct = yield from solids(known)
    thinner_pct = yield from thinner(known)
    transfer_pct = yield from transfer(known)
    lost_pct = yield from number("left in can and hose, blown away", "%", 0, such_as=5)
    rz_um = yield from number("roughness Rz of a blasted face", "um", 0, such_as=75)
    checked.number(coats, "coats", least=1, most=20)
    # A blasted face swallows paint under the first coat only.
    first_um = dry_um + film.dead_volume_ml_m2(rz_um)
    jobs = [
        film.litres(area_m2, um, solids_pct, thinner_pct, transfer_pct, lost_pct)
        for um in (first_um, *[dry_um] * int(coats - 1))
    ]
    wet_um = film.wet_from_dry(dry_um, solids_pct, thinner_pct)
    mixed_l, paint_l = sum(job.mixed_l for job in jobs), sum(job.paint_l for job in jobs)
    rate = film.spreading_rate_m2_per_l(film.solids_mixed_pct(solids_pct, thinner_pct), dry_um)
    return Told(
        (
            Figure("to mix in all", at_least(mixed_l, 1), "l", big=True),
            *_to_buy(known, paint_l, mixed_l - paint_l),
            Figure("mixed, the first coat", at_least(jobs[0].mixed_l, 2), "l"),
            Figure("wet film of a coat", figure(wet_um), "um"),
            Figure("nothing lost", figure(sum(job.theory_l for job in jobs)), "l"),
            Figure("spreading rate as mixed", figure(rate), "m2 a litre"),
        ),
        guesses=doubts(known),
    )


def _to_buy(known: Product | None, paint_l: float, thinner_l: float) -> list[Figure]:
    """Litres of each part; of the paint where the ratio is not known."""
    thinner_rows = [Figure("buy thinner", at_least(thinner_l, 2), "l")] if thinner_l else []
    if known is None or known.ratio is None:
        return [Figure("buy paint", at_least(paint_l, 2), "l"), *thinner_rows]
    mix = mixing.for_total(known.ratio, paint_l * 1000, known.densities or None)
    rows = [Figure(f"buy {pour.role}", at_least(pour.ml / 1000, 2), "l") for pour in mix.pours]
    return [*rows, *thinner_rows]


def _cans(facts: Facts) -> Road:
    in_can = "aerosol"
    known = yield from product(facts, lambda each: each.tool == in_can, ANOTHER_TIN)
    area_m2 = yield from number("area", "m2", such_as=7.5)
    dry_um = yield from dry_film(known)
    coats = yield from number("coats", "", 2, USUAL, whole=True)
    shape = SHAPES[(yield from pick("shape", SHAPE_WORDS, 1))]
    can_ml = yield from number("a can holds", "ml", CAN_ML, USUAL)
    solids_pct = known.volume_solids_pct if known else None
    if solids_pct is None:
        solids_pct = yield from number("solids of the filled can", "%", SOLIDS_IN_A_CAN_PCT, USUAL)
    else:
        solids_pct = yield from sheet_number(
            "solids of the filled can", "%", solids_pct, known, SOLIDS_IN_A_CAN_PCT
        )
    lands = film.transfer(in_can, shape)
    worst_m2, best_m2 = (
        film.can_m2(dry_um, pct, solids_pct, can_ml) for pct in (lands.least_pct, lands.most_pct)
    )
    most, least = (film.cans(area_m2, int(coats), m2) for m2 in (worst_m2, best_m2))
    rows = [Figure("cans, at most", str(most), big=True)]
    if least != most:
        rows.append(Figure("at least", str(least), big=True))
    rows.append(Figure("one covers, one coat", f"{figure(worst_m2)} to {figure(best_m2)}", "m2"))
    why = ("Keep one more for touch-up.",)
    return Told(tuple(rows), why=why, guesses=doubts(known))


def _film(facts: Facts) -> Road:
    known = yield from paint(facts)
    wanted = yield from pick("known is", ("the dry film wanted", "the wet film on the comb"))
    if wanted == 0:
        film_um = yield from dry_film(known)
    else:
        film_um = yield from number("wet film", "um", such_as=150)
    solids_pct = yield from solids(known)
    thinner_pct = yield from thinner(known)
    if wanted == 0:
        dry_um, wet_um = film_um, film.wet_from_dry(film_um, solids_pct, thinner_pct)
    else:
        dry_um, wet_um = film.dry_from_wet(film_um, solids_pct, thinner_pct), film_um
    mixed_pct = film.solids_mixed_pct(solids_pct, thinner_pct)
    rate = film.spreading_rate_m2_per_l(mixed_pct, dry_um)
    return Told(
        (
            Figure("wet film", figure(wet_um), "um", big=True),
            Figure("dry film", figure(dry_um), "um", big=True),
            Figure("solids as mixed", figure(mixed_pct), "%"),
            Figure("spreading rate as mixed", figure(rate), "m2 a litre, nothing lost"),
        ),
        guesses=doubts(known),
    )


def _runs_out(_: Facts) -> Road:
    have_l = yield from number("mixed paint there is", "l", such_as=2.1)
    need_l = yield from number("needed", "l", such_as=2.9)
    faces = yield from number("faces", "", such_as=8, whole=True)
    face = film.runs_out_at_face(have_l, need_l, int(faces))
    if face is None:
        left = Figure("left over", at_most(have_l - need_l, 2), "l", big=True)
        return Told((left,), "IT LASTS")
    rows = (
        Figure("runs out at about face", str(face), big=True),
        Figure("of faces", f"{faces:g}", big=True),
        Figure("short of", at_least(need_l - have_l, 2), "l"),
    )
    return Told(rows, "IT RUNS OUT", False, ("Faces are taken as alike.",))


def _film_of_what_there_is(facts: Facts) -> Road:
    known = yield from paint(facts)
    mixed_l = yield from number("mixed paint there is", "l", such_as=1.2)
    area_m2 = yield from number("area", "m2", such_as=7.5)
    solids_pct = yield from solids(known)
    thinner_pct = yield from thinner(known)
    transfer_pct = yield from transfer(known)
    dry_um = film.dry_from_litres(mixed_l, area_m2, solids_pct, thinner_pct, transfer_pct)
    rows = (Figure("dry film all over", at_most(dry_um, 1), "um", big=True, bound="most"),)
    wanted = known.film if known else None
    if wanted is None:
        return Told(rows, guesses=doubts(known))
    thin = dry_um < wanted.least_um
    word = "TOO THIN" if thin else "ENOUGH FOR A COAT"
    why = (f"The sheet wants {wanted.least_um:g} to {wanted.most_um:g} um a coat.",)
    return Told(rows, word, not thin, why, doubts(known))


GROUP = Group(
    "how much",
    (
        *pieces.SUMS,
        Sum(
            "litres of each part to buy",
            ("Losses are counted. Litres are rounded up.",),
            _litres,
        ),
        Sum(
            "cans",
            ("Published covers of a can differ by a factor of five: buy for the most.",),
            _cans,
        ),
        Sum("wet and dry film", ("Thinner goes and leaves nothing behind.",), _film),
        Sum("runs out about face n of m", (), _runs_out),
        Sum(
            "the film that what there is makes",
            ("Spread evenly over all faces: before the lid is off, see what it will do.",),
            _film_of_what_there_is,
        ),
    ),
)

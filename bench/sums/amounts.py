"""How much: areas, litres, cans, wet and dry film, what there is and where it runs out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bench.sums.checked_ratio import Blend
from bench.sums.inputs import (
    AREA,
    COATS,
    DRY,
    FACES,
    HAVE,
    LOST,
    SHAPE,
    SOLIDS,
    THINNER,
    TRANSFER,
    WET,
    WHAT_LANDS,
    landing_pct_of,
)
from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    OneOf,
    Result,
    SumAnswer,
    UsageFault,
    Values,
)
from bench.trade import film, masses, mixing, sections
from bench.trade.film import TYPICAL_AREAS_M2
from bench.trade.sections import SectionPiece
from bench.trade.zinc import MOST_ZINC_UM

GROUP = "how much"


def find_piece(text: str) -> SectionPiece | str:
    """Return a piece from its sizes, or the name of a typical one. Raises ValueError."""
    name = " ".join(text.lower().split())
    return name if name in TYPICAL_AREAS_M2 else sections.read_piece(text)


def _area(inputs: InputNamespace) -> SumAnswer | Values:
    piece, count = inputs.piece, inputs.count
    if isinstance(piece, str):
        least_m2, most_m2 = (count * each for each in TYPICAL_AREAS_M2[piece])
        return SumAnswer(
            {"words": piece, "m2_per_m": None, "m2": most_m2, "m2_least": least_m2},
            doubts=("typical sizes from memory: measure what is at hand",),
        )
    m2 = sections.area_m2(piece, inputs.length, count)
    return {"words": piece.words, "m2_per_m": piece.m2_per_m, "m2": m2, "m2_each": m2 / count}


def _mass(inputs: InputNamespace) -> Values:
    piece, count = inputs.section, inputs.count
    mass = masses.mass_of(piece, inputs.length, count, inputs.zinc, inputs.also)
    kg = mass.steel_kg + mass.zinc_kg
    return {
        "words": piece.words,
        "lift_kg": mass.lift_kg,
        "kg": kg,
        "zinc_kg": mass.zinc_kg,
        "kg_each": kg / count,
        "kg_per_m": None if inputs.length is None else kg / count / inputs.length,
    }


def _litres(inputs: InputNamespace) -> SumAnswer | Values:
    have, faces, solids, thinner = inputs.have, inputs.faces, inputs.solids, inputs.thinner
    if faces is not None and have is None:
        raise UsageFault("--faces tells where the paint runs out; wanted --have as well")
    landing_pct = landing_pct_of(inputs)
    # A blasted face swallows paint under the first coat only.
    first_um = inputs.dry + film.dead_volume_ml_m2(inputs.rough)
    jobs = [
        film.litres(inputs.area, um, solids, thinner, landing_pct, inputs.lost)
        for um in (first_um, *[inputs.dry] * (inputs.coats - 1))
    ]
    mixed_l, paint_l = sum(job.mixed_l for job in jobs), sum(job.paint_l for job in jobs)
    values: dict[str, Any] = {
        "litres": mixed_l,
        "buy": _to_buy(inputs.blend, paint_l),
        "paint_litres": paint_l,
        "thinner_litres": mixed_l - paint_l,
        "first_coat_litres": jobs[0].mixed_l if inputs.coats > 1 else None,
        "wet_um": film.wet_from_dry(inputs.dry, solids, thinner),
        "litres_theory": sum(job.theory_l for job in jobs),
        "m2_per_litre": film.spreading_rate_m2_per_l(
            film.solids_mixed_pct(solids, thinner), inputs.dry
        ),
        "transfer_pct": landing_pct,
    }
    if have is not None and faces is not None:
        values["runs_out_at_face"] = film.runs_out_at_face(have, mixed_l, faces)
        values["of_faces"] = faces
        if values["runs_out_at_face"] is None:
            return SumAnswer(values, "IT LASTS")
    return values


def _to_buy(blend: Blend | None, paint_l: float) -> list[dict[str, Any]]:
    """Return the litres of each part, where the ratio is known."""
    if blend is None:
        return []
    mix = mixing.for_total(blend.ratio, paint_l * 1000, blend.densities)
    return [{"role": pour.role, "litres": pour.ml / 1000} for pour in mix.pours]


def _cans(inputs: InputNamespace) -> SumAnswer:
    lands = (inputs.transfer, inputs.transfer)
    if inputs.transfer is None:
        share = film.transfer("aerosol", inputs.shape)
        lands = (share.least_pct, share.most_pct)
    worst_m2, best_m2 = (film.can_m2(inputs.dry, pct, inputs.solids, inputs.can) for pct in lands)
    most, least = (film.cans(inputs.area, inputs.coats, m2) for m2 in (worst_m2, best_m2))
    return SumAnswer(
        {"cans": most, "cans_least": least, "m2_per_can": worst_m2, "m2_per_can_most": best_m2},
        why=("Keep one more for touch-up.",),
    )


def _film(inputs: InputNamespace) -> Values:
    dry_um, wet_um, thinner = inputs.dry, inputs.wet, inputs.thinner
    solids_pct = film.solids_of_parts_pct(inputs.parts) if inputs.parts else inputs.solids
    mixed_pct = film.solids_mixed_pct(solids_pct, thinner)
    if wet_um is None:
        wet_um = film.wet_from_dry(dry_um, solids_pct, thinner)
    else:
        dry_um = film.dry_from_wet(wet_um, solids_pct, thinner)
    values = {"wet_um": wet_um, "dry_um": dry_um, "solids_mixed_pct": mixed_pct}
    return values | {"m2_per_litre": film.spreading_rate_m2_per_l(mixed_pct, dry_um)}


def _runs_out(inputs: InputNamespace) -> SumAnswer:
    have, need, faces = inputs.have, inputs.need, inputs.faces
    face = film.runs_out_at_face(have, need, faces)
    if face is None:
        return SumAnswer({"runs_out_at_face": None, "left_l": have - need}, "IT LASTS")
    return SumAnswer(
        {"runs_out_at_face": face, "of_faces": faces, "short_l": need - have},
        "IT RUNS OUT",
        good=False,
        why=("Faces are taken as alike.",),
    )


def _spread(inputs: InputNamespace) -> SumAnswer | Values:
    used_l = inputs.have * (1 - inputs.lost / 100)
    dry_um = film.dry_from_litres(
        used_l, inputs.area, inputs.solids, inputs.thinner, landing_pct_of(inputs)
    )
    values = {"have_dry_um": dry_um}
    if inputs.film_span is None:
        return values
    least_um, most_um = inputs.film_span
    thin = dry_um < least_um
    return SumAnswer(
        values,
        "TOO THIN" if thin else "ENOUGH FOR A COAT",
        good=not thin,
        why=(f"The sheet wants {least_um:g} to {most_um:g} um a coat.",),
    )


_PIECE = Input(
    "piece", "piece", kind="piece", positional=True, take=find_piece, example='"SHS 100x100x5"',
    help='"SHS 100x100x5", "RHS 100x60x4 hot", "CHS 48.3x3.2", "angle 60x60x6", "channel '
    '100x50x6x8.5", "plate 200x120x6 holes 4x13", "flat 50x6", "rod 20", in mm; or a typical '
    f"one: {'; '.join(TYPICAL_AREAS_M2)}",
)  # fmt: skip
_LENGTH = Input(
    "length", "length", "m", over=0, most=sections.MOST_LENGTH_M, example=3,
    when=lambda inputs: (
        isinstance(inputs["piece"], SectionPiece) and inputs["piece"].m2_each is None
    ),
)  # fmt: skip
_SECTION = replace(
    _PIECE, name="section", kind="section", take=sections.read_piece,
    help=_PIECE.help.partition("; or a typical")[0],
)  # fmt: skip
_LENGTH_OF_SECTION = replace(_LENGTH, when=lambda inputs: inputs["section"].m2_each is None)
_ZINC = Input(
    "zinc", "zinc on it", "um", least=0, most=MOST_ZINC_UM, usual=0, example=85,
    help="hot-dip zinc, which is inside a hollow too",
)  # fmt: skip
_ALSO = Input(
    "also", "what else hangs on it", "kg", least=0, most=masses.MOST_ALSO_KG, usual=0, example=6,
    help="welds, bolts, hooks and chains, liquid left inside",
)  # fmt: skip
_COUNT = Input(
    "count", "pieces", "", "whole", least=1, most=sections.MOST_COUNT, usual=1, example=4,
    help="how many pieces",
)  # fmt: skip
_CAN = Input(
    "can", "a can holds", "ml", over=0, most=1000, usual=film.CAN_ML, example=400,
    help="what a can holds",
)  # fmt: skip
_CAN_SOLIDS = replace(
    SOLIDS, label="solids of the filled can", usual=film.SOLIDS_IN_A_CAN_PCT, example=17.5,
    help="volume solids of the filled can",
)  # fmt: skip
_ROUGH = Input(
    "rough", "roughness Rz of a blasted face", "um", least=0, most=300, usual=0, example=75,
    help="roughness Rz of a blasted surface, which swallows paint",
)  # fmt: skip
_PARTS = Input(
    "parts", "parts with their solids", kind="pairs", asked=False,
    example="400ml=60%,100ml=45%,50ml=0%",
    of=(
        Input("ml", "an amount", "ml", over=0, most=mixing.MOST_MIX_ML, example=400),
        Input("solids", "its volume solids", "%", least=0, most=100, example=60),
    ),
    help="or each part with its solids, thinner too",
)  # fmt: skip
_RATE = Result("m2_per_litre", "spreading rate as mixed", "m2 a litre, nothing lost")
_FACE = Result("runs_out_at_face", "runs out at about face", big=True)
_OF_FACES = Result("of_faces", "of faces")

AREA_OF_PIECES = Calculation(
    "area", "area of pieces", GROUP, (_PIECE, _LENGTH, _COUNT), _area,
    (
        Result("words", "piece", kind="text"),
        Result("m2", "area in all", "m2", big=True),
        Result("m2_least", "at least", "m2", big=True),
        Result("m2_per_m", "a metre", "m2", decimals=4),
        Result("m2_each", "each", "m2", decimals=5),
    ),
    Example('"SHS 100x100x5" --length 3m', {"m2_per_m": 0.3828}, "EN 10219 corners, geometry"),
    "perimeter with the corner radii of EN 10219 or EN 10210; typical parts from memory",
    notes=("Outer surface. Cut ends and the inside of a hollow are left out.",),
)  # fmt: skip

CALCULATIONS = (
    AREA_OF_PIECES,
    Calculation(
        "cover", "litres of each part to buy", GROUP,
        (
            AREA, DRY, COATS, SOLIDS, THINNER, WHAT_LANDS, LOST, _ROUGH,
            replace(HAVE, optional=True, asked=False),
            replace(FACES, optional=True, asked=False, help="how many faces, with --have"),
            Input("blend", "ratio", kind="shop", optional=True, known="blend"),
        ),
        _litres,
        (
            Result("litres", "to mix in all", "l", "up", 2, big=True),
            Result("buy", "buy {role}", kind="list", each=(Result("litres", "", "l", "up", 2),)),
            Result("paint_litres", "paint in it", "l", "up", 2),
            Result("thinner_litres", "thinner in it", "l", "up", 2),
            Result("first_coat_litres", "mixed, the first coat", "l", "up", 2),
            Result("wet_um", "wet film of a coat", "um"),
            Result("litres_theory", "nothing lost", "l", "up", 2),
            _RATE,
            Result("transfer_pct", "reaches the part", "%"),
            _FACE,
            _OF_FACES,
        ),
        Example(
            "--area 7.5m2 --dry 60um --solids 45% --thinner 15% --transfer 40%",
            {"litres": 2.88, "litres_theory": 1.15},
            "7.5 m2 x 60 um / 45 % x 1.15 / 40 % = 2.875 l; arithmetic",
        ),
        "area x wet film / transfer efficiency / (1 - loss); transfer definition seen (AQMD)",
        notes=("Losses are counted. Litres are rounded up.",),
        product="solids",
    ),
    Calculation(
        "cans", "cans", GROUP,
        (
            AREA, DRY, COATS,
            OneOf("transfer efficiency", {
                "by shape": (replace(SHAPE, usual=None, help="or the shape of the part"),),
                "in percent": (replace(TRANSFER, asked=False),),
            }),
            _CAN, _CAN_SOLIDS,
        ),
        _cans,
        (
            Result("cans", "cans, at most", side="up", decimals=0, big=True),
            Result("cans_least", "cans, at least", side="up", decimals=0, big=True),
            Result("m2_per_can", "one covers, one coat, at least", "m2", "down", 2),
            Result("m2_per_can_most", "one covers, one coat, at most", "m2", "down", 2),
        ),
        Example(
            "--area 7.5m2 --dry 20um --coats 2 --shape frame",
            {"cans": 18, "cans_least": 13},
            "400 ml x 17.5 % x 25 to 35 % / 20 um; mass balance, common practice",
        ),
        "can x solids x transfer / dry film; the solids of a filled can are an assumption",
        notes=("Published covers of a can differ by a factor of five: buy for the largest.",),
        product="aerosol",
    ),
    Calculation(
        "film", "wet and dry film", GROUP,
        (
            OneOf("known is", {
                "the dry film wanted": (DRY,), "the wet film on the comb": (WET,),
            }),
            OneOf("solids", {"of the mix": (SOLIDS,), "of its parts": (_PARTS,)}),
            THINNER,
        ),
        _film,
        (
            Result("wet_um", "wet film", "um", big=True),
            Result("dry_um", "dry film", "um", big=True),
            Result("solids_mixed_pct", "solids as mixed", "%"),
            _RATE,
        ),
        Example(
            "--dry 60um --solids 45% --thinner 15%",
            {"wet_um": 153.333333, "solids_mixed_pct": 39.130435},
            "row WFT-11's formula, from memory: 60 x 1.15 / 0.45",
        ),
        "wet = dry (100 + thinner %) / solids %; principle seen (paintcenter.org)",
        notes=("Thinner goes and leaves nothing behind.",),
        product="solids",
    ),
    Calculation(
        "runs-out", "runs out about face n of m", GROUP,
        (
            replace(HAVE, least=0, over=None, help="mixed paint there is"),
            Input("need", "needed", "l", over=0, most=film.MOST_LITRES, example=2.9,
                  help="mixed paint needed"),
            FACES,
        ),
        _runs_out,
        (
            _FACE,
            _OF_FACES,
            Result("short_l", "short of", "l", "up", 2),
            Result("left_l", "left over", "l", "down", 2, big=True),
        ),
        Example(
            "--have 2.1l --need 2.9l --faces 8",
            {"runs_out_at_face": 6, "short_l": 0.8},
            "2.1 / 2.9 of 8 faces is 5.8; arithmetic",
        ),
        "arithmetic; faces are taken as alike",
    ),
    Calculation(
        "cover", "the film that what there is makes", GROUP,
        (
            HAVE, AREA, SOLIDS, THINNER, WHAT_LANDS, replace(LOST, asked=False),
            Input("film_span", "the sheet's film", kind="shop", optional=True, known="film_span"),
        ),
        _spread,
        (Result("have_dry_um", "dry film all over", "um", "down", 1, big=True),),
        Example(
            "--have 1.2l --area 7.5m2 --solids 10% --transfer 45%",
            {"have_dry_um": 7.2},
            "1.2 l x 45 % x 10 % over 7.5 m2; arithmetic",
        ),
        "volume balance",
        notes=("Spread evenly over all faces: before the lid is off, see what it will do.",),
        product="solids",
    ),
    Calculation(
        "mass", "mass of pieces, and to lift", GROUP,
        (_SECTION, _LENGTH_OF_SECTION, _COUNT, _ZINC, _ALSO), _mass,
        (
            Result("words", "piece", kind="text"),
            Result("lift_kg", "choose the hoist for", "kg", "up", 1, big=True),
            Result("kg", "weighs about", "kg", "up", 1, big=True),
            Result("zinc_kg", "of which zinc", "kg", "up", 2),
            Result("kg_each", "each", "kg", "up", 1),
            Result("kg_per_m", "a metre", "kg", "up", 2),
        ),
        Example('"RHS 100x50x5 hot" --length 6m', {"kg_per_m": 10.78, "lift_kg": 68.6},
                "row EC-RHS100x50x5: 10.8 kg/m in three figures, 6 m of it and 6 % more"),
        "cross-section x 7850 kg/m3; sections of EN 10219 and EN 10210, seen; 6 % from memory",
        notes=("6 % heavier is taken to lift: a single length may be.",),
        cautions=masses.LIFTING_CAUTIONS,
    ),
)  # fmt: skip

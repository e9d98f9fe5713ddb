"""Zinc and films on it: mass and thickness, the standard's minimum, years alone and under paint,
bare spots, readings, cross-cut."""

from __future__ import annotations

from dataclasses import replace

from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    OneOf,
    Result,
    SumAnswer,
    Values,
)
from bench.trade import crosscut
from bench.trade import readings as gauge
from bench.trade import zinc as galvanised
from bench.trade.zinc import MOST_ZINC_UM, ZincYears

GROUP = "zinc and film readings"


def _zinc_um(inputs: InputNamespace) -> float:
    if inputs.thickness is not None:
        return float(inputs.thickness)
    return galvanised.thickness_um(inputs.mass)


def _mass(inputs: InputNamespace) -> Values:
    zinc_um = _zinc_um(inputs)
    return {"g_m2": galvanised.mass_g_m2(zinc_um), "thickness_um": zinc_um}


def _least(inputs: InputNamespace) -> Values:
    least = galvanised.least_zinc(inputs.steel, inputs.edition, inputs.article)
    return {
        "least_mean_um": least.mean_um,
        "least_local_um": least.local_um,
        "source": least.source,
    }


def _years(inputs: InputNamespace) -> SumAnswer:
    years = galvanised.years_left(_zinc_um(inputs), inputs.category)
    slow, fast = galvanised.LOSS_UM_YEAR[inputs.category]
    return SumAnswer(
        {"years_low": years.least, "years_high": years.most, "loss": f"{slow:g} to {fast:g}"},
        why=() if years.most is not None else ("no upper end",),
        doubts=(
            "an estimate for bare zinc in open air, from first-year losses; splashed, buried "
            "or in a crevice it goes faster",
        ),
    )


def _duplex(inputs: InputNamespace) -> SumAnswer:
    years, values = inputs.zinc_years, {}
    if years is None:
        alone = galvanised.years_left(inputs.thickness, inputs.category)
        values = {"zinc_years": alone.least, "zinc_years_high": alone.most}
    else:
        alone = ZincYears(years, years)
    both = galvanised.duplex_years(alone, inputs.paint_years)
    return SumAnswer(
        {"years_low": both.least, "years_high": both.most, **values},
        why=() if both.most is not None else ("no upper end",),
        doubts=(
            "a rule of thumb for open air, and no promise: paint is mostly renewed long before",
        ),
    )


def _bare_spots(inputs: InputNamespace) -> SumAnswer:
    spots = galvanised.bare_spots(inputs.spots, inputs.part_area, inputs.repair)
    within = not spots.beyond
    values = {
        "largest_cm2": spots.largest_cm2,
        "total_cm2": spots.total_cm2,
        "share_pct": spots.share_pct,
        "within": within,
    }
    if within:
        return SumAnswer(values, "WITHIN THE LIMITS")
    return SumAnswer(values, "BEYOND A LIMIT", good=False, why=spots.beyond)


def _paint_on_zinc(inputs: InputNamespace) -> SumAnswer:
    paint = galvanised.paint_on_zinc(inputs.total, inputs.zinc_below)
    few = len(inputs.zinc_below) < gauge.LEAST_READINGS
    return SumAnswer(
        {"mean": paint.mean_um, "zinc_um": paint.zinc_mean_um, "readings": paint.readings_um},
        doubts=("five spots of bare zinc are better",) if few else (),
    )


def _judge(inputs: InputNamespace) -> SumAnswer:
    readings = inputs.readings
    if inputs.zinc:
        readings = galvanised.paint_on_zinc(readings, inputs.zinc).readings_um
    verdict = gauge.judge(
        readings,
        inputs.nominal,
        correction_um=gauge.ROUGHNESS_UM[inputs.surface],
        most_um=inputs.most,
        area_m2=inputs.area,
    )
    word = "ACCEPTED" if verdict.accept else "NOT ACCEPTED"
    if verdict.accept and verdict.take_more:
        word = "ACCEPTED SO FAR: TAKE MORE"
    return SumAnswer(
        {
            "mean": verdict.mean_um,
            "least": verdict.least_um,
            "most": verdict.most_um,
            "spread_pct": verdict.spread_pct,
            "accept": verdict.accept,
            "take_more": verdict.take_more,
            "why": verdict.why,
        },
        word,
        good=verdict.accept and not verdict.take_more,
        why=(verdict.why,),
    )


def _cross_cut(inputs: InputNamespace) -> SumAnswer | Values:
    flaked_pct = inputs.flaked
    if inputs.squares is not None:
        flaked_pct = crosscut.flaked_pct(inputs.squares)
    cuts = f"{crosscut.CUTS} each way"
    if flaked_pct is None:
        spacing = crosscut.spacing_mm(inputs.film, soft_substrate=inputs.soft)
        nothing = dict.fromkeys(("iso_class", "astm_class", "meaning"))
        return {"spacing_mm": spacing, "cuts": cuts, **nothing}
    cut = crosscut.cross_cut(inputs.film, flaked_pct, soft_substrate=inputs.soft)
    return SumAnswer(
        {"flaked_pct": flaked_pct, "cuts": cuts, **vars(cut)},
        why=(cut.meaning, "0 is the best class of ISO 2409. Good enough is agreed beforehand."),
    )


_THICKNESS = Input(
    "thickness", "zinc", "um", least=0, most=MOST_ZINC_UM, example=85, help="the zinc's thickness"
)
_MASS = Input(
    "mass", "zinc", "g/m2", least=0, most=14_000, example=610, help="or its mass on one face"
)
_STEEL = Input(
    "steel", "the steel is thick", "mm", least=0.1, most=500, example=5,
    help="the steel's thickness: gives the minimum zinc of ISO 1461",
)  # fmt: skip
_EDITION = Input(
    "edition", "edition of ISO 1461", kind="choice", choices={"2009": "2009", "1999": "1999"},
    usual="2009", example="1999",
)  # fmt: skip
_ARTICLE = Input(
    "article", "article", kind="choice", usual="steel", example="casting",
    choices={
        "steel": "steel, not centrifuged",
        "casting": "casting",
        "threaded": "threaded, centrifuged",
        "centrifuged": "other, centrifuged",
    },
    help="what was galvanised, as ISO 1461 divides it",
)  # fmt: skip
_CATEGORIES = {
    "C1": "C1 heated rooms",
    "C2": "C2 dry sheds, countryside",
    "C3": "C3 towns, mild coast",
    "C4": "C4 industry, coast",
    "C5": "C5 harsh coast, damp industry",
    "CX": "CX offshore, tropics",
}
"""ISO 12944-2 examples in words of our own (from memory)."""
_CATEGORY_OF = Input("category", "category", kind="choice", choices=_CATEGORIES)
_CATEGORY = replace(
    _CATEGORY_OF, label="where it will be", offered=2, example="C3",
    take=lambda text: _CATEGORY_OF.chosen(text.upper()), help="corrosivity category, ISO 9223",
)  # fmt: skip
_ZINC_YEARS = Input(
    "zinc_years", "years of the zinc alone", "years", least=0, most=galvanised.MOST_YEARS,
    example=70, help="how long the zinc alone would last",
)  # fmt: skip
_PAINT_YEARS = Input(
    "paint_years", "years of the paint alone", "years", least=0,
    most=galvanised.MOST_PAINT_YEARS, example=10, help="until the paint alone would be renewed",
)  # fmt: skip
_SPOTS = Input(
    "spots", "bare spots", kind="numbers", positional=True, example="4cm2,8cm2",
    of=(Input("spot", "bare spot", "cm2", over=0, most=100_000, example=4),),
    help="the area of each bare spot",
)  # fmt: skip
_PART_AREA = Input(
    "part_area", "surface of the whole part", "m2", least=0.0001, most=100_000, example=0.3,
    help="the whole part; see also: sum area",
)  # fmt: skip
_REPAIR = Input(
    "repair", "dry film of the repair", "um", least=0, most=3000, optional=True, example=110,
    empty="not read yet", help="the film on the repaired spots",
)  # fmt: skip
_READING = Input("reading", "reading", "um", least=-200, most=10_000, bare=True, example=62)
_ZINC = Input(
    "zinc", "zinc below", kind="numbers", example="80,85,90",
    of=(Input("zinc", "zinc, reading", "um", least=0, most=5000, bare=True, example=85),),
    help="the zinc below, read before painting, one or more",
)  # fmt: skip
_TOTAL = replace(
    _ZINC, name="total", label="with paint", example="140,150,145",
    of=(replace(_ZINC.of[0], name="total", label="with paint, reading", example=145),),
    help="what the gauge reads over paint and zinc together",
)  # fmt: skip
_FILMS = Input(
    "readings", "readings", kind="numbers", of=(_READING,), positional=True, example="72,65,58",
    help="what the gauge reads, in um",
)  # fmt: skip
_NOMINAL = Input(
    "nominal", "dry film asked for", "um", least=gauge.LEAST_NOMINAL_UM, most=3000, example=60,
    known="nominal", help="the dry film asked for",
    because="ISO 19840 does not judge thinner films",
)  # fmt: skip
_SURFACE = Input(
    "surface", "surface", kind="choice", usual="smooth", example="medium",
    choices={
        "smooth": "smooth, zinc not blasted",
        "fine": "blasted, fine",
        "medium": "blasted, medium",
        "coarse": "blasted, coarse",
        "unknown": "blasted, not known how",
    },
    help="profile of a blasted surface, which is taken off",
)  # fmt: skip
_MOST = Input(
    "most", "maximum", "um", over=0, most=10_000, optional=True, empty="three times the film",
    known="film_most", example=180, help="the sheet's maximum; else three times nominal",
)  # fmt: skip
_AREA = Input(
    "area", "painted area", "m2", least=gauge.LEAST_AREA_M2, most=gauge.MOST_AREA_M2,
    optional=True, example=1, empty="five readings do",
    help="how much was painted: asks for the standard's number",
)  # fmt: skip
_FILM = Input(
    "film", "dry film", "um", least=0.1, most=crosscut.MOST_FILM_UM, example=75,
    because="a thicker film wants an X-cut (ISO 16276-2) or a pull-off",
)  # fmt: skip
_SOFT = Input(
    "soft", "on", kind="flag", choices={"": "metal", "soft": "wood, plaster or plastic"},
    usual=False, help="on wood, plaster or plastic",
)  # fmt: skip
_SQUARES = Input(
    "squares", f"squares off, of {crosscut.SQUARES}, halves too", "", least=0,
    most=crosscut.SQUARES, optional=True, empty="not cut yet", example=1.5,
    help=f"how many of the {crosscut.SQUARES} squares came off, halves too",
)  # fmt: skip
_FLAKED = Input(
    "flaked", "flaked area", "%", least=0, most=100, optional=True, asked=False, example=4,
    help="or what came off",
)  # fmt: skip
_THICKNESS_OR_MASS = OneOf(
    "known is", {"the thickness": (_THICKNESS,), "the mass on one face": (_MASS,)}
)

CALCULATIONS = (
    Calculation(
        "zinc", "zinc: mass and thickness", GROUP, (_THICKNESS_OR_MASS,), _mass,
        (
            Result("g_m2", "mass on one face", "g/m2", big=True),
            Result("thickness_um", "thickness", "um", big=True),
        ),
        Example("--thickness 70um", {"g_m2": 504}, "row ZD-70"),
        "7.2 g/cm3, ISO 1461 6.2.2, seen",
    ),
    Calculation(
        "zinc", "zinc: the minimum of ISO 1461", GROUP, (_STEEL, _ARTICLE, _EDITION), _least,
        (
            Result("least_mean_um", "mean at least", "um", big=True),
            Result("least_local_um", "anywhere at least", "um", big=True),
            Result("source", "source", kind="text"),
        ),
        Example("--steel 5mm", {"least_local_um": 55, "least_mean_um": 70}, "row Z2009-5.0"),
        "ISO 1461; steel and castings seen, the rest from memory",
    ),
    Calculation(
        "zinc", "zinc: years left", GROUP,
        (OneOf("known is", {"the thickness": (_THICKNESS,),
                            "the mass on one face": (replace(_MASS, asked=False),)}), _CATEGORY),
        _years,
        (
            Result("years_low", "years, at least", side="down", decimals=0, big=True),
            Result("years_high", "at most", side="down", decimals=0, big=True),
            Result("loss", "zinc lost a year in {category}", "um", kind="text"),
        ),
        Example(
            "--thickness 85um --category C3", {"years_low": 40, "years_high": 121},
            "row LIFE-85-C3: 40.5 to 121.4",
        ),
        "thickness / yearly loss; ISO 1461 6.2.1 seen, losses of ISO 9223:2012 from memory",
        notes=("Paint over it is not counted.",),
    ),
    Calculation(
        "zinc", "paint on zinc", GROUP, (replace(_ZINC, name="zinc_below"), _TOTAL),
        _paint_on_zinc,
        (
            Result("mean", "paint, mean", "um", big=True),
            Result("zinc_um", "zinc below it", "um", big=True),
            Result("readings", "each", "um"),
        ),
        Example("--zinc-below 95 --total 165", {"mean": 70}, "row G1"),
        "each total less the mean of the zinc; makers' guidance, seen",
        notes=("A magnetic gauge reads zinc and paint together: the zinc before painting.",),
    ),
    Calculation(
        "readings", "accept a set of film readings", GROUP,
        (
            _NOMINAL, _MOST, _SURFACE,
            replace(_ZINC, optional=True, empty="bare steel"),
            _AREA, _FILMS,
        ),
        _judge,
        (
            Result("mean", "mean", "um", big=True),
            Result("least", "smallest", "um", big=True),
            Result("most", "greatest", "um", big=True),
            Result("spread_pct"), Result("accept"), Result("take_more"), Result("why"),
        ),
        Example("62,58,65,61,70 --nominal 60um", {"mean": 63.2, "accept": False}, "row A1"),
        "ISO 19840:2012; scope and random places seen, rules from memory",
        notes=("The rule of ISO 19840. Random places; a thin-looking spot is no reading.",),
        product="judged",
    ),
    Calculation(
        "crosscut", "cross-cut", GROUP,
        (_FILM, _SOFT, OneOf("came off", {"squares": (_SQUARES,), "percent": (_FLAKED,)},
                             optional=True)),
        _cross_cut,
        (
            Result("iso_class", "class of ISO 2409", big=True),
            Result("flaked_pct", "flaked", "%", big=True),
            Result("spacing_mm", "cuts apart by", "mm"),
            Result("cuts", "cuts", kind="text"),
            Result("astm_class", "class of ASTM D3359", "(5B best)", kind="text"),
            Result("meaning"),
        ),
        Example("--film 75um --squares 1", {"iso_class": 1, "astm_class": "4B"},
                "row CL25: one square of 25 is 4 %"),
        "ISO 2409; the limit and the bands seen, the spacings from memory",
        notes=("Six cuts each way down to the metal, brush, tape, look.",),
    ),
    Calculation(
        "duplex", "years of zinc and paint together", GROUP,
        (
            OneOf("known of the zinc is", {"its years": (_ZINC_YEARS,),
                                           "its thickness and place": (_THICKNESS, _CATEGORY)}),
            _PAINT_YEARS,
        ),
        _duplex,
        (
            Result("years_low", "years, at least", side="down", decimals=0, big=True),
            Result("years_high", "at most", side="down", decimals=0, big=True),
            Result("zinc_years", "zinc alone, at least", "years", "down", 0),
            Result("zinc_years_high", "zinc alone, at most", "years", "down", 0),
        ),
        Example("--zinc-years 70years --paint-years 10years", {"years_low": 120, "years_high": 184},
                "row DUPLEX-70-10"),
        "1.5 to 2.3 x (zinc + paint), American Galvanizers Association, seen",
    ),
    Calculation(
        "bare-spots", "bare spots in the zinc", GROUP, (_PART_AREA, _REPAIR, _SPOTS), _bare_spots,
        (
            Result("total_cm2", "bare in all", "cm2", "up", 1, big=True),
            Result("share_pct", "of the surface", "%", "up", 2, big=True),
            Result("largest_cm2", "largest spot", "cm2", "up", 1),
            Result("within"),
        ),
        Example("4cm2,8cm2 --part-area 0.3m2 --repair 110um", {"share_pct": 0.4, "within": True},
                "12 cm2 of 3000 cm2; rows BARE-spot, BARE-all, BARE-film"),
        "ISO 1461:2009 6.3: 10 cm2 a spot, 0.5 % in all, 100 um on the repair; seen",
        notes=(
            "The limits are those of the galvaniser's own repair. What has larger bare spots is "
            "galvanised again, unless buyer and galvaniser agree.",
        ),
    ),
)  # fmt: skip

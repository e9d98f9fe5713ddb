"""What is typed for each sum, and what is then shown: published rows and worked examples."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Case:
    """A sum, what is typed (nothing is Enter alone), what it must then show.

    row: file and id of a published row, else empty; figure: the row's own, times scale the first that
    is shown; source: where else an expected figure is from.
    """

    title: str
    typed: tuple[str, ...]
    shows: dict[str, str]
    row: str = ""
    figure: float = 0.0
    scale: float = 1.0
    source: str = ""


def four_to_one(*more: str) -> tuple[str, ...]:
    """Another tin: base 4, hardener 1, by volume, without thinner."""
    return ("other", "4", "1", "1", "1", "0", *more)


CASES = (
    Case(
        "round to the cup's lines",
        ("other", "4", "1", "1", "1", "20", "2", "600", "10"),
        {
            "above: base": "400",
            "above: hardener": "100",
            "above: thinner": "100",
            "above, in all": "600",
        },
        "mixing MIX-parts",
        figure=400,
    ),
    Case(
        "round to the cup's lines",
        ("other", "4", "1", "1", "1", "20", "2", "250", "10"),
        {
            "above, in all": "300",
            "above: too much by": "50",
            "below, in all": "240",
            "below: short by": "10",
        },
        source="lines of 10 ml: 160/40/40 and 200/50/50, arithmetic",
    ),
    Case(
        "how much of each part",
        ("other", "4", "1", "1", "1", "20", "2", "600"),
        {"base": "400", "hardener": "100", "thinner": "100", "in all": "600"},
        "mixing MIX-parts",
        figure=400,
    ),
    Case(
        "smallest measurable mix",
        ("other", "5", "1", "1", "1", "0", "1", "10", "5", "250"),
        {"smallest mix": "600", "hardener": "41.7"},
        source="half a line of 10 ml is 5 % of 100 ml; common practice, no source",
    ),
    Case(
        "smallest measurable mix",
        four_to_one("2", "1", "1.3", "1.05", "5", ""),
        {"smallest mix": "48"},
        source="half a gram is 5 % of 10 g, 9.52 ml of 1.05 g/ml, five times that; arithmetic",
    ),
    Case(
        "pot life",
        ("other", "20", "2", "", "30", "", "", ""),
        {"pot life": "0h48", "bin by": "08:18"},
        "mixing POT-120-30",
        figure=60,
        scale=48 / 60,
        source="the row halves; whatever closes goes / 2.5 per 10 C here, on the safe side",
    ),
    Case(
        "pot life",
        ("other", "20", "2", "", "20", "", "30", "40"),
        {"pot life": "2h00", "bin by": "08:10"},
        source="a pot is as old as its oldest drop: 40 min left of the old; common practice",
    ),
    Case(
        "a pour too many",
        four_to_one("400", "120", "1000"),
        {"add base": "80", "add base, fill to": "600", "then in all": "600"},
        source="120 of hardener want 480 of base; arithmetic",
    ),
    Case(
        "cost",
        four_to_one("500", "30", "50", "250"),
        {"the mix costs": "17.00", "binned of it": "8.50"},
        source="400 ml at 30 and 100 ml at 50 a litre; arithmetic",
    ),
    Case(
        "area of pieces",
        ("1", "48.3", "1", ""),
        {"a metre": "0.1517"},
        "sections CHS48.3",
        figure=0.1517,
    ),
    Case(
        "area of pieces",
        ("2", "100", "60", "4", "2", "2", "3"),
        {"a metre": "0.3097", "area in all": "1.86"},
        "sections RHS100x60x4",
        figure=0.3097,
    ),
    Case(
        "area of pieces",
        ("3", "60", "60", "6", "8", "4", "1", ""),
        {"a metre": "0.2331"},
        "sections L60x60x6",
        figure=0.2331,
    ),
    Case(
        "area of pieces",
        ("4", "100", "50", "6", "8.5", "0", "0", "1", ""),
        {"a metre": "0.3880"},
        source="2 x 100 + 4 x 50 - 2 x 6 mm round it; geometry",
    ),
    Case(
        "area of pieces",
        ("5", "50", "6", "10", ""),
        {"a metre": "0.1120", "area in all": "1.12"},
        source="2 x (50 + 6) mm round it; geometry",
    ),
    Case(
        "area of pieces",
        ("6", "200", "120", "6", "4", "13", ""),
        {"each": "0.05176"},
        "sections PL200x120x6",
        figure=0.05176,
    ),
    Case(
        "area of pieces",
        ("7", "7", "14"),
        {"at least": "0.28", "area in all": "0.56"},
        source="14 brackets of 0.02 to 0.04 m2; from memory, common practice",
    ),
    Case(
        "litres of each part to buy",
        ("other", "12", "60", "1", "55", "0", "2", "65", "0", "0"),
        {"paint in it": "2.02", "nothing lost": "1.31"},
        "film LIT-12-55-60-0.65",
        figure=2.014,
    ),
    Case(
        "litres of each part to buy",
        ("=Epoxy primer 4:1", "7.5", "60", "1", "45", "0", "2", "40", "0", "0"),
        {"to mix in all": "2.50", "buy base": "2.00", "buy hardener": "0.50"},
        source="7.5 m2 x 60 / 45 % / 40 % = 2.5 l, 4:1; arithmetic",
    ),
    Case(
        "cans",
        ("other", "7.5", "20", "2", "1", "400", "17.5"),
        {"cans, at most": "9", "one covers, one coat, at least": "1.75"},
        source="400 ml x 17.5 % x 50 % / 20 um = 1.75 m2, 15 m2 in all; arithmetic",
    ),
    Case(
        "wet and dry film",
        ("other", "1", "100", "62", "0"),
        {"wet film": "161", "spreading rate as mixed": "6.2"},
        "film WFT-F4",
        figure=161,
    ),
    Case(
        "wet and dry film",
        ("other", "2", "138.9", "45", "25"),
        {"dry film": "50"},
        source="row WFT-11 backwards: 138.9 um wet of 45 % with 25 % thinner",
    ),
    Case(
        "runs out about face n of m",
        ("2.1", "2.9", "8"),
        {"runs out at about face": "6", "of faces": "8", "short of": "0.80"},
        source="2.1 / 2.9 of 8 faces is 5.8; arithmetic",
    ),
    Case(
        "the film that what there is makes",
        ("other", "1.2", "7.5", "10", "0", "2", "45"),
        {"dry film all over": "7.2"},
        source="1.2 l x 45 % x 10 % over 7.5 m2; arithmetic",
    ),
    Case(
        "dew point, and is it fit",
        ("other", "20", "70", "17"),
        {"margin above dew": "2.6"},
        "air GATE-1",
        figure=2.64,
    ),
    Case(
        "humidity from the wet bulb",
        ("25", "20", ""),
        {"humidity": "63.5"},
        "air WB-25-20",
        figure=63.5,
    ),
    Case("water in the air", ("15", "100"), {"water in the air": "12.8"}, "air AH-15", figure=12.8),
    Case(
        "how far to warm the surface",
        ("other", "20", "70", "17"),
        {"warm the surface by": "0.4", "to": "17.4"},
        source="3 C less the margin of row GATE-1 (2.64), rounded up; arithmetic",
    ),
    Case(
        "a sheet's time at today's temperature",
        ("other", "2", "20", "2", "", "40"),
        {"time": "0h19"},
        "mixing POT-120-40",
        figure=30,
        scale=19.2 / 30,
        source="the row halves; whatever closes goes / 2.5 per 10 C here, on the safe side",
    ),
    Case(
        "how far a coat or a pot has come",
        ("other", "1", "23", "23.552", "", "6", "18", "6", "15", "4", "13", ""),
        {"how far it has come": "41.1"},
        source="6 h / sqrt(2) + 6 h / 2^0.8 + 4 h / 2 = 9.69 h of 23.552 h; x 2 per 10 C colder",
    ),
    Case(
        "how much faster or slower",
        ("5", "23", "50"),
        {"times as fast": "0.269"},
        "ageing ARR-50-5",
        figure=0.2687,
    ),
    Case(
        "seconds and viscosity",
        ("2", "1", "60"),
        {"viscosity": "78.9"},
        "cups ISO4-60",
        figure=78.87,
    ),
    Case("seconds and viscosity", ("11", "1", "40"), {"viscosity": "91"}, "cups Z2-40", figure=91),
    Case(
        "seconds and viscosity",
        ("2", "2", "78.87"),
        {"runs out in": "60"},
        source="row ISO4-60 backwards",
    ),
    Case(
        "thinner to reach a time",
        ("8", "0", "60", "10", "40", "25"),
        {"thinner in all": "25.4"},
        source="see test_thinner_by_the_logarithmic_rule",
    ),
    Case(
        "zinc: mass and thickness",
        ("1", "70"),
        {"mass on one face": "504"},
        "zinc ZD-70",
        figure=504,
    ),
    Case(
        "zinc: the minimum of ISO 1461",
        ("5", "1", "1"),
        {"anywhere at least": "55", "mean at least": "70"},
        "zinc Z2009-5.0",
        figure=55,
    ),
    Case(
        "zinc: years left",
        ("85", "3"),
        {"years, at least": "40", "at most": "121"},
        "zinc LIFE-85-C3",
        figure=40.5,
    ),
    Case("paint on zinc", ("95", "", "165", ""), {"paint, mean": "70"}, "zinc G1", figure=70),
    Case(
        "accept a set of film readings",
        ("other", "60", "", "1", "", "", "62", "58", "65", "61", "70", ""),
        {"mean": "63.2"},
        "readings A1",
        figure=63.2,
    ),
    Case(
        "accept a set of film readings",
        ("other", "60", "", "1", "85", "", "", *["145"] * 5, ""),
        {"mean": "60"},
        "readings A10",
        figure=60,
        source="the readings of the row over 85 um of zinc",
    ),
    Case(
        "cross-cut",
        ("75", "1", "1"),
        {"class of ISO 2409": "1", "class of ASTM D3359": "4B", "flaked": "4"},
        "crosscut CL25",
        figure=1,
    ),
    Case("cross-cut", ("200", "1", ""), {"cuts apart by": "3"}, "crosscut SP3", figure=3),
    Case(
        "VOC of the mix as sprayed",
        ("6", "4", "420", "1", "380", "0.5", "870", "", ""),
        {"VOC that counts": "454", "the EU limit": "420"},
        "solvent MIX2",
        figure=453.64,
    ),
    Case(
        "VOC of the mix as sprayed",
        ("6", "3", "100", "1", "250", "0.4", "0", "", "1.5"),
        {"VOC that counts": "190", "VOC of the whole": "125"},
        "solvent MIX6",
        figure=189.66,
    ),
    Case(
        "air to dilute vapour",
        ("1", "1", "1", "500", "10", "20"),
        {"clean air": "114"},
        "solvent VENT-m-xylene-10",
        figure=113.3,
        source="rounded up",
    ),
    Case(
        "air to dilute vapour",
        ("1", "1", "2", "20", "1", "25", "20"),
        {"clean air": "109"},
        "solvent RATE-m-xylene-20-1",
        figure=109,
    ),
    Case(
        "Estimate: minutes until 1 % of the mist is left",
        ("120", "2400", "1", "1"),
        {"estimate: 1 % of the mist left after": "14", "air changes an hour": "20"},
        "solvent ACH-20",
        figure=13.8,
        source="13.8 min, rounded up",
    ),
    Case(
        "film of a pass",
        ("other", "2", "65", "200", "25", "46", "50", "40"),
        {"a coat, dry": "15.1"},
        "spraying FILM-1",
        figure=15.07,
    ),
    Case(
        "a wrong distance",
        ("20", "30"),
        {"of the film": "66.7"},
        "spraying DIST-20-30",
        figure=0.667,
        scale=100,
    ),
    Case(
        "a swung wrist",
        ("30",),
        {"of the film": "65", "from the faster sweep alone": "75"},
        "spraying ARC-30",
        figure=0.650,
        scale=100,
    ),
    Case(
        "passes to cover a face",
        ("100", "25", "50", "20"),
        {"passes": "7", "film at the fan's edge": "71.9"},
        "spraying PASS-25-50-100",
        figure=7,
        source="the film at the edge: row EDGE-25-20",
    ),
    Case(
        "set-up of a tool",
        ("1",),
        {"overlap": "50", "distance": "15, 30"},
        "spraying T-overlap",
        figure=50,
    ),
    Case(
        "what went wrong, and the next pass",
        ("3",),
        {"next pass": "5 cm closer"},
        source="sandy is too far off; common practice, no source",
    ),
    Case(
        "water for a wash",
        ("other", "10", "9"),
        {"water first": "9", "then the concentrate": "1"},
        source="1 part in 10 of 10 l is 1 l; arithmetic",
    ),
    Case(
        "water for a wash",
        ("=Phosphoric wash", "20", ""),
        {"water first": "15", "then the concentrate": "5"},
        source="by hand: a quarter of 20 l at 1 to 3",
    ),
    Case(
        "mass of pieces, and to lift",
        ("1", "48.3", "3.2", "6", "", "", "4"),
        {"a metre": "3.56", "choose the hoist for": "26.7"},
        "sections CHS48.3",
        figure=3.56,
        source="6 m, 6 % more and 4 kg beside: arithmetic",
    ),
    Case(
        "salts on the surface",
        ("2", "12", "15", "", "50"),
        {"salts": "60.0", "the same": "6.00"},
        "salts BRESLE-15",
        figure=6,
        scale=10,
    ),
    Case(
        "years of zinc and paint together",
        ("1", "70", "10"),
        {"years, at least": "120", "at most": "184"},
        "zinc DUPLEX-70-10",
        figure=120,
    ),
    Case(
        "bare spots in the zinc",
        ("0.3", "110", "4", "8", ""),
        {"bare in all": "12.0", "of the surface": "0.40"},
        source="12 cm2 of 3000 cm2; arithmetic",
    ),
    Case(
        "solvent in a closed section",
        ("1", "1", "500", "30", "2", "221", "1"),
        {"to 10 % of the explosive limit": "114", "clean air": "2263"},
        "solvent VENT-m-xylene-10",
        figure=113.3,
        source="500 g / 221 mg/m3 is 2262 m3: arithmetic",
    ),
)

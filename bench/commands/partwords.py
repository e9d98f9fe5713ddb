"""The words for what is done to a part, from the moment it is placed."""

from __future__ import annotations

from bench.commands import quantities
from bench.commands.options import (
    AGO,
    BY,
    COUNT,
    MINUTES,
    STAND_NUMBER,
    STEP_NUMBER,
    Words,
    air_supply,
    belongs,
    on_part,
    option,
    override,
    reason,
)
from bench.process.rules import IN_THE_WAY_OF_BEGINNING, LEFT_ON_PART, RINSED_EARLY

POINTS = quantities.whole("a count")
WHY = reason("why; it stays in the journal")

PARTS: Words = {
    "place": (
        "put a new part or lot on an empty stand",
        (
            option("stand", metavar="STAND", type=STAND_NUMBER, help="an empty stand"),
            option("--route", metavar="KEY", required=True, help="see: paintbench routes"),
            option("--shape", metavar="KEY", required=True, help="see: paintbench shapes"),
            option("--count", metavar="N", type=COUNT, default=1, help="pieces in the lot"),
            option("--tag", metavar="T", default="", help="the disc's number; else the next one"),
            option("--name", metavar="N", default="", help="what it is called; else its shape"),
            *belongs(default=""),
            BY,
        ),
    ),
    "begin": (
        "begin the next step",
        (
            on_part,
            AGO,
            option("--with", dest="helper", metavar="NAME", default="", help="a second painter"),
            option(
                "--zone",
                metavar="NAME",
                default="",
                help="the zone of a wash; again if rinsed early",
            ),
            override(*IN_THE_WAY_OF_BEGINNING),
            air_supply(*IN_THE_WAY_OF_BEGINNING),
            BY,
        ),
    ),
    "finish": (
        "finish a face, a zone or the step in hand",
        (
            on_part,
            AGO,
            option("--mark", metavar="NAME", default="", help="one face or zone"),
            option("--all-faces", action="store_true", help="every face that is still open"),
            override(RINSED_EARLY),
            BY,
        ),
    ),
    "pass": ("say that the test was passed", (on_part, AGO, BY)),
    "not-yet": (
        "say that the test was not passed",
        (on_part, AGO, option("--minutes", default=15, **MINUTES, help="ask again after"), BY),
    ),
    "join": ("a second painter joins the step in hand", (on_part, BY)),
    "another-coat": ("put one more of the last coat on its route", (on_part, BY)),
    "move": (
        "put a part on another stand; no clock changes",
        (
            on_part,
            option(
                "--to",
                metavar="N",
                required=True,
                type=STAND_NUMBER,
                help="the other stand",
            ),
            option("--swap", action="store_true", help="swap with what is there"),
            BY,
        ),
    ),
    "take-off": (
        "take a part off its stand",
        (
            on_part,
            override(LEFT_ON_PART),
            BY,
        ),
    ),
    "hold": (
        "put a part aside; its clocks run on",
        (on_part, WHY, BY),
    ),
    "release": ("take a part off hold", (on_part, BY)),
    "skip": ("leave the next step out", (on_part, WHY, BY)),
    "rework": (
        "send a part, or some pieces of a lot, back",
        (
            on_part,
            option("--defect", metavar="D", required=True, help="what is wrong: fish-eye, run"),
            option("--count", metavar="N", type=COUNT, help="how many of the lot; else all"),
            option(
                "--back-to",
                metavar="STEP",
                type=STEP_NUMBER,
                help="the step to do again; else the last coat",
            ),
            option(
                "--to",
                metavar="STAND",
                type=STAND_NUMBER,
                help="where the pieces that leave the lot go",
            ),
            BY,
        ),
    ),
    "split": (
        "make some pieces of a lot a lot of their own",
        (
            on_part,
            option("--count", metavar="N", type=COUNT, required=True, help="how many leave"),
            option(
                "--to",
                metavar="STAND",
                type=STAND_NUMBER,
                help="where they go; else on no stand",
            ),
            BY,
        ),
    ),
    "merge": (
        "put another lot with this one, where both are equally far",
        (
            on_part,
            option("--with", dest="other", metavar="TAG", required=True, help="its tag"),
            BY,
        ),
    ),
    "count": (
        "count bungs and contact points",
        (
            on_part,
            option("--bungs-in", metavar="N", type=POINTS, help="bungs that went in"),
            option("--bungs-out", metavar="N", type=POINTS, help="bungs that came out"),
            option("--contacts", metavar="N", type=POINTS, help="where it hung or stood"),
            option("--touched-up", metavar="N", type=POINTS, help="of those, touched up"),
            BY,
        ),
    ),
    "earlier": (
        "the last thing done to it happened earlier",
        (on_part, option("--minutes", required=True, **MINUTES, help="in steps of five"), BY),
    ),
}
"""Every command word about a part: what it does, and what it takes."""

"""Twelve sentences of the trade, each done on a shop and checked to the minute.

Every hour that has to be shown is worked out beside it, by hand: nothing here asks the program for
a rate. The figures of the paints are forms of data sheets, made up for these examples. Where the
rules come from:

- common practice, no source: an opening takes twice as long for the first 10 C colder than its only
  figure and three times for each 10 C beyond; a closing, and the life of a pot, falls to 1 / 2.5 for
  each 10 C hotter; a pot over 500 ml lasts a fifth less; a mordant is rinsed after 10 to 15 min; a
  forbidden middle of 1 to 48 h; masks stay on for as long as the shop typed.
- from memory (the Arrhenius form, as in ASTM C1074): between two figures ln t is linear in 1/T.
- source seen (MIL-HDBK-1110): conditions are read about every 4 h, so that a reading counts as it
  stands for so long; after that an opening takes the colder of it and what is usual for the hour.
"""

from __future__ import annotations

from math import exp, log
from pathlib import Path

import pytest

from bench.process.refusals.overrides import Override
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step
from bench.process.stock.mixing import MixStart
from bench.shop.parts import steps, testing
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.trade.mixing import Ratio, Share

from .playing import (
    TWO_COATS,
    Deed,
    Example,
    at,
    band,
    by_hand,
    coated,
    did,
    hours,
    kept_from,
    paint,
    placed,
    play,
    pot,
    read,
    room,
    route,
    stand,
    standstill,
)


def between(cold: tuple[float, float], warm: tuple[float, float], temp_c: float) -> float:
    """Hours at a temperature in C between two figures (C, hours): ln t is linear in 1/T."""
    at_cold, at_warm, here = (1 / (c + 273.15) for c in (cold[0], warm[0], temp_c))
    share = (here - at_cold) / (at_warm - at_cold)
    return exp(log(cold[1]) + share * (log(warm[1]) - log(cold[1])))


def steady(temp_c: float) -> dict[str, object]:
    """A shop that is as warm as this by day and by night."""
    return {"day_c": temp_c, "night_c": temp_c}


# --- coats ---------------------------------------------------------------------------------------

# From the last face at 09:42 to closing time 7.8 h at 18 C, where the sheet's line gives 17.31 h;
# 14 h of night at 6 C, 4 C under the sheet's coldest figure: 24 h x 2^0.4 are 31.67 h (its own line
# gives less). That is 0.4505 and 0.4421; the other 0.1074 takes 1.86 h of Tuesday.
DAY_H, NIGHT_H = between((10, 24), (20, 16), 18), 24 * 2**0.4
AFTER_A_NIGHT = at("3 Mar 07:30") + hours((1 - 7.8 / DAY_H - 14 / NIGHT_H) * DAY_H)

THREE_POINTS = Example(
    "three points, 42 min of faces and a night of 6 C",
    "Too early counts from the last face and too late from the first; cold nights lengthen the "
    "wait, and no cold lengthens the window.",
    products=(paint(band("wait", c10=24, c20=16, c30=10), band("open", c20=168), band("key")),),
    routes=(TWO_COATS,),
    house={"day_c": 18.0, "night_c": 6.0},
    deeds=(*placed("2 Mar 08:40"), read("2 Mar 08:50", 18), *coated("2 Mar 09:00", "2 Mar 09:42")),
    sights=(
        stand(
            "2 Mar 09:42",
            word="WAIT",
            opens=by_hand(AFTER_A_NIGHT, "3 Mar 09:21"),
            closes=at("9 Mar 09:00"),
            basis="outside",
        ),
        stand("3 Mar 09:21", word="WAIT"),
        stand("3 Mar 09:22", word="TEST"),
    ),
)

# Read at 13:55, 20 C count until 17:55: 3 h 55 min of the 8 h. Nothing in the night of 8 C, under
# the sheet's 10 C. The other 4 h 5 min follow from 07:30, when the shop is warmed to 20 C.
STANDS_STILL = Example(
    "a standstill under the minimum",
    "Under its minimum temperature a coat does not dry: the clock stands still and the stand says "
    "from when to when.",
    products=(paint(band("wait", least=8), band("open"), metal_least_c=10.0),),
    routes=(TWO_COATS,),
    house={"day_c": 20.0, "night_c": 8.0},
    deeds=(*placed("2 Mar 13:40"), read("2 Mar 13:55", 20), *coated("2 Mar 14:00", "2 Mar 14:00")),
    sights=(
        standstill(
            "2 Mar 14:01",
            limit="minimum",
            begins=at("2 Mar 17:55"),
            ends=at("3 Mar 07:30"),
        ),
        stand(
            "2 Mar 22:01",
            word="WAIT",
            opens=by_hand(at("3 Mar 07:30") + hours(8 - 3 - 55 / 60), "3 Mar 11:35"),
            stalled_s=(13 * 60 + 35) * 60.0,
        ),
        stand("3 Mar 11:34", word="WAIT"),
        stand("3 Mar 11:35", word="TEST"),
    ),
)


def one_point(temp_c: float, opens: str, wait_h: float, closes: str, open_h: float) -> Example:
    """A coat of one figure at 20 C for each end, sprayed from 09:00 to 09:20 on a Monday."""
    return Example(
        f"one point at {temp_c:g} C",
        "One figure is for 20 C: cold doubles a wait and warmth never shortens it; warmth closes a "
        "window sooner and cold never later.",
        products=(paint(band("wait", least=16), band("open", least=168), band("key")),),
        routes=(TWO_COATS,),
        house=steady(temp_c),
        deeds=(
            *placed("2 Mar 08:40"),
            read("2 Mar 08:50", temp_c),
            *coated("2 Mar 09:00", "2 Mar 09:20"),
        ),
        sights=(
            stand(
                "2 Mar 09:20",
                word="WAIT",
                opens=by_hand(at("2 Mar 09:20") + hours(wait_h), opens),
                closes=by_hand(at("2 Mar 09:00") + hours(open_h), closes),
            ),
        ),
    )


ONE_POINT = (
    one_point(10, "3 Mar 17:20", 16 * 2, "9 Mar 09:00", 168),
    one_point(25, "3 Mar 01:20", 16, "6 Mar 19:15", 168 / 2.5**0.5),
    one_point(30, "3 Mar 01:20", 16, "5 Mar 04:12", 168 / 2.5),
)


def old_reading(last_read: str, opens: str, warm_h: float) -> Example:
    """A coat of 16:00 in a shop of 18 C by day and 4 C by night, under the sheet's minimum.

    warm_h: from its last face until the last reading is four hours old.
    """
    at_18_h = between((10, 16), (20, 8), 18)
    left_h = (1 - warm_h / at_18_h) * at_18_h
    return Example(
        f"an old reading, read at {last_read[-5:]}",
        "A reading counts for four hours, whether the shop closes meanwhile or not: ten minutes "
        "later read is ten minutes sooner open.",
        products=(paint(band("wait", c10=16, c20=8), band("open"), metal_least_c=10.0),),
        routes=(TWO_COATS,),
        house={"day_c": 18.0, "night_c": 4.0},
        deeds=(
            *placed("2 Mar 15:40"),
            read("2 Mar 15:50", 18),
            *coated("2 Mar 16:00", "2 Mar 16:00"),
            read(last_read, 18),
        ),
        sights=(
            stand(
                "2 Mar 17:40",
                word="WAIT",
                opens=by_hand(at("3 Mar 07:30") + hours(left_h), opens),
            ),
        ),
    )


# 16 h at 10 C and 8 h at 20 C are 9.154 h at 18 C. 5 h 25 min, or 5 h 35 min, of that are over when
# the reading is old and the night counts, in which nothing dries; the rest follows from 07:30.
OLD_READING = (
    old_reading("2 Mar 17:25", "3 Mar 11:14", 5 + 25 / 60),
    old_reading("2 Mar 17:35", "3 Mar 11:04", 5 + 35 / 60),
)

FORBIDDEN_MIDDLE = Example(
    "a forbidden middle",
    "Over itself inside the hour or after two days, never between: it closes from the first face, "
    "opens again from the last, and then it is tested.",
    products=(paint(band("open", least=1), band("shut", least=48), band("open")),),
    routes=(TWO_COATS,),
    house=steady(20),
    deeds=(
        *placed("2 Mar 08:40"),
        read("2 Mar 08:50", 20),
        *coated("2 Mar 09:00", "2 Mar 09:25"),
        kept_from("2 Mar 12:00", lambda s: steps.begin(s, 1, "Kit"), "keep-off"),
        read("4 Mar 09:00", 20),
        kept_from("4 Mar 09:26", lambda s: steps.begin(s, 1, "Kit"), "untested"),
        did("4 Mar 09:27", lambda s: testing.pass_test(s, 1, "Mo")),
    ),
    sights=(
        stand("2 Mar 09:25", word="OPEN", closes=at("2 Mar 10:00")),
        stand("2 Mar 09:45", word="CLOSING", closes=at("2 Mar 10:00")),
        stand("2 Mar 10:00", word="KEEP OFF", opens=at("4 Mar 09:25")),
        stand("4 Mar 09:24", word="KEEP OFF"),
        stand("4 Mar 09:25", word="TEST"),
        stand("4 Mar 09:27", word="OPEN"),
    ),
)

MIST_AND_BUILD = Example(
    "a mist and its build",
    "A mist and the build that follows it are one coat: it opens from the build's last face and "
    "closes from the mist's first.",
    products=(paint(band("wait", least=1), band("open", least=10), band("key")),),
    routes=(
        route(
            Step("Mist", "coat", "paint", bands=(band("flash", least=1 / 6), band("open"))),
            Step("Build", "coat", "paint", continues=True),
            Step("Top", "coat", "paint"),
        ),
    ),
    house=steady(20),
    deeds=(
        *placed("2 Mar 08:40"),
        read("2 Mar 08:50", 20),
        *coated("2 Mar 09:00", "2 Mar 09:05"),
        kept_from("2 Mar 09:14", lambda s: steps.begin(s, 1, "Kit"), "not-flashed"),
        did("2 Mar 09:16", lambda s: testing.pass_test(s, 1, "Kit")),
        *coated("2 Mar 09:20", "2 Mar 09:40"),
    ),
    sights=(
        stand("2 Mar 09:05", word="FLASH", opens=at("2 Mar 09:15")),
        stand("2 Mar 09:15", word="TEST"),
        stand("2 Mar 09:40", word="WAIT", opens=at("2 Mar 10:40"), closes=at("2 Mar 19:00")),
        stand("2 Mar 10:40", word="TEST", closes=at("2 Mar 19:00")),
        stand("2 Mar 19:00", word="ABRADE", missed=at("2 Mar 19:00")),
    ),
)

# In British summer time all week. From 16:00 to 19:50, when the reading of 15:50 is old, 3 h 50 min
# at 20 C; then 10 C, at half the pace, through the night, all of Good Friday and the next night:
# 36 h 10 min are 18 h 5 min. The other 2 h 5 min of the 24 follow from Saturday 08:00.
# (On an ordinary Friday 10 h at 20 C would have opened it on Saturday at 02:10.)
LEFT_ON_SATURDAY_H = 24 - (3 + 50 / 60) - (36 + 10 / 60) / 2
# Easter Sunday of 2026 is 5 April: published calendars, and Gauss's rule, from memory.
EASTER = {"holidays": ["FREQ=YEARLY;BYEASTER=-2", "FREQ=YEARLY;BYEASTER=1"]}

EASTER_WEEK = Example(
    "an Easter week with a holiday",
    "On a holiday nobody heats the shop: a coat of Maundy Thursday dries over Good Friday as slowly "
    "as in a night.",
    products=(paint(band("wait", least=24), band("open", least=120), band("key")),),
    routes=(TWO_COATS,),
    house={"day_c": 20.0, "night_c": 10.0, **EASTER},
    deeds=(*placed("2 Apr 15:40"), read("2 Apr 15:50", 20), *coated("2 Apr 15:55", "2 Apr 16:00")),
    sights=(
        stand(
            "2 Apr 16:00",
            word="WAIT",
            opens=by_hand(at("4 Apr 08:00") + hours(LEFT_ON_SATURDAY_H), "4 Apr 10:05"),
            closes=at("7 Apr 15:55"),
        ),
        stand("3 Apr 12:00", word="WAIT"),
        stand("4 Apr 10:05", word="TEST"),
    ),
)

# --- washes --------------------------------------------------------------------------------------

MORDANT = Step("Mordant", "dwell", "mordant-wash", least_s=600.0, most_s=900.0)
WASHED = (route(MORDANT, Step("Coat", "coat", "paint")),)
WASH_PAINT = paint(band("wait", least=16), band("open"))
DRYING_ON = Override({"rinsed-early": "it was drying on"})

TWO_ZONES = Example(
    "two zones of a mordant wash",
    "Each zone is rinsed after its own 10 to 15 min; the one that has soaked longest governs.",
    products=(WASH_PAINT,),
    routes=WASHED,
    house=steady(18),
    deeds=(
        *placed("2 Mar 08:40", shape="frame"),
        read("2 Mar 08:50", 18),
        did("2 Mar 09:00", lambda s: steps.begin(s, 1, "Kit", zone="FRONT")),
        did("2 Mar 09:06", lambda s: steps.begin(s, 1, "Kit", zone="REAR")),
        did("2 Mar 09:11", lambda s: steps.finish(s, 1, "Mo", mark="FRONT")),
        did("2 Mar 09:22", lambda s: steps.finish(s, 1, "Mo", mark="REAR")),
    ),
    sights=(
        stand(
            "2 Mar 09:08",
            word="SOAK",
            zone="FRONT",
            opens=at("2 Mar 09:10"),
            closes=at("2 Mar 09:15"),
        ),
        stand("2 Mar 09:10", word="RINSE", zone="FRONT"),
        stand(
            "2 Mar 09:11",
            word="SOAK",
            zone="REAR",
            opens=at("2 Mar 09:16"),
            closes=at("2 Mar 09:21"),
        ),
        stand("2 Mar 09:16", word="RINSE", zone="REAR"),
        stand("2 Mar 09:21", word="RINSE NOW", zone="REAR", target=at("2 Mar 09:21")),
        stand("2 Mar 09:22", word="TEST", flags=("REAR rinsed late, after 16 min",)),
    ),
)

WETTED_AGAIN = Example(
    "a wash rinsed early and wetted again",
    "Rinsed before its minimum, a zone needs a reason and may be wetted again: then its whole time "
    "begins again.",
    products=(WASH_PAINT,),
    routes=WASHED,
    house=steady(18),
    deeds=(
        *placed("2 Mar 08:40"),
        read("2 Mar 08:50", 18),
        did("2 Mar 09:00", lambda s: steps.begin(s, 1, "Kit")),
        kept_from("2 Mar 09:04", lambda s: steps.finish(s, 1, "Mo"), "rinsed-early"),
        did("2 Mar 09:04", lambda s: steps.finish(s, 1, "Mo", override=DRYING_ON)),
        did("2 Mar 09:09", lambda s: steps.begin(s, 1, "Kit", zone="ALL")),
        did("2 Mar 09:21", lambda s: steps.finish(s, 1, "Kit")),
        kept_from("2 Mar 09:22", lambda s: steps.begin(s, 1, "Kit", zone="ALL"), "untested"),
    ),
    sights=(
        stand("2 Mar 09:04", word="TEST"),
        stand("2 Mar 09:09", word="SOAK", opens=at("2 Mar 09:19"), closes=at("2 Mar 09:24")),
        stand("2 Mar 09:18", word="SOAK"),
        stand("2 Mar 09:19", word="RINSE"),
        stand("2 Mar 09:22", word="TEST"),
    ),
)

# --- pots ----------------------------------------------------------------------------------------

TWO_PACK = Product(
    key="two-pack",
    name="Two-pack",
    kind="primer",
    source="sheet",
    over=("steel",),
    ratio=Ratio((Share("base", 4), Share("hardener", 1))),
    pot_life=((20.0, 4 * 3600.0),),
    induction_s=15 * 60.0,
    bands=(band("open"),),
    tool="hvlp",
)


def mixed(hour: str, ml: float) -> Deed:
    """So much of the two-pack paint was mixed."""
    return did(hour, lambda s: pots.mix(s, "two-pack", "Kit", known=MixStart(need_ml=ml)))


def lasts_h(temp_c: float, ml: float) -> float:
    """Hours a pot of 4 h at 20 C lasts: 1 / 2.5 for 10 C hotter, a fifth less over 500 ml."""
    return 4 / 2.5 ** ((temp_c - 20) / 10) * (0.8 if ml > 500 else 1)


def after_31_c(ml: float, used_h: float = 1.0) -> float:
    """Hours from 10:00 on: the hour before it used its share at its warmer end, 27 C."""
    return (1 - used_h / lasts_h(27, ml)) * lasts_h(31, ml)


# At 20 C 4 h, and 3 h 12 min of 800 ml. At 27 C the whole pot lasts 2.106 h, the big one 1.685 h.
# The first hour is 0.475, or 0.593, of that; what is left is so much of 1.460 h, or 1.168 h, at
# 31 C: 46 min, or 28 min, from 10:00 on.
WARMING_POTS = Example(
    "a pot that warms from 20 to 27 to 31 C, small and big",
    "A pot in a warming room ends sooner, a big one sooner still: each stretch counts at its warmer "
    "end.",
    products=(TWO_PACK,),
    deeds=(
        read("2 Mar 08:50", 20),
        mixed("2 Mar 09:00", 300),
        mixed("2 Mar 09:00", 800),
        read("2 Mar 10:00", 27),
        read("2 Mar 10:20", 31),
    ),
    sights=(
        pot("2 Mar 09:00", "A", word="REST", bin_by=at("2 Mar 13:00")),
        pot("2 Mar 09:00", "B", word="REST", bin_by=at("2 Mar 12:12")),
        *(
            pot(
                "2 Mar 10:00",
                letter,
                word="USE",
                bin_by=by_hand(at("2 Mar 09:00") + hours(lasts_h(27, ml)), ends),
            )
            for letter, ml, ends in (("A", 300, "2 Mar 11:06"), ("B", 800, "2 Mar 10:41"))
        ),
        *(
            pot(
                "2 Mar 10:20",
                letter,
                word="BIN BY",
                bin_by=by_hand(at("2 Mar 10:00") + hours(after_31_c(ml)), ends),
            )
            for letter, ml, ends in (("A", 300, "2 Mar 10:46"), ("B", 800, "2 Mar 10:28"))
        ),
        pot("2 Mar 10:29", "A", word="BIN BY"),
        pot("2 Mar 10:29", "B", word="BIN"),
        pot("2 Mar 10:47", "A", word="BIN"),
    ),
)

INDUCTION = Example(
    "the induction time of a pot at 8 C",
    "In the cold a mix stands longer before it may be sprayed, and its life is no longer for it.",
    products=(TWO_PACK,),
    deeds=(read("2 Mar 08:50", 8), mixed("2 Mar 09:00", 300)),
    sights=(
        # 12 C colder than the sheet's figure: twice for the first ten, 3^0.2 for the other two.
        pot(
            "2 Mar 09:00",
            "A",
            word="REST",
            use_from=by_hand(at("2 Mar 09:00") + hours(0.25 * 2 * 3**0.2), "2 Mar 09:37"),
            bin_by=at("2 Mar 13:00"),
        ),
        pot("2 Mar 09:37", "A", word="REST"),
        pot("2 Mar 09:38", "A", word="USE"),
    ),
)

# --- the room ------------------------------------------------------------------------------------

CLEARANCE = Example(
    "a clearance time that a second coat extends",
    "Masks stay on for the clearance time after the last trigger: a second coat begun inside it "
    "starts it again.",
    products=(paint(band("wait", least=16), band("open")),),
    routes=(TWO_COATS,),
    house={**steady(20), "clearance_min": 45},
    deeds=(
        *placed("2 Mar 08:40", 1),
        *placed("2 Mar 08:41", 2),
        read("2 Mar 08:50", 20),
        *coated("2 Mar 09:00", "2 Mar 09:20", 1),
        *coated("2 Mar 09:50", "2 Mar 10:10", 2),
    ),
    sights=(
        room("2 Mar 08:59", on=False, words="no spraying recorded since 08:40"),
        room("2 Mar 09:00", on=True, until=None, words="MASKS ON: Kit sprays Paint"),
        room("2 Mar 09:20", words="MASKS ON until 10:05?: Paint sprayed"),
        room("2 Mar 10:05", on=True, until=None, words="MASKS ON: Kit sprays Paint"),
        room("2 Mar 10:10", on=True, until=at("2 Mar 10:55")),
        room("2 Mar 10:54", on=True, words="MASKS ON until 10:55?: Paint sprayed"),
        room("2 Mar 10:55", on=False, words="clearance time over at 10:55 (not measured)"),
    ),
)

EXAMPLES = (
    THREE_POINTS,
    STANDS_STILL,
    *ONE_POINT,
    *OLD_READING,
    FORBIDDEN_MIDDLE,
    MIST_AND_BUILD,
    TWO_ZONES,
    WARMING_POTS,
    INDUCTION,
    CLEARANCE,
    EASTER_WEEK,
    WETTED_AGAIN,
)


@pytest.mark.parametrize("example", EXAMPLES, ids=[example.name for example in EXAMPLES])
def test_a_worked_example(example: Example, seeds: Seeds, tmp_path: Path) -> None:
    play(example, seeds, tmp_path)

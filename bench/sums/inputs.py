"""The inputs that several calculations ask for, each with its one range, usual value and words."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from bench.sums.model import Input, InputNamespace, OneOf
from bench.trade import ageing, air, film, mixing
from bench.trade.film import Tool
from bench.trade.mixing import MOST_DENSITY, MOST_MIX_ML

RATIO = Input(
    "ratio", "ratio", kind="ratio", positional=True, example="4:1",
    help="as the tin prints it: 4:1:1, 2:1+10%, 5:1 + 10-20 %, 100:25 w/w",
)  # fmt: skip
_ML = Input("ml", "amount", "ml", over=0, most=MOST_MIX_ML, example=600)
_G = Input("g", "amount", "g", over=0, most=MOST_MIX_ML * MOST_DENSITY, example=500)
MIXED = replace(_ML, name="mixed", label="how much is mixed")
NEED = Input(
    "need", "needed, mixed", "ml", "amount", of=(_ML, _G), offered=300, example="600ml",
    help="how much is needed",
)  # fmt: skip
LEFT = Input(
    "left", "left of each part", kind="by part", of=(_ML, _G), asked=False, example="340ml,70ml,",
    help="what is left of each part, in the order printed, nothing where there is plenty",
)  # fmt: skip
POURED = Input(
    "poured", "in the cup already", kind="by part", of=(_ML, _G), asked=False, example="base=420ml",
    help="the one part that is in the cup already",
)  # fmt: skip
MARK = replace(
    _ML, name="mark", label="fill the cup to this line", asked=False, example=800,
    help="fill the cup to this line",
)  # fmt: skip
CUP = replace(
    _ML, name="cup", label="the cup holds", optional=True, example=1000, help="what the cup holds",
    empty="big enough",
)  # fmt: skip
CUP_STEP = replace(
    _ML, name="cup_step", label="a line on the cup every", offered=10, example=10,
    help="from line to line on the cup: gives the batches on the lines below and above",
)  # fmt: skip
PRICES = Input(
    "prices", "price of a litre", kind="by part", example="30,50,8",
    of=(Input("price", "price", "", least=0, most=100_000, example=30),),
    help="money a litre of each part in the order printed, the thinner last",
)  # fmt: skip
DENSITY = Input(
    "density", "density", "g/ml", least=mixing.LEAST_DENSITY, most=MOST_DENSITY, bare=True,
    example=1.4,
)  # fmt: skip
THINNER_SHARE = Input(
    "thinner", "thinner", "%", least=0, most=mixing.MOST_THINNER_PCT, optional=True, example=10,
    help="10 %; of a range the smallest is taken otherwise",
)  # fmt: skip

AREA = Input("area", "area", "m2", over=0, most=film.MOST_AREA_M2, example=7.5)
DRY = Input(
    "dry", "dry film of a coat", "um", over=0, most=film.MOST_DRY_UM, example=60, known="dry",
    help="the film wanted",
)  # fmt: skip
WET = Input(
    "wet", "wet film", "um", over=0, most=film.MOST_WET_UM, example=150,
    help="what the comb reads: gives the dry film",
)  # fmt: skip
COATS = Input("coats", "coats", "", "whole", least=1, most=20, usual=1, example=2)
SOLIDS = Input(
    "solids", "volume solids, no thinner", "%", over=0, most=100, example=45, known="solids",
    help="volume solids without thinner",
)  # fmt: skip
THINNER = Input(
    "thinner", "thinner, of base + hardener", "%", least=0, most=film.MOST_THINNER_PCT, usual=0,
    example=10, known="thinner", help="by volume, of base and hardener together",
)  # fmt: skip
LOST = Input(
    "lost", "left in can and hose, blown away", "%", least=0, most=99, usual=0, example=5,
    help="left in can and hose, or blown away",
)  # fmt: skip
SHAPES = {
    "flat": "an open face", "frame": "rails, tubes, a frame", "small": "small parts on hooks",
}  # fmt: skip
TOOL = Input(
    "tool", "tool", kind="choice", choices={tool: tool for tool in get_args(Tool)}, known="tool",
    example="hvlp", help="the tool, with --shape: its smallest share is taken, to buy enough",
)  # fmt: skip
SHAPE = Input("shape", "shape", kind="choice", choices=SHAPES, usual="frame", example="frame")
TRANSFER = Input(
    "transfer", "transfer efficiency", "%", over=0, most=100, example=40,
    help="what reaches the part",
)  # fmt: skip
WHAT_LANDS = OneOf(
    "transfer efficiency", {"by tool and shape": (TOOL, SHAPE), "in percent": (TRANSFER,)}
)


def landing_pct_of(inputs: InputNamespace) -> float:
    """Return the percent that lands, whichever of WHAT_LANDS was given: of a tool its least."""
    if inputs.transfer is not None:
        return float(inputs.transfer)
    return film.transfer(inputs.tool, inputs.shape).least_pct


HAVE = Input(
    "have", "mixed paint there is", "l", over=0, most=film.MOST_LITRES, example=2.1,
    help="mixed paint there is: gives the film it makes",
)  # fmt: skip
FACES = Input(
    "faces", "faces", "", "whole", least=1, most=1000, example=8, help="how many faces"
)  # fmt: skip

AIR = Input(
    "air", "air", "C", least=air.COLDEST_AIR_C, most=air.HOTTEST_AIR_C, example=20, known="air"
)
RH = Input(
    "rh", "humidity", "%", least=air.LEAST_RH_PCT, most=100, example=65, known="rh",
    help="relative humidity",
)  # fmt: skip
METAL = Input(
    "metal", "surface temperature", "C", least=air.COLDEST_METAL_C, most=air.HOTTEST_METAL_C,
    example=15, known="metal",
)  # fmt: skip
TEMPERATURE = Input(
    "at", "temperature", "C", least=ageing.COLDEST_C, most=ageing.HOTTEST_C, example=20,
    known="paint",
)  # fmt: skip
LISTED_TEMPERATURE = replace(TEMPERATURE, name="temp", known="")
TABLE = Input(
    "table", "the sheet's time", kind="table", example="20C=2h", known="table",
    of=(
        LISTED_TEMPERATURE,
        Input("hours", "time", "h", over=0, most=ageing.MOST_TABLE_S / 3600, example=16),
    ),
    help="the sheet's times at temperatures, from cold to warm: 10C=24h,20C=16h,30C=10h",
)  # fmt: skip
EDGE = Input(
    "edge", "what it is", kind="choice", usual="opening", known="edge", example="closing",
    choices={
        "opening": "a wait: too early is the danger",
        "closing": "a life or a window: too late",
    },
    help="opening: a wait (if nothing is said); closing: a pot life or a window's end",
)  # fmt: skip
MIN_TEMPERATURE = replace(
    TEMPERATURE, name="least", label="the sheet's minimum temperature", optional=True, asked=False,
    known="least", example=10, help="the sheet's minimum: below it nothing ages towards an opening",
)  # fmt: skip
FAN = Input("fan", "fan width", "cm", least=1, most=100, offered=25, example=25)
OVERLAP = Input(
    "overlap", "overlap, of the fan width", "%", least=0, most=90, offered=50, example=50,
    known="overlap",
)  # fmt: skip

"""Spraying: film of a pass, a wrong distance or angle, passes, set-ups, what went wrong."""

from __future__ import annotations

from dataclasses import replace

from bench.process.sheets.route import SprayTool
from bench.sums.inputs import FAN, OVERLAP, SHAPE, SOLIDS, TOOL, TRANSFER, landing_pct_of
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
from bench.trade import spraying
from bench.trade.spraying import SYMPTOMS

GROUP = "spraying"


def _pass(inputs: InputNamespace) -> SumAnswer:
    film = spraying.film_of_pass(
        inputs.flow, inputs.fan, inputs.speed, inputs.overlap, landing_pct_of(inputs), inputs.solids
    )
    return SumAnswer(
        vars(film),
        why=("A mean: the fan lays more in its middle, a frame lets much of it past.",),
    )


def _distance(inputs: InputNamespace) -> SumAnswer:
    share = spraying.distance_ratio(inputs.distance, inputs.held)
    far = "Too far off the loss is greater still: paint dries and drifts on the way."
    near = "Too near it runs, and the fan is narrower."
    return SumAnswer(
        {"distance_share": share, "percent": 100 * share}, why=(far if share < 1 else near,)
    )


def _angle(inputs: InputNamespace) -> SumAnswer:
    arc = spraying.arc_ratio(inputs.angle)
    return SumAnswer(
        {
            "angle_share": arc.sweep_and_fan,
            "angle_share_sweep": arc.sweep,
            "percent": 100 * arc.sweep_and_fan,
            "sweep_percent": 100 * arc.sweep,
        },
        why=("Move the arm, not the wrist.",),
    )


def _passes(inputs: InputNamespace) -> Values:
    values = {
        "passes": spraying.passes_to_cover(inputs.height, inputs.fan, inputs.overlap),
        "step_cm": inputs.fan * (1 - inputs.overlap / 100),
    }
    if inputs.distance is not None:
        values["edge_pct"] = 100 * spraying.fan_edge_share(inputs.fan, inputs.distance)
    return values


def _set_up(inputs: InputNamespace) -> SumAnswer:
    tool: SprayTool = inputs.tool
    return SumAnswer(
        {
            "distance_cm": _span(tool.distance_cm),
            "overlap_pct": _span(tool.overlap_pct),
            "speed_cm_s": _span(tool.speed_cm_s),
            "air": tool.air,
            "tip": tool.tip,
        },
        why=("Starting points: the gun's own card wins.",),
    )


def _span(span: tuple[float, float] | None) -> tuple[float, ...]:
    return () if span is None else tuple(dict.fromkeys(span))


def _symptom(inputs: InputNamespace) -> Values:
    return {
        "symptoms": [
            {"seen": each.seen, "cause": each.cause, "next_pass": each.next_pass}
            for each in inputs.symptom
        ]
    }


_LANDS = OneOf(
    "transfer efficiency",
    {"by tool and shape": (TOOL, SHAPE), "in percent": (replace(TRANSFER, over=None, least=1),)},
)
_FLOW = Input("flow", "paint that leaves the gun", "ml/min", least=1, most=5000, example=200,
               help="mixed paint")  # fmt: skip
_SPEED = Input(
    "speed", "speed of the hand", "cm/s", least=1, most=200, offered=46, example=46, known="speed",
    help="of the hand",
)  # fmt: skip
_SOLIDS = replace(
    SOLIDS, label="volume solids as sprayed", least=1, over=None, example=40, known="solids_mixed",
    help="volume solids as sprayed",
)  # fmt: skip
_DISTANCE = Input(
    "distance", "distance as meant", "cm", least=3, most=100, offered=20, example=20,
    help="from the part, as meant; with --held",
)  # fmt: skip
_HELD = replace(
    _DISTANCE, name="held", label="as it is held", offered=None, example=30,
    help="from the part, as it was",
)  # fmt: skip
_ANGLE = Input(
    "angle", "the gun out of square", "degrees", least=-60, most=60, example=30,
    help="of the gun out of square",
)  # fmt: skip
_HEIGHT = Input(
    "height", "height of the face", "cm", least=1, most=2000, example=100,
    help="of a face to cover, with --fan and --overlap",
)  # fmt: skip
_TOOL = Input("tool", "tool", kind="tool", known="tool")
_SYMPTOM = Input(
    "symptom", "seen on the part", kind="choice", example="sandy", take=spraying.symptoms_like,
    choices={each.words[0]: each.seen for each in SYMPTOMS}, help="what is seen",
)  # fmt: skip

CALCULATIONS = (
    Calculation(
        "spray", "film of a pass", GROUP,
        (_LANDS, _FLOW, FAN, _SPEED, OVERLAP, _SOLIDS), _pass,
        (
            Result("wet_um", "a coat, wet", "um", big=True),
            Result("dry_um", "a coat, dry", "um", big=True),
        ),
        Example(
            "--flow 200ml/min --fan 25cm --speed 46cm/s --overlap 50% --transfer 65% --solids 40%",
            {"dry_um": 15.072464}, "row FILM-1: 15.07 um",
        ),
        "flow x transfer efficiency / (speed x fan x (1 - overlap)); balance of volumes",
        product="solids",
    ),
    Calculation(
        "spray", "a wrong distance", GROUP, (_DISTANCE, _HELD), _distance,
        (Result("distance_share"), Result("percent", "of the film", "%", big=True)),
        Example("--distance 20cm --held 30cm", {"distance_share": 0.666667}, "row DIST-20-30"),
        "meant / held: geometry",
    ),
    Calculation(
        "spray", "a swung wrist", GROUP, (_ANGLE,), _angle,
        (
            Result("angle_share"), Result("angle_share_sweep"),
            Result("percent", "of the film", "%", big=True),
            Result("sweep_percent", "from the faster sweep alone", "%"),
        ),
        Example("--angle 30deg", {"angle_share": 0.649519}, "row ARC-30: 0.650"),
        "cos^2 of the sweep, cos^3 of sweep and fan: geometry",
    ),
    Calculation(
        "spray", "passes to cover a face", GROUP,
        (_HEIGHT, FAN, OVERLAP, replace(_DISTANCE, label="distance", offered=20, optional=True,
                                        help="from the part; gives the film at the fan's edge")),
        _passes,
        (
            Result("passes", "passes", side="up", decimals=0, big=True),
            Result("step_cm", "step", "cm"),
            Result("edge_pct", "film at the fan's edge", "% of its middle, or less"),
        ),
        Example("--height 100cm --fan 25cm --overlap 50%", {"passes": 7},
                "row PASS-25-50-100"),
        "ceil((height - fan) / (fan (1 - overlap))) + 1: geometry",
    ),
    Calculation(
        "set-up", "set-up of a tool", GROUP, (_TOOL,), _set_up,
        (
            Result("distance_cm", "distance", "cm", big=True),
            Result("overlap_pct", "overlap", "%", big=True),
            Result("speed_cm_s", "speed of the hand", "cm/s", big=True),
            Result("air", "air", kind="text"),
            Result("tip", "tip", kind="text"),
        ),
        Example("", {}, "row T-overlap"),
        "the shop's own tools",
    ),
    Calculation(
        "spray", "what went wrong, and the next pass", GROUP, (_SYMPTOM,), _symptom,
        (
            Result("symptoms", kind="list", each=(
                Result("seen", "seen", kind="text"),
                Result("cause", "likely", kind="text"),
                Result("next_pass", "next pass", kind="text"),
            )),
        ),
        Example("--symptom sandy", {}, spraying.PRACTICE),
        spraying.PRACTICE,
    ),
)  # fmt: skip

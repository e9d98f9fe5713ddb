"""Spraying: film of a pass, a wrong distance or angle, passes, set-ups, what went wrong."""

from __future__ import annotations

from bench.process.route import SprayTool
from bench.process.spoken import figure
from bench.screens.sums.paints import landing, paint, thinner_least_pct
from bench.screens.sums.road import (
    USUAL,
    Asking,
    Facts,
    Group,
    Road,
    Sum,
    number,
    pick,
    sheet_number,
)
from bench.screens.sums.told import Figure, Told, doubts
from bench.trade import film, spraying
from bench.trade.spraying import SYMPTOMS

_FAN_CM, _OVERLAP_PCT, _DISTANCE_CM, _SPEED_CM_S = 25.0, 50.0, 20.0, 46.0
"""A fan of 25 cm at 20 cm, half over the last, half a yard a second (common practice)."""


def _tool(facts: Facts, own: str = "") -> Asking[SprayTool]:
    """A tool of the shop that sprays."""
    tools = [tool for tool in facts.view.tools.values() if tool.sprayed]
    if not tools:
        raise ValueError("no tool that sprays among the shop's: add one to its tools")
    keys = [tool.key for tool in tools]
    start = keys.index(own) if own in keys else 0
    return tools[(yield from pick("tool", tuple(tool.name for tool in tools), start))]


def _span(span: tuple[float, float]) -> str:
    least, most = span
    return f"{least:g}" if least == most else f"{least:g}-{most:g}"


def _middle(span: tuple[float, float] | None, otherwise: float) -> float:
    return otherwise if span is None else sum(span) / 2


def _pass(facts: Facts) -> Road:
    known = yield from paint(facts)
    tool = yield from _tool(facts, known.tool if known else "")
    flow_ml_min = yield from number("paint that leaves the gun", "ml/min", such_as=200)
    fan_cm = yield from number("fan", "cm", _FAN_CM, USUAL)
    usual_cm_s = _middle(tool.speed_cm_s, _SPEED_CM_S)
    speed_cm_s = yield from number("speed of the hand", "cm/s", usual_cm_s, tool.name)
    least_pct = tool.overlap_pct[0] if tool.overlap_pct else _OVERLAP_PCT
    overlap_pct = yield from number("overlap, of the fan", "%", least_pct, tool.name)
    transfer_pct = yield from landing(tool.key)
    value = known.volume_solids_pct if known else None
    if value is not None:
        value = film.solids_mixed_pct(value, thinner_least_pct(known))
    solids_pct = yield from sheet_number("volume solids as sprayed", "%", value, known, 40)
    laid = spraying.film_of_pass(
        flow_ml_min, fan_cm, speed_cm_s, overlap_pct, transfer_pct, solids_pct
    )
    return Told(
        (
            Figure("a coat, wet", figure(laid.wet_um), "um", big=True),
            Figure("a coat, dry", figure(laid.dry_um), "um", big=True),
        ),
        why=("A mean: the fan lays more in its middle, a frame lets much of it past.",),
        guesses=doubts(known),
    )


def _distance(_: Facts) -> Road:
    meant_cm = yield from number("distance as meant", "cm", _DISTANCE_CM, USUAL)
    held_cm = yield from number("as it is held", "cm", such_as=30)
    share = spraying.distance_ratio(meant_cm, held_cm)
    rows = (Figure("of the film, %", figure(100 * share), big=True),)
    why = ("Too far off the loss is greater still: paint dries and drifts on the way.",)
    return Told(rows, why=why if share < 1 else ("Too near it runs, and the fan is narrower.",))


def _angle(_: Facts) -> Road:
    angle = yield from number("the gun out of square", "degrees", such_as=30)
    found = spraying.arc_ratio(angle)
    rows = (
        Figure("of the film, %", figure(100 * found.sweep_and_fan), big=True),
        Figure("from the faster sweep alone", figure(100 * found.sweep), "%"),
    )
    return Told(rows, why=("Move the arm, not the wrist.",))


def _passes(_: Facts) -> Road:
    height_cm = yield from number("height of the face", "cm", such_as=100)
    fan_cm = yield from number("fan", "cm", _FAN_CM, USUAL)
    overlap_pct = yield from number("overlap, of the fan", "%", _OVERLAP_PCT, USUAL)
    distance_cm = yield from number("distance", "cm", _DISTANCE_CM, USUAL)
    passes = spraying.passes_to_cover(height_cm, fan_cm, overlap_pct)
    edge_pct = 100 * spraying.fan_edge_share(fan_cm, distance_cm)
    rows = (
        Figure("passes", str(passes), big=True),
        Figure("step", figure(fan_cm * (1 - overlap_pct / 100)), "cm"),
        Figure("film at the fan's edge", figure(edge_pct), "% of its middle, or less"),
    )
    return Told(rows)


def _set_up(facts: Facts) -> Road:
    own = facts.view.products.get(facts.product)
    tool = yield from _tool(facts, own.tool if own else "")
    rows = []
    for what, span, unit in (
        ("distance", tool.distance_cm, "cm"),
        ("overlap", tool.overlap_pct, "%"),
        ("speed of the hand", tool.speed_cm_s, "cm/s"),
    ):
        if span is not None:
            rows.append(Figure(what, _span(span), unit, big=True))
    rows += [Figure(what, said) for what, said in (("air", tool.air), ("tip", tool.tip)) if said]
    return Told(tuple(rows), why=("Starting points: the gun's own card wins.",))


def _symptom(_: Facts) -> Road:
    seen = SYMPTOMS[(yield from pick("seen on the part", tuple(each.seen for each in SYMPTOMS)))]
    rows = (
        Figure("likely", seen.cause),
        Figure("next pass", seen.next_pass),
        Figure("source", seen.source),
    )
    return Told(rows)


GROUP = Group(
    "spraying",
    (
        Sum("film of a pass", (), _pass),
        Sum("a wrong distance", (), _distance),
        Sum("a swung wrist", (), _angle),
        Sum("passes to cover a face", (), _passes),
        Sum("set-up of a tool", (), _set_up),
        Sum("what went wrong, and the next pass", (), _symptom),
    ),
)

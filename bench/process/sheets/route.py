"""Routes: the ordered steps from bare substrate to CURED."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import ClassVar, Literal

from bench.process.sheets.measurement_kinds import Accepted
from bench.process.sheets.product import (
    STRICT,
    BadSheet,
    Band,
    Product,
    check_each,
    raise_each,
)
from bench.process.sheets.product_rules import check_bands, check_measured, check_texts

ZINC = ("zinc", "weathered-zinc")
"""Substrates that give zinc fume when they are heated or ground."""

StepKind = Literal["work", "dwell", "coat", "cure"]

BARE_METALS = ("zinc", "weathered-zinc", "steel", "cast-iron", "aluminium")
"""Surfaces on which no coat holds unless they were prepared."""


@dataclass(frozen=True)
class Step:
    """One step of a route.

    kind: ``work`` is begun and finished; ``dwell`` soaks zone by zone between least_s and most_s;
    work that has these two, such as degreasing, soaks as a whole;
    ``coat`` goes on face by face; ``cure`` runs by itself from the last coat.
    bands: what the finished step leaves behind; without any, a coat takes its product's and
    anything else is open for good. continues: one coat with the step before it (mist, then build),
    so "too late" counts from that step's first face. wet_on_wet: goes onto a coat that has not
    flashed off. remedy: what to do when the window was missed; of a wash or other work, where its
    test is not passed. hazards: names out of ``process/safety/hazards.py`` that come of the step
    itself, such as "dust". measure: kinds out of ``measurement_kinds.py`` that are wanted of it; no
    step waits for them, unless it is a hold_point. accept: their limits.
    labour_s, labour_s_m2: how long it keeps hands busy, for each lot and for each m2; hands: pairs
    of them, "1-2" where two may share what is one painter's labour; follow_s: the longest pause
    before the next step, 0 at once; abrading_s: what it takes to abrade below it after a missed
    window; spray_space: whether it takes one; place: where it is done, empty for the shop's one
    room. Not typed, they are as ``labour.py`` takes them to be.
    """

    __pydantic_config__: ClassVar = STRICT
    name: str
    kind: StepKind
    product: str = ""
    tool: str = ""
    tick: bool = False
    least_s: float = 0.0
    most_s: float = 0.0
    bands: tuple[Band, ...] = ()
    test: str = ""
    continues: bool = False
    wet_on_wet: bool = False
    remedy: str = ""
    equipment: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    wear: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    reminders: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    accept: tuple[Accepted, ...] = ()
    hold_point: bool = False
    labour_s: float | None = None
    labour_s_m2: float | None = None
    hands: Literal[1, 2, "1-2"] | None = None
    follow_s: float | None = None
    abrading_s: float | None = None
    spray_space: bool | None = None
    place: str = ""


def tool_key(step: Step, product: Product | None) -> str:
    """Return the key of the tool of a step: its own, else its product's; empty without one."""
    return step.tool or (product.tool if product else "")


@dataclass(frozen=True)
class Route:
    """The steps for one substrate. seldom: offered after those that are not."""

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    substrate: str
    steps: tuple[Step, ...]
    seldom: bool = False


@dataclass(frozen=True)
class Shape:
    """What kind of thing a part is: its faces in the order they are sprayed, and its wash zones.

    area_m2: of all faces of one piece, from a ``placeholder`` until the shop typed its own; like:
    how it catches the fan (an open face, rails and tubes, or small things on hooks).
    """

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    faces: tuple[str, ...]
    zones: tuple[str, ...] = ("ALL",)
    area_m2: float | None = None
    like: Literal["flat", "frame", "small"] = "frame"
    source: Literal["sheet", "placeholder"] = "placeholder"


@dataclass(frozen=True)
class SprayTool:
    """Starting points for one tool; the gun's own card wins. Lengths in cm, speed in cm/s."""

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    sprayed: bool
    distance_cm: tuple[float, float] | None = None
    overlap_pct: tuple[float, float] | None = None
    speed_cm_s: tuple[float, float] | None = None
    air: str = ""
    tip: str = ""


def check_route(route: Route, products: dict[str, Product], tools: dict[str, SprayTool]) -> None:
    """Raise BadSheet with every fault: a name that does not exist, steps that never cure."""
    check_each(
        partial(check_texts, route),
        partial(_check_ends_in_cure, route),
        *(
            partial(_check_step, route, number, products, tools)
            for number in range(len(route.steps))
        ),
    )


def _check_ends_in_cure(route: Route) -> None:
    if not route.steps or route.steps[-1].kind != "cure":
        raise BadSheet(
            ("steps", len(route.steps) - 1),
            "the last step must be of kind 'cure': only a cure ends in CURED",
        )
    if not any(step.kind == "coat" for step in route.steps):
        raise BadSheet(("steps",), "no coat before the cure; add a step of kind 'coat'")


def check_prepared(route: Route) -> None:
    """Raise BadSheet where a route coats bare metal that no step of it prepares."""
    first = next((n for n, step in enumerate(route.steps) if step.kind == "coat"), None)
    if first == 0 and route.substrate in BARE_METALS:
        bare = route.substrate.replace("-", " ")
        raise BadSheet(
            ("steps", first),
            f"nothing prepares the bare {bare} before this coat; add a step of kind 'work', "
            "which is skipped as 'already done' on parts that come prepared",
        )


def _check_step(
    route: Route, number: int, products: dict[str, Product], tools: dict[str, SprayTool]
) -> None:
    step, here = route.steps[number], ("steps", number)
    check_each(
        partial(check_texts, step, here),
        partial(_check_names, step, here, products, tools),
        partial(_check_place, route, number, here),
        partial(_check_coat, step, here, products),
        partial(_check_soak, step, here),
        partial(_check_measured, step, here),
        partial(_check_own_bands, step, here),
        partial(check_labour, step, here),
    )


def _check_names(
    step: Step,
    here: tuple[str | int, ...],
    products: dict[str, Product],
    tools: dict[str, SprayTool],
) -> None:
    for what, key, there in (("product", step.product, products), ("tool", step.tool, tools)):
        if key and key not in there:
            names = ", ".join(sorted(there))
            raise BadSheet((*here, what), f"no {what} '{key}'; there are: {names}")


def _check_place(route: Route, number: int, here: tuple[str | int, ...]) -> None:
    """Raise BadSheet where a step may not stand behind the one before it."""
    step = route.steps[number]
    if step.kind == "cure" and number != len(route.steps) - 1:
        raise BadSheet((*here, "kind"), "a cure in the middle; only the last step cures")
    onto_coat = number > 0 and route.steps[number - 1].kind == "coat"
    for what in ("continues", "wet_on_wet"):
        if getattr(step, what) and not onto_coat:
            raise BadSheet((*here, what), f"'{what}' needs a coat just before it")


def _check_coat(step: Step, here: tuple[str | int, ...], products: dict[str, Product]) -> None:
    if step.wet_on_wet and step.kind != "coat":
        raise BadSheet((*here, "wet_on_wet"), "only a coat goes on wet on wet")
    if step.kind != "coat":
        return
    if not step.product:
        raise BadSheet(here, "a coat needs a 'product'")
    product = products.get(step.product)
    if product is not None and not (step.bands or product.bands):
        raise BadSheet(
            here, f"neither this coat nor '{step.product}' has bands; say when it may be recoated"
        )


def _check_soak(step: Step, here: tuple[str | int, ...]) -> None:
    timed = bool(step.least_s or step.most_s)
    if timed and step.kind not in ("work", "dwell"):
        raise BadSheet(here, "only a dwell, or work such as degreasing, has 'least' and 'most'")
    if (timed or step.kind == "dwell") and not 0 < step.least_s < step.most_s:
        raise BadSheet(here, "a dwell needs 'least' and 'most', least first, both over 0")


def _check_measured(step: Step, here: tuple[str | int, ...]) -> None:
    check_measured(step.accept, step.measure, here)
    of_coat = {"wft", "dft"} & {*step.measure}
    if of_coat and step.kind != "coat":
        raise BadSheet((*here, "measure"), f"only a coat has a film; take '{min(of_coat)}' out")
    if step.hold_point and (step.kind == "cure" or not (step.test or step.measure)):
        words = "nothing says what it holds for; give a step before the cure 'test' or 'measure'"
        raise BadSheet((*here, "hold_point"), words)


MOST_LABOUR_S = 24 * 3600.0
MOST_LABOUR_S_M2 = 8 * 3600.0
MOST_FOLLOW_S = 7 * 24 * 3600.0
MOST_PLACE = 30
"""Longest name of a place, in letters: it stands in a lane's title."""

_LABOUR = ("labour_s", "labour_s_m2", "hands", "follow_s", "abrading_s", "spray_space", "place")


def check_labour(step: Step, here: tuple[str | int, ...] = ()) -> None:
    """Raise BadSheet with every fault of what a step says of its work."""
    if step.kind == "cure":
        typed = [name for name in _LABOUR if getattr(step, name) not in (None, "")]
        words = "a cure is no work; take it out"
        raise_each([BadSheet((*here, name), words) for name in typed])
        return
    faults = []
    for name, word, least_s, most_s, right in (
        ("labour_s", "labour", 1, MOST_LABOUR_S, "over 0, up to 24 h"),
        ("labour_s_m2", "labour_m2", 0, MOST_LABOUR_S_M2, "from 0 to 8 h/m2"),
        ("follow_s", "follow", 0, MOST_FOLLOW_S, "from 0 to 7 d"),
        ("abrading_s", "abrading", 1, MOST_LABOUR_S, "over 0, up to 24 h"),
    ):
        value = getattr(step, name)
        if value is not None and not least_s <= value <= most_s:
            faults.append(BadSheet((*here, name), f"{word} {value / 60:g} min; it is {right}"))
    if step.abrading_s is not None and step.kind != "coat":
        words = "only a coat is abraded for; take it out"
        faults.append(BadSheet((*here, "abrading_s"), words))
    if len(step.place) > MOST_PLACE:
        words = f"place has {len(step.place)} letters; write up to {MOST_PLACE}"
        faults.append(BadSheet((*here, "place"), words))
    raise_each(faults)


def _check_own_bands(step: Step, here: tuple[str | int, ...]) -> None:
    try:
        check_bands(step.bands)
    except BadSheet as fault:
        raise_each([BadSheet((*here, *each.where), str(each)) for each in fault.each])

"""Routes: the ordered steps from bare substrate to CURED."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.process.sheets.product import STRICT, BadSheet, Band, Product, check_bands, check_texts

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
    flashed off. remedy: what to do when the window was missed; of a wash or other work,
    where its test is not passed. hazards: names out of ``process/safety/hazards.py`` that come of
    the step itself, such as "dust".
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
    """Raise BadSheet when the route names what does not exist or cannot end in CURED."""
    check_texts(route)
    if not route.steps or route.steps[-1].kind != "cure":
        raise BadSheet(
            ("steps", len(route.steps) - 1),
            "the last step must be of kind 'cure': only a cure ends in CURED",
        )
    if not any(step.kind == "coat" for step in route.steps):
        raise BadSheet(("steps",), "no coat before the cure; add a step of kind 'coat'")
    for number, step in enumerate(route.steps):
        here = ("steps", number)
        check_texts(step, here)
        _check_step(step, here, products, tools)
        if step.kind == "cure" and number != len(route.steps) - 1:
            raise BadSheet((*here, "kind"), "a cure in the middle; only the last step cures")
        onto_coat = number > 0 and route.steps[number - 1].kind == "coat"
        for what in ("continues", "wet_on_wet"):
            if getattr(step, what) and not onto_coat:
                raise BadSheet((*here, what), f"'{what}' needs a coat just before it")


def check_prepared(route: Route) -> None:
    """Raise BadSheet where a route coats bare metal that no step of it prepares."""
    first = next(n for n, step in enumerate(route.steps) if step.kind == "coat")
    if first == 0 and route.substrate in BARE_METALS:
        bare = route.substrate.replace("-", " ")
        raise BadSheet(
            ("steps", first),
            f"nothing prepares the bare {bare} before this coat; add a step of kind 'work', "
            "which is skipped as 'already done' on parts that come prepared",
        )


def _check_step(
    step: Step,
    here: tuple[str | int, ...],
    products: dict[str, Product],
    tools: dict[str, SprayTool],
) -> None:
    if step.product and step.product not in products:
        raise BadSheet(
            (*here, "product"),
            f"no product '{step.product}'; there are: {', '.join(sorted(products))}",
        )
    if step.tool and step.tool not in tools:
        raise BadSheet(
            (*here, "tool"), f"no tool '{step.tool}'; there are: {', '.join(sorted(tools))}"
        )
    if step.wet_on_wet and step.kind != "coat":
        raise BadSheet((*here, "wet_on_wet"), "only a coat goes on wet on wet")
    if step.kind == "coat" and not step.product:
        raise BadSheet(here, "a coat needs a 'product'")
    if step.kind == "coat" and not (step.bands or products[step.product].bands):
        raise BadSheet(
            here, f"neither this coat nor '{step.product}' has bands; say when it may be recoated"
        )
    timed = bool(step.least_s or step.most_s)
    if timed and step.kind not in ("work", "dwell"):
        raise BadSheet(here, "only a dwell, or work such as degreasing, has 'least' and 'most'")
    if (timed or step.kind == "dwell") and not 0 < step.least_s < step.most_s:
        raise BadSheet(here, "a dwell needs 'least' and 'most', least first, both over 0")
    try:
        check_bands(step.bands)
    except BadSheet as fault:
        raise BadSheet((*here, *fault.where), str(fault)) from fault

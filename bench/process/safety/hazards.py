"""What can hurt a person at a step or at the mixing cup: the cautions by harm, and what to wear.

Reminders, not permission: data sheet, safety data sheet (SDS) and local law go before all of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from bench.process.parts.part import Part, StepRecord
from bench.process.safety.masks import is_sprayed
from bench.process.sheets.product import COATS, Product
from bench.process.sheets.route import ZINC, Shape, SprayTool, Step

Harm = Literal["breath", "skin and eyes", "fire", "lifting", "water"]
"""What is hurt, in the order it is shown; what spoils the finish only comes after all of them."""

HARMS: tuple[str, ...] = get_args(Harm)

AIR_FED_MASK = "air-fed mask, visor down"
HALF_MASK = "half mask A2P3, or AX as the SDS says (US: OV/P100)"
DUST_MASK = "FFP3 (US: P100)"
BLAST_HOOD = "air-fed blast helmet, or closed cabinet"
FACE_SHIELD = "goggles and face shield"
SPLASH_GOGGLES = "splash goggles"
GOGGLES = "goggles"
ACID_GLOVES = "acid-proof gloves"
TAPED_GLOVES = "nitrile gloves, cuffs taped"
GLOVES = "nitrile gloves"
HOOD = "overalls and hood"
OVERALLS = "overalls"

SPARED_BY: dict[str, tuple[str, ...]] = {
    AIR_FED_MASK: (HALF_MASK, DUST_MASK, GOGGLES),
    HALF_MASK: (DUST_MASK,),
    BLAST_HOOD: (DUST_MASK, GOGGLES),
    FACE_SHIELD: (SPLASH_GOGGLES, GOGGLES),
    SPLASH_GOGGLES: (GOGGLES,),
    ACID_GLOVES: (GLOVES,),
    TAPED_GLOVES: (GLOVES,),
    HOOD: (OVERALLS,),
}
"""What is worn: what it makes needless, because it covers the same and more."""


@dataclass(frozen=True)
class Hazard:
    """One way to be hurt. why: the rule or reason it stands for, with its source."""

    name: str
    harm: Harm
    caution: str
    where: str
    why: str
    wear: tuple[str, ...] = ()


HAZARDS: tuple[Hazard, ...] = (
    Hazard(
        "isocyanate",
        "breath",
        "ISOCYANATE (2K polyurethane). Air-fed mask on until the measured clearance time is over "
        "and the room is checked; leave the room with the mask on.",
        "coats and mixing of products with `isocyanate = true`",
        "HSE (UK) on isocyanate spraying: air-fed mask to EN 14594 class 4, visor down; seen",
        (AIR_FED_MASK, TAPED_GLOVES, HOOD),
    ),
    Hazard(
        "isocyanate",
        "breath",
        "Mask face-fit tested; breathing air checked: no CO, clean intake. Trained and authorised "
        "users only, as local law asks; health surveillance.",
        "coats and mixing of products with `isocyanate = true`",
        "HSE (UK): face fit, air quality, health surveillance; EU 2020/1149: training; from memory",
    ),
    Hazard(
        "fresh isocyanate",
        "breath",
        "Fresh isocyanate paint under it: air-fed mask for abrading and repair, extraction on.",
        "work and cure over isocyanate paint before its full cure",
        "paint that still reacts gives off isocyanate when abraded; common practice, no source",
        (AIR_FED_MASK, TAPED_GLOVES, HOOD),
    ),
    Hazard(
        "mist",
        "breath",
        "Paint mist and vapour: mask on, extraction on.",
        "sprayed coats without isocyanate",
        "EN 14387 class A2P3 is the usual filter, AX for very volatile solvents; the SDS decides; "
        "from memory",
        (HALF_MASK, GOGGLES, GLOVES, OVERALLS),
    ),
    Hazard(
        "vapour",
        "breath",
        "Solvent vapour: mask on, extraction on.",
        "brushed coats, mixing and wiping with solvent, without isocyanate",
        "as above",
        (HALF_MASK,),
    ),
    Hazard(
        "acid wash",
        "breath",
        "Acid and alcohol vapour: mask on, extraction on or outdoors.",
        "acid wash and its rinse",
        "common practice, no source; the SDS decides",
        (HALF_MASK,),
    ),
    Hazard(
        "lead",
        "breath",
        "Old paint may hold LEAD or CHROMATE: test before any dust. If so: wet only, no dry "
        "sanding, no torch, and what local law asks.",
        "steps that make dust on old paint",
        "lead at work rules ask for it to be known before it is abraded; from memory",
        (DUST_MASK, GLOVES, OVERALLS),
    ),
    Hazard(
        "chromate",
        "breath",
        "Etch primer may hold CHROMATE (cancer): read its SDS; abrade it wet only.",
        "etch primer coats and mixing, and steps that make dust over it",
        "zinc chromate pigments are carcinogens 1A in the EU list; from memory",
    ),
    Hazard(
        "dust",
        "breath",
        "Dust: mask on, extraction on; none of it goes home.",
        "steps that file, sand, key or repair",
        "FFP3 (EN 149), US P100; common practice, no source",
        (DUST_MASK, GOGGLES, GLOVES),
    ),
    Hazard(
        "zinc",
        "breath",
        "Zinc fume: by hand; no torch, no welding, no dry grinding.",
        "steps that make dust on zinc",
        "metal fume fever; common practice, no source",
    ),
    Hazard(
        "blast",
        "breath",
        "Blast dust: no silica sand; extraction on, hood on as long as dust hangs. Never while "
        "somebody breathes from the same compressor.",
        "blasting",
        "silica is banned as a blasting grit in the UK and elsewhere; from memory",
        (BLAST_HOOD, "ear muffs", "heavy gloves"),
    ),
    Hazard(
        "oven",
        "breath",
        "Oil smoke: extraction on, stay out of it.",
        "baking",
        "common practice, no source",
    ),
    Hazard(
        "injection",
        "skin and eyes",
        "INJECTION INJURY: hospital at once even if it looks small, take the data sheet; trigger "
        "locked, never a hand before the tip.",
        "airless spraying",
        "paint at 100 to 200 bar goes through skin; common practice, no source",
    ),
    Hazard(
        "acid wash",
        "skin and eyes",
        "ACID with copper salts: burns. Use as supplied, never with the alkaline wash; face shield "
        "on while acid is on the part. In the eye: rinse 15 min, doctor.",
        "acid wash and its rinse",
        "first aid as safety data sheets of acids say it, from memory",
        (ACID_GLOVES, FACE_SHIELD, "apron and boots"),
    ),
    Hazard(
        "acid",
        "skin and eyes",
        "ACID: burns, never with the alkaline wash; face shield on while acid is on the part. In "
        "the eye: rinse 15 min, doctor.",
        "phosphoric and rinse-free wash, and the rinse",
        "first aid as safety data sheets of acids say it, from memory",
        (ACID_GLOVES, FACE_SHIELD, "apron and boots"),
    ),
    Hazard(
        "alkali",
        "skin and eyes",
        "ALKALI: burns, never with the acid wash. In the eye: rinse 15 min, doctor.",
        "alkaline wash",
        "first aid as safety data sheets of alkalis say it, from memory",
        (GLOVES, SPLASH_GOGGLES, "apron"),
    ),
    Hazard(
        "acid activator",
        "skin and eyes",
        "Acid activator: gloves and goggles while mixing too.",
        "etch primer coats and mixing",
        "phosphoric acid in the activator; common practice, no source",
        (SPLASH_GOGGLES,),
    ),
    Hazard(
        "epoxy",
        "skin and eyes",
        "Epoxy can make you allergic for life.",
        "epoxy coats and mixing",
        "epoxy resins are skin sensitisers (H317); from memory",
    ),
    Hazard(
        "paint",
        "skin and eyes",
        "None on the skin; in the eye: rinse 15 min, doctor.",
        "all coats, mixing, thinner",
        "first aid as safety data sheets of paints say it, from memory",
        (GLOVES, GOGGLES),
    ),
    Hazard(
        "hot",
        "skin and eyes",
        "Hot wash and hot metal burn: heat-proof gloves.",
        "hot washing and baking",
        "common practice, no source",
        ("heat-proof gloves", GOGGLES),
    ),
    Hazard(
        "sharp",
        "skin and eyes",
        "Zinc spikes cut: cut-proof gloves.",
        "filing zinc",
        "common practice, no source",
        ("cut-proof gloves",),
    ),
    Hazard(
        "solvent",
        "fire",
        "Solvent vapour: no flame, no spark, no glowing heater.",
        "all coats, mixing, wiping with solvent, unless `water_borne = true`",
        "flammable liquids; common practice, no source",
    ),
    Hazard(
        "static",
        "fire",
        "Earth part, pot and gun.",
        "coats sprayed with a gun",
        "spraying charges what is not earthed; common practice, no source",
    ),
    Hazard(
        "aerosol",
        "fire",
        "Can hand-warm, never over 50 C; never pierce or burn it.",
        "coats sprayed from a can",
        "Directive 75/324/EEC, words on the can; from memory",
    ),
    Hazard(
        "acid wash",
        "fire",
        "Alcohol in it, hydrogen on zinc: no flame, no closed section.",
        "acid wash and its rinse",
        "common practice, no source; the SDS decides",
    ),
    Hazard(
        "leftovers",
        "fire",
        "Leftovers heat up: thin layer in an open metal tray in the extraction, away from what "
        "burns; never sealed (gas).",
        "mixing and binning of what has a hardener or activator",
        "a pot of two-pack paint heats itself, damp isocyanate makes carbon dioxide; common "
        "practice, no source",
    ),
    Hazard(
        "oily rags",
        "fire",
        "Oily rags catch fire by themselves: under water in a metal can with a lid.",
        "coats of alkyd enamel, wiping with thinner",
        "drying oils heat up; seen (rag-fire pages)",
    ),
    Hazard(
        "aluminium",
        "fire",
        "Aluminium dust burns: no spark, none left in a heap.",
        "steps that make dust on aluminium",
        "common practice, no source",
    ),
    Hazard(
        "cavity",
        "fire",
        "Mist in a closed cavity explodes: no flame, no spark, no welding near it.",
        "cavity wax",
        "common practice, no source",
    ),
    Hazard(
        "warm",
        "fire",
        "Warmed: no flame, no glowing heater; hand-warm at most before paint.",
        "steps that warm the metal",
        "solvent on hot metal; common practice, no source",
    ),
    Hazard(
        "oven",
        "fire",
        "Oven: nothing wet with solvent in it, no seals, no closed cavities; watched all the time.",
        "baking",
        "common practice, no source",
    ),
    Hazard(
        "lift",
        "lifting",
        "Place, turn and take off by two or with a hoist.",
        "every step of what is not small",
        "manual handling; common practice, no source",
    ),
    Hazard(
        "acid",
        "water",
        "Catch the rinse water as local rules say.",
        "phosphoric and rinse-free wash, and the rinse",
        "common practice, no source",
    ),
    Hazard(
        "acid wash",
        "water",
        "Copper and zinc salts kill water life: never to the drain; catch the rinse water as "
        "local rules say.",
        "acid wash and its rinse",
        "copper salts are toxic to water life (H410); from memory",
    ),
)
"""Every hazard, breath first; those of one name belong together."""

NAMES: frozenset[str] = frozenset(hazard.name for hazard in HAZARDS)


@dataclass(frozen=True)
class Ground:
    """What a step is done on.

    small: nobody is hurt by lifting it; chromate: a coat under it may hold chromate;
    fresh_isocyanate: isocyanate paint under it is not fully cured yet.
    """

    substrate: str
    small: bool = False
    chromate: bool = False
    fresh_isocyanate: bool = False


def ground_of(
    part: Part,
    before: StepRecord | None,
    products: dict[str, Product],
    shape: Shape | None,
    *,
    fresh_isocyanate: bool,
) -> Ground:
    """Give what is known of a part under a step; under all of its steps without one."""
    under = [
        products.get(record.step.product)
        for record in part.steps
        if record.status in ("done", "struck") and (not before or record.number < before.number)
    ]
    chromate = any(product is not None and "chromate" in product.hazards for product in under)
    small = shape is not None and shape.like == "small"
    return Ground(part.substrate, small, chromate, fresh_isocyanate)


def hazards_of(
    step: Step | None, product: Product | None, tool: SprayTool | None, ground: Ground
) -> tuple[Hazard, ...]:
    """Give what can hurt at a step, breath first; without a step what can once all is done."""
    names = {*_of_ground(step, ground)}
    if step is not None:
        names |= {*step.hazards, *_of_product(product), *_of_coat(step, product, tool)}
    return _hazards_by_name(names)


def hazards_of_mix(product: Product) -> tuple[Hazard, ...]:
    """Give what can hurt while it is mixed, and by what is left of it."""
    names = {*_of_product(product)}
    if product.isocyanate:
        names |= {"isocyanate"}
    elif "solvent" in names:
        names |= {"vapour"}
    return _hazards_by_name(names | ({"leftovers"} if product.ratio else set()))


def leftover_cautions(product: Product | None) -> tuple[str, ...]:
    """Give what is said where a pot of it is binned; nothing for what holds no second part."""
    mixed = product is not None and product.ratio is not None
    return tuple(hazard.caution for hazard in HAZARDS if mixed and hazard.name == "leftovers")


def lift_cautions(shape: Shape | None) -> tuple[str, ...]:
    """Give what is said where a part goes onto a stand or off it; nothing for a small one."""
    small = shape is not None and shape.like == "small"
    return tuple(hazard.caution for hazard in HAZARDS if hazard.name == "lift" and not small)


def _hazards_by_name(names: Iterable[str]) -> tuple[Hazard, ...]:
    wanted_names = set(names)
    return tuple(hazard for hazard in HAZARDS if hazard.name in wanted_names)


def _of_product(product: Product | None) -> Iterator[str]:
    """Yield its own hazards; paint and thinner are solvent unless the sheet says water."""
    if product is None:
        return
    yield from product.hazards
    if product.kind in (*COATS, "thinner"):
        yield "paint"
        if not product.water_borne:
            yield "solvent"


def _of_coat(step: Step, product: Product | None, tool: SprayTool | None) -> Iterator[str]:
    """Yield what comes of how it is put on. Without a tool isocyanate counts as sprayed."""
    breathed = product is not None and product.isocyanate
    sprayed = is_sprayed(step, product, tool)
    if breathed:
        yield "isocyanate"
    elif sprayed:
        yield "mist"
    elif "solvent" in _of_product(product):
        yield "vapour"
    if tool is not None and tool.key == "aerosol":
        yield "aerosol"
    elif sprayed:
        yield "static"
    if tool is not None and tool.key == "airless":
        yield "injection"


def _of_ground(step: Step | None, ground: Ground) -> Iterator[str]:
    """Yield what comes of the part it is done on: dust is as bad as what it is the dust of."""
    if not ground.small:
        yield "lift"
    if ground.fresh_isocyanate and (step is None or step.kind in ("work", "cure")):
        yield "fresh isocyanate"
    if step is None or not {"dust", "blast"} & set(step.hazards):
        return
    if ground.substrate == "old-paint":
        yield "lead"
    if ground.chromate:
        yield "chromate"
    if ground.substrate in ZINC:
        yield "zinc"
    if ground.substrate == "aluminium":
        yield "aluminium"


# --- words ---------------------------------------------------------------------------------------


DECIDES = "Data sheet, SDS and local law decide."
"""The end of the last saying: all of it is a reminder."""


def harm_words(hazards: Iterable[Hazard], own: Iterable[str] = ()) -> tuple[str, ...]:
    """Give one saying a harm, in their order, each caution once.

    own: cautions of a sheet or route; one that begins with a harm and a colon stands with it.

    >>> harm_words([], ["fire: Rags under water.", "Thin coats."])
    ('fire: Rags under water. Data sheet, SDS and local law decide.',)
    """
    cautions: dict[str, list[str]] = {harm: [] for harm in HARMS}
    for hazard in hazards:
        cautions[hazard.harm].append(hazard.caution)
    for harm, caution in _split(own):
        if harm:
            cautions[harm].append(caution)
    hurts = [harm for harm in HARMS if cautions[harm]]
    if hurts:
        cautions[hurts[-1]].append(DECIDES)
    return tuple(f"{harm}: {' '.join(dict.fromkeys(cautions[harm]))}" for harm in hurts)


def finish_words(own: Iterable[str]) -> tuple[str, ...]:
    """Give the cautions of a sheet or route that hurt nobody, each once.

    >>> finish_words(["fire: Rags under water.", "Thin coats.", "Thin coats."])
    ('Thin coats.',)
    """
    return tuple(dict.fromkeys(caution for harm, caution in _split(own) if not harm))


def _split(own: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield the harm a caution begins with, empty without one, and the rest."""
    for caution in own:
        before, colon, rest = caution.partition(": ")
        yield (before, rest) if colon and before in HARMS else ("", caution)


def wear_for(hazards: Iterable[Hazard], own: Iterable[str] = ()) -> tuple[str, ...]:
    """Give what to wear, each once, without what something else there covers.

    >>> wear_for([h for h in HAZARDS if h.name in ("acid wash", "alkali")])[1:3]
    ('acid-proof gloves', 'goggles and face shield')
    """
    gear = list(dict.fromkeys([*(w for hazard in hazards for w in hazard.wear), *own]))
    spared = {less for item in gear for less in SPARED_BY.get(item, ())}
    return tuple(item for item in gear if item not in spared)

"""Every way to be hurt has its caution wherever it can happen, over all shipped routes.

What can hurt where is common practice, no source, if nothing else is said beside it: it is judged
here by what a step is called and what a product is, not by the hazards that the files name.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import bench
from bench.process.parts.part import Part, StepRecord
from bench.process.safety.hazards import (
    AIR_FED_MASK,
    HARMS,
    HAZARDS,
    NAMES,
    SPARED_BY,
    Ground,
    Hazard,
    finish_words,
    ground_of,
    harm_words,
    hazards_of,
    hazards_of_mix,
    leftover_cautions,
    lift_cautions,
    wear_for,
)
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step, tool_key
from bench.shop.seeds.seed_files import Seeds, folder, load

SHIPPED = load(folder())
TABLE = Path(bench.__file__).resolve().parents[1] / "tests/hazards.md"

MAKES_DUST = re.compile(r"\b(sand|key|abrade|scuff|file|feather|power tool)\b", re.IGNORECASE)
COPPER = re.compile(r"\b(mordant|wash left)\b", re.IGNORECASE)
ACID = re.compile(r"\b(acid|phosphoric|rinse-free)\b", re.IGNORECASE)


def named(step: Step, product: Product | None, ground: Ground) -> set[str]:
    tool = SHIPPED.tools.get(tool_key(step, product))
    return {hazard.name for hazard in hazards_of(step, product, tool, ground)}


def every_step(seeds: Seeds) -> list[tuple[str, Step, Product | None, Ground]]:
    """Each step of each route on a frame, with all before it done and its paint still fresh."""
    found = []
    for route in seeds.routes.values():
        records = tuple(
            StepRecord(number, step, "done") for number, step in enumerate(route.steps, start=1)
        )
        part = Part("1", "Frame", 1, "", "", route.substrate, "frame", 1, 1, records)
        for record in records:
            before = [
                seeds.products[r.step.product]
                for r in records
                if r.number < record.number and r.step.kind == "coat"
            ]
            ground = ground_of(
                *(part, record, seeds.products, seeds.shapes["frame"]),
                fresh_isocyanate=any(product.isocyanate for product in before),
            )
            product = seeds.products.get(record.step.product)
            found.append((f"{route.key}: {record.step.name}", record.step, product, ground))
    return found


EVERY_STEP = every_step(SHIPPED)


def wanted(step: Step, product: Product | None, ground: Ground) -> set[str]:
    """What can hurt there, judged without the hazards that the files name."""
    name, coat = step.name.lower(), step.kind == "coat"
    tool = tool_key(step, product)
    gun = coat and tool not in ("brush", "roller", "cartridge", "aerosol")
    found = {"lift"}
    if product is not None and product.kind in ("primer", "top coat", "sealer", "wax", "thinner"):
        found |= {"paint"} if product.water_borne else {"paint", "solvent"}
    if product is not None and coat:
        found |= {"isocyanate"} if product.isocyanate else {"mist"} if gun else set()
        found |= {"static"} if gun else set()
        found |= {"aerosol"} if tool == "aerosol" else set()
        found |= {"acid activator", "chromate"} if "etch" in product.key else set()
        found |= {"epoxy"} if "epoxy" in product.name.lower() else set()
        found |= {"cavity"} if product.kind == "wax" else set()
    if step.kind == "work" and MAKES_DUST.search(name):
        found |= {"dust"}
        found |= {"lead"} if ground.substrate == "old-paint" else set()
        found |= {"zinc"} if "zinc" in ground.substrate else set()
        found |= {"aluminium"} if ground.substrate == "aluminium" else set()
        found |= {"chromate"} if ground.chromate else set()
    if step.kind in ("work", "cure") and ground.fresh_isocyanate:
        found |= {"fresh isocyanate"}
    if product is not None and product.kind == "cleaner":
        found |= {"alkali"}
    words = " ".join((name, product.name if product else "", *step.reminders))
    called = f"{name} {product.name if product else ''}"
    if COPPER.search(called) or "mordant again" in step.remedy:
        found |= {"acid wash"}
    found |= {"acid"} if ACID.search(called) else set()
    found |= {"blast"} if "blast" in name else set()
    found |= {"oven"} if re.search(r"\b(bake|oven)\b", name) else set()
    found |= {"hot"} if re.search(r"\b(hot|bake)\b", name) else set()
    found |= {"warm"} if re.search(r"\b(warm \d|warm air|hand-warm air)", words) else set()
    found |= {"sharp"} if "spikes" in name else set()
    found |= {"oily rags"} if product is not None and product.key in OILY else set()
    return found


OILY = ("enamel-brush", "thinner")


@pytest.mark.parametrize(
    ("step", "product", "ground"),
    [pytest.param(*rest, id=where) for where, *rest in EVERY_STEP],
)
def test_every_step_has_the_caution_of_every_harm_that_can_happen_there(
    step: Step, product: Product | None, ground: Ground
) -> None:
    assert wanted(step, product, ground) <= named(step, product, ground)


def test_no_hazard_is_in_the_table_that_no_shipped_step_or_mix_has() -> None:
    at_steps = {name for _, *rest in EVERY_STEP for name in named(*rest)}
    mixes = {h.name for p in SHIPPED.products.values() for h in hazards_of_mix(p)}
    assert at_steps | mixes >= NAMES - {"injection"}, "no route sprays airless: asked below"


@pytest.mark.parametrize("product", SHIPPED.products.values(), ids=lambda p: p.key)
def test_every_product_that_is_mixed_says_at_the_cup_what_hurts(product: Product) -> None:
    names = {hazard.name for hazard in hazards_of_mix(product)}
    if product.ratio is not None:
        assert names >= {"leftovers", "paint", "solvent"}
        assert leftover_cautions(product)
    assert ("isocyanate" in names) == product.isocyanate
    assert ("epoxy" in names) == ("epoxy" in product.name.lower())
    assert ("acid activator" in names) == ("etch" in product.key)


def test_isocyanate_is_never_without_the_air_fed_mask_at_a_step_or_at_the_cup() -> None:
    # HSE (UK): air-fed mask for isocyanate spraying, face fit, air quality, health surveillance.
    for where, step, product, ground in EVERY_STEP:
        tool = SHIPPED.tools.get(tool_key(step, product))
        hazards = hazards_of(step, product, tool, ground)
        if {"isocyanate", "fresh isocyanate"} & {hazard.name for hazard in hazards}:
            worn = wear_for(hazards)
            assert worn[0] == AIR_FED_MASK, where
            assert not any("half mask" in thing or "FFP3" in thing for thing in worn), where
    own = Product("own", "Own 3:1", "top coat", isocyanate=True)
    assert wear_for(hazards_of_mix(own))[0] == AIR_FED_MASK
    told = harm_words(hazards_of(Step("x", "coat", "own"), own, None, Ground("steel")))[0]
    for words in ("face-fit tested", "no CO", "rained and authorised", "local law", "surveillance"):
        assert words in told
    assert "leave the room with the mask on" in told


def test_a_sheet_that_names_no_hazard_has_those_of_any_solvent_paint() -> None:
    own = Product("own", "Own enamel", "top coat", tool="hvlp")
    names = named(Step("x", "coat", "own"), own, Ground("steel"))
    assert names == {"mist", "paint", "solvent", "static", "lift"}
    water = replace(own, water_borne=True)
    assert "solvent" not in named(Step("x", "coat", "own"), water, Ground("steel"))


@pytest.mark.parametrize(("tool", "name"), [("airless", "injection"), ("aerosol", "aerosol")])
def test_the_tool_brings_its_own_harm(tool: str, name: str) -> None:
    with_it = Step("x", "coat", "epoxy-primer", tool=tool)
    assert name in named(with_it, SHIPPED.products["epoxy-primer"], Ground("steel"))
    assert SHIPPED.tools[tool].sprayed


def test_cavity_wax_says_that_its_mist_explodes() -> None:
    wax = SHIPPED.products["cavity-wax"]
    assert "cavity" in named(Step("wax", "coat", "cavity-wax"), wax, Ground("steel"))


@pytest.mark.parametrize(
    ("substrate", "name"),
    [("old-paint", "lead"), ("zinc", "zinc"), ("weathered-zinc", "zinc"), ("aluminium",) * 2],
)
def test_keying_and_repair_are_as_bad_as_what_they_are_the_dust_of(
    substrate: str, name: str
) -> None:
    keying = Step("abrade", "work", hazards=("dust",))
    assert name in named(keying, None, Ground(substrate))
    over_etch = named(keying, None, Ground("steel", chromate=True, fresh_isocyanate=True))
    assert over_etch == {"dust", "chromate", "fresh isocyanate", "lift"}
    assert "FFP3 (US: P100)" in wear_for(hazards_of(keying, None, None, Ground(substrate)))


def test_what_is_small_is_lifted_by_one() -> None:
    bracket = SHIPPED.shapes["bracket"]
    assert lift_cautions(bracket) == ()
    assert lift_cautions(SHIPPED.shapes["frame"])
    assert lift_cautions(None), "an unknown shape may be heavy"
    assert named(Step("Cure", "cure"), None, Ground("steel", small=True)) == set()
    assert hazards_of(None, None, None, Ground("steel"))[0].name == "lift", "and taken off by two"


# --- order and words -----------------------------------------------------------------------------


def test_breath_comes_first_then_skin_and_eyes_then_fire_then_lifting() -> None:
    assert HARMS == ("breath", "skin and eyes", "fire", "lifting", "water")
    assert [h.harm for h in HAZARDS] == sorted((h.harm for h in HAZARDS), key=HARMS.index)
    gloss = SHIPPED.products["gloss"]
    told = harm_words(hazards_of(Step("x", "coat", "gloss"), gloss, None, Ground("steel")))
    assert [saying.split(":")[0] for saying in told] == list(HARMS[:4])


def test_a_caution_of_the_shop_stands_with_the_harm_it_names_and_the_rest_is_finish() -> None:
    own = ("fire: Keep the heater off.", "Thin coats.", "Sheet: page 2.")
    told = harm_words(hazards_of_mix(SHIPPED.products["gloss"]), own)
    assert "Keep the heater off." in told[HARMS.index("fire")]
    assert finish_words(own) == ("Thin coats.", "Sheet: page 2.")
    assert told[-1].endswith("Data sheet, SDS and local law decide.")


def test_what_is_worn_is_said_once_and_nothing_under_what_covers_it() -> None:
    everything = wear_for(HAZARDS)
    assert len(set(everything)) == len(everything)
    worn = {thing for hazard in HAZARDS for thing in hazard.wear}
    assert SPARED_BY.keys() <= worn
    assert not {less for thing in everything for less in SPARED_BY.get(thing, ())} & {*everything}


def test_under_an_air_fed_mask_no_lesser_mask_is_named() -> None:
    wiped = Step("wipe", "work", "thinner", hazards=("dust",))
    ground = Ground("steel", fresh_isocyanate=True)
    worn = wear_for(hazards_of(wiped, SHIPPED.products["thinner"], None, ground))
    assert worn == (AIR_FED_MASK, "nitrile gloves, cuffs taped", "overalls and hood")


FORBIDDEN = ("smell", "sniff", " fan ", "may be taken off", "safe to", "may come off", "CLEAR")
"""No smell is a test, "fan" is the width of the spray, and nothing permits."""


def test_no_caution_and_no_shipped_text_tests_by_smell_or_permits() -> None:
    texts = [hazard.caution for hazard in HAZARDS]
    for thing in (*SHIPPED.products.values(), *(step for _, step, _, _ in EVERY_STEP)):
        notes = (thing.notes,) if isinstance(thing, Product) else (thing.remedy, *thing.reminders)
        texts += [*thing.cautions, *thing.wear, thing.test, *notes]
    texts += [text for tool in SHIPPED.tools.values() for text in (tool.air, tool.tip)]
    for text in texts:
        for word in FORBIDDEN:
            assert word not in f" {text} ", text


PRODUCT_FIGURE = re.compile(r"\d+ ?(h|um|%|cm)\b")
"""What a data sheet or a tool's card says; a route says it only where no sheet does."""


def test_no_route_repeats_a_figure_of_a_products_sheet() -> None:
    for where, step, product, _ in EVERY_STEP:
        if product is not None and step.kind == "coat":
            for text in (*step.cautions, *step.reminders, step.remedy):
                assert not PRODUCT_FIGURE.search(text), f"{where}: {text}"


# --- the table to read through -------------------------------------------------------------------


def row(hazard: Hazard) -> str:
    return f"| {hazard.harm} | `{hazard.name}` | {hazard.caution} | {hazard.where} | {hazard.why} |"


def test_the_table_to_read_through_says_what_the_program_says() -> None:
    heads = tuple(f"| {harm} | `" for harm in HARMS)
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    rows = [line for line in lines if line.startswith(heads)]
    assert rows == [row(hazard) for hazard in HAZARDS], "\n".join(map(row, HAZARDS))


@pytest.mark.parametrize(("under", "chromate"), [("etch-primer", True), ("epoxy-primer", False)])
def test_chromate_is_under_a_step_where_a_coat_of_it_is(under: str, chromate: bool) -> None:
    coat = StepRecord(1, Step(name="Primer", kind="coat", product=under), "done")
    top = StepRecord(2, Step(name="Sand", kind="work"), "todo")
    part = Part("1", "Frame", 1, "", "", "steel", "frame", 1, 1, (coat, top))
    ground = ground_of(part, top, SHIPPED.products, None, fresh_isocyanate=False)
    assert ground.chromate is chromate

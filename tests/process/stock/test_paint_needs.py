"""How much a coat takes: area x wet film / what lands.

The sum itself is checked in tests/trade/test_film_rows.py; 30 % landing by HVLP on a frame, 15 % on
small parts and 25 % from an aerosol on a frame: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.parts.part import Part
from bench.process.sheets.product import Film, Product, Thinner
from bench.process.sheets.route import Shape
from bench.process.stock.shopping import Need, all_needs, coats_to_come, need_of
from bench.trade.mixing import Ratio, Share

from ..actions.test_begin_rules import route, step

EPOXY = Product(
    "p",
    "Epoxy",
    "primer",
    source="sheet",
    ratio=Ratio((Share("base", 4), Share("hardener", 1))),
    thinner=Thinner(15, 20, "mixed"),
    volume_solids_pct=45.0,
    film=Film(40, 60, 100),
    tool="hvlp",
)
ENAMEL = Product(
    "p", "Enamel", "top coat", volume_solids_pct=18.0, film=Film(15, 20, 30), tool="aerosol"
)
FRAME = Shape("frame", "Frame", ("ALL",), area_m2=7.5, source="sheet")


def need(product: Product, shape: Shape = FRAME, part: Part | None = None) -> Need:
    part = replace(part or route(step()), shape=shape.key)
    (record,) = coats_to_come(part)
    return need_of(part, record, {"p": product}, {shape.key: shape})


def test_a_frame_of_60_um_epoxy_by_hvlp_takes_3_83_l_mixed_split_by_its_ratio() -> None:
    found = need(EPOXY)
    assert sum(found.ml.values()) == pytest.approx(7.5 * 60 * 115 / 45 / 0.30, rel=1e-9)
    paint_ml = sum(found.ml.values()) / 1.15
    assert found.ml == pytest.approx(
        {"base": paint_ml * 0.8, "hardener": paint_ml * 0.2, "thinner": paint_ml * 0.15}
    )
    assert not found.guessed


@pytest.mark.parametrize("of", ["base", "total"])
def test_percent_of_what_is_minded(of: str) -> None:
    found = need(replace(EPOXY, thinner=Thinner(15, 20, of)))  # type: ignore[arg-type]
    whole = {"base": found.ml["base"], "total": sum(found.ml.values())}[of]
    assert found.ml["thinner"] / whole == pytest.approx(0.15)
    solid_ml = (found.ml["base"] + found.ml["hardener"]) * 0.45
    assert solid_ml * 0.30 == pytest.approx(7.5 * 60), "60 um dry lie on 7.5 m2"


def test_an_area_that_was_typed_of_the_part_goes_before_its_shapes_typical_one() -> None:
    part = replace(route(step()), area_m2=3.0, shape="frame")
    enamel = replace(ENAMEL, source="sheet")
    found = need(enamel, replace(FRAME, area_m2=None), part)
    assert found.ml == pytest.approx({"": 3.0 * 20 / 0.18 / 0.25})
    assert need(enamel, replace(FRAME, source="placeholder"), part) == found
    assert not found.guessed, "nothing typical is in it any more"


def test_a_lot_takes_as_many_times_as_it_has_pieces_and_small_things_catch_less() -> None:
    bracket = Shape("bracket", "Bracket", ("A",), area_m2=0.03, like="small", source="sheet")
    part = replace(route(step()), count=14)
    found = need(replace(EPOXY, thinner=None), bracket, part)
    assert sum(found.ml.values()) == pytest.approx(14 * 0.03 * 60 / 0.45 / 0.15)


def test_an_aerosol_takes_from_one_tin_and_is_a_guess_while_its_figures_are_placeholders() -> None:
    found = need(ENAMEL)
    assert found.ml == pytest.approx({"": 7.5 * 20 / 0.18 / 0.25})
    assert found.guessed
    assert need(replace(ENAMEL, source="sheet"), replace(FRAME, source="placeholder")).guessed


@pytest.mark.parametrize(
    ("product", "shape", "why"),
    [
        (ENAMEL, replace(FRAME, area_m2=None), "its area is not known: type it"),
        (replace(ENAMEL, film=None), FRAME, "Enamel: no film or no volume solids on its sheet"),
        (replace(ENAMEL, tool="lance"), FRAME, "no transfer figure for 'lance' on 'frame'"),
        (
            replace(EPOXY, ratio=Ratio((Share("base", 4), Share("hardener", 1)), by="weight")),
            FRAME,
            "densit",
        ),
    ],
)
def test_what_cannot_be_reckoned_says_why_and_is_not_taken_as_nothing(
    product: Product, shape: Shape, why: str
) -> None:
    found = need(product, shape)
    assert found.ml == {}
    assert why in found.unknown


def test_a_mini_gun_is_reckoned_as_hvlp() -> None:
    assert need(replace(EPOXY, tool="mini-gun")).ml == need(EPOXY).ml


def test_a_mist_and_its_build_are_one_coat_until_the_mist_is_on() -> None:
    mist, build = step(name="mist"), step(name="build", continues=True)
    assert [r.step.name for r in coats_to_come(route(mist, build))] == ["mist"]
    on = step(status="done", name="mist")
    assert [r.step.name for r in coats_to_come(route(on, build))] == ["build"]


def test_only_coats_that_are_not_begun_are_to_come() -> None:
    part = route(step(status="done"), step("work"), step(status="in hand"), step(), step("cure"))
    assert [record.number for record in coats_to_come(part)] == [4]


def test_every_part_on_the_bench_is_asked() -> None:
    parts = [replace(route(step(), step()), tag=tag, shape="frame") for tag in "12"]
    found = all_needs(parts, {"p": EPOXY}, {"frame": FRAME})
    assert [one.tag for one in found] == ["1", "1", "2", "2"]


def test_a_product_that_is_no_more_is_said() -> None:
    (one,) = all_needs([replace(route(step()), shape="frame")], {}, {"frame": FRAME})
    assert one.unknown == "no product 'p'"

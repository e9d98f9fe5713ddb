"""What a data sheet says besides its figures: read, refused, printed, and shipped for no product."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.sheets.product import BadSheet, Product
from bench.process.sheets.product_rules import check_product
from bench.process.sheets.sheet_facts import FLASH_CAUTION, sheet_facts
from bench.shop.seeds.seed_files import BadSeed, Seeds, read_one
from bench.shop.seeds.seed_text import sheet_text

TYPED = """
colour = "club blue"
issued = "2026-03-12"
shelf_life = "700 d"
flash_point = "81 F"
voc = "3.5 lb/US gal"
"""


def test_they_are_read_with_their_units_shown_and_printed_as_they_are_read(seeds: Seeds) -> None:
    plain = seeds.products["gloss"]
    text = sheet_text(plain) + TYPED
    product = read_one(text, "gloss", Product, check_product)
    # 81 F is 27.2 C; 3.5 lb in a US gallon is 419 g/l (NIST SP 811, from memory).
    assert product.flash_point_c == pytest.approx(27.2, abs=0.05)
    assert product.voc_g_l == pytest.approx(419.4, abs=0.1)
    assert product.shelf_life_s == 700 * 86400
    rounded = replace(product, flash_point_c=27.0, voc_g_l=419.0)
    assert sheet_facts(rounded) == (
        *("colour club blue", "data sheet of 2026-03-12", "shelf life 700 d, closed"),
        f"flash point 27 C: {FLASH_CAUTION}",
        "VOC 419 g/l ready to use",
    )
    assert read_one(sheet_text(rounded), "gloss", Product, check_product) == rounded


@pytest.mark.parametrize(
    ("key", "typed", "why"),
    [
        ("issued", "12.3.2026", "write the sheet's day as 2026-03-12"),
        ("issued", "2026-02-30", "write the sheet's day as 2026-03-12"),
        ("shelf_life", "21 years", "up to 20 years"),
        ("flash_point", "500 C", "from -60 to 400 C"),
        ("flash_point", "27", "27"),
        ("voc", "1300 g/l", "from 0 to 1200 g/l"),
        ("colour", "x" * 201, "colour"),
    ],
)
def test_what_cannot_be_is_refused_with_its_key(
    seeds: Seeds, key: str, typed: str, why: str
) -> None:
    text = f'{sheet_text(seeds.products["gloss"])}{key} = "{typed}"\n'
    with pytest.raises((BadSheet, BadSeed)) as fault:
        read_one(text, "gloss", Product, check_product)
    assert why in str(fault.value)


def test_no_product_is_shipped_with_what_only_its_own_sheet_knows(seeds: Seeds) -> None:
    assert {key: sheet_facts(product) for key, product in seeds.products.items()} == dict.fromkeys(
        seeds.products, ()
    )

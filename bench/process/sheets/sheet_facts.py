"""What a data sheet says besides its figures, in words: colour, its day, shelf life, flash, VOC."""

from __future__ import annotations

from bench.process.sheets.product import Product
from bench.process.wording.time_text import format_duration

FLASH_CAUTION = "no flame, no spark near it; its safety data sheet decides"
"""Beside every flash point (common practice, no source)."""


def sheet_facts(product: Product) -> tuple[str, ...]:
    """Say each that somebody typed.

    >>> sheet_facts(Product("x", "X", "top coat", colour="club blue", voc_g_l=1))
    ('colour club blue', 'VOC 1 g/l ready to use')
    """
    texts = [product.colour and f"colour {product.colour}"]
    texts.append(product.issued and f"data sheet of {product.issued}")
    if product.shelf_life_s:
        texts.append(f"shelf life {format_duration(product.shelf_life_s)}, closed")
    if product.flash_point_c is not None:
        texts.append(f"flash point {product.flash_point_c:g} C: {FLASH_CAUTION}")
    if product.voc_g_l is not None:
        texts.append(f"VOC {product.voc_g_l:g} g/l ready to use")
    return tuple(filter(None, texts))

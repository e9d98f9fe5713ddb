"""Which figures of a product its shop took from a data sheet, and which nobody did."""

from __future__ import annotations

from dataclasses import replace

from bench.process.sheets.product import FIGURES, Product


def with_placeholders(
    typed: Product, old: Product | None, shipped: Product | None, *, named: bool
) -> Product:
    """Return a sheet as it was typed, with those of its figures that nobody took from a tin.

    old: the sheet before; shipped: the one the program came with; named: the text says itself which
    figures are still placeholders. A text is typed over the whole old one, so a figure that stayed
    as it was says nothing about the tin, and one that changed was typed. An old sheet that names
    none counts as typed throughout: its shop said so of all of it.
    """
    if typed.source == "placeholder":
        return replace(typed, placeholder=())
    first = old is None or old.source == "placeholder"
    if named and (first or old is None or set(typed.placeholder) != set(old.placeholder)):
        return typed
    if old is None:
        return replace(typed, placeholder=())
    before = shipped if first and shipped is not None else old
    still_open = tuple(
        figure
        for figure in FIGURES
        if old.doubt_of(figure)
        and (figure == "limits" or getattr(typed, figure))
        and getattr(typed, figure) == getattr(old, figure) == getattr(before, figure)
    )
    return replace(typed, placeholder=still_open)

"""A piece from its sizes, one question a size, or a typical one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bench.screens.sums.asking import Asking, number, pick
from bench.sums.model import Input
from bench.trade import sections
from bench.trade.film import TYPICAL_AREAS_M2
from bench.trade.sections import MOST_HOLES, MOST_SIZE_MM, Formed, Piece

_FORMED: tuple[Formed, ...] = ("cold", "hot")
_FORMED_WORDS = ("cold formed: rounder corners", "hot formed")


@dataclass(frozen=True)
class _Kind:
    """A kind of piece: its sizes in mm, with an example of each, and its area in m2 a metre."""

    name: str
    sizes: tuple[tuple[str, float], ...]
    m2_per_m: Callable[..., float]


_KINDS = (
    _Kind("round tube or rod", (("diameter", 48.3),), sections.tube_m2_per_m),
    _Kind(
        "square or rectangular box",
        (("width", 100), ("height", 100), ("wall", 5)),
        sections.box_m2_per_m,
    ),
    _Kind("angle", (("leg", 60), ("other leg", 60), ("thickness", 6)), sections.angle_m2_per_m),
    _Kind(
        "channel",
        (("height", 100), ("flange", 50), ("web", 6), ("flange thickness", 8.5)),
        sections.channel_m2_per_m,
    ),
    _Kind("flat bar", (("width", 50), ("thickness", 6)), sections.flat_m2_per_m),
)
_PLATE, _TYPICAL = "plate, drilled or not", "a typical part"
_RADII = {"angle": (8.0, 4.0), "channel": (8.5, 4.0)}
"""Root and toe radius, as examples; without them the area is up to 4 % too much."""


def piece(*_: Any) -> Asking[Piece | str]:
    """A piece whose sizes are asked for, or the name of a typical one."""
    which = yield from pick("piece", [*(kind.name for kind in _KINDS), _PLATE, _TYPICAL])
    if which < len(_KINDS):
        return (yield from _bar(_KINDS[which]))
    if which == len(_KINDS):
        return (yield from _plate())
    names = tuple(TYPICAL_AREAS_M2)
    return names[(yield from pick("which part", names))]


def _size(what: str, example: float) -> Input:
    return Input(what, what, "mm", over=0, most=MOST_SIZE_MM, example=example)


def _bar(kind: _Kind) -> Asking[Piece]:
    sizes: list[Any] = []
    for what, example in kind.sizes:
        sizes.append((yield from number(_size(what, example))))
    if kind.m2_per_m is sections.box_m2_per_m:
        sizes.append(_FORMED[(yield from pick("formed", _FORMED_WORDS))])
    if kind.name in _RADII:
        for what, example in zip(("root radius", "toe radius"), _RADII[kind.name], strict=True):
            radius = Input(what, what, "mm", least=0, most=MOST_SIZE_MM, usual=0, example=example)
            sizes.append((yield from number(radius)))
    return Piece(kind.name, kind.m2_per_m(*sizes), None)


def _plate() -> Asking[Piece]:
    sizes: list[Any] = []
    for what, example in (("length", 200), ("width", 120), ("thickness", 6)):
        sizes.append((yield from number(_size(what, example))))
    holes = Input("holes", "holes", "", "whole", least=0, most=MOST_HOLES, usual=0, example=4)
    count, hole_mm = (yield from number(holes)), 0.0
    if count:
        hole_mm = yield from number(_size("diameter of a hole", 13))
    length_mm, width_mm, thick_mm = sizes
    each_m2 = sections.plate_m2(length_mm, width_mm, thick_mm, count, hole_mm)
    return Piece(_PLATE, None, each_m2)

"""Areas: of tube, box, angle, channel, flat and plate from their sizes, and of typical pieces."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bench.process.spoken import figure
from bench.screens.sums.road import USUAL, Asking, Facts, Road, Sum, number, pick
from bench.screens.sums.told import Figure, Told
from bench.trade import checked, sections
from bench.trade.film import TYPICAL_AREAS_M2
from bench.trade.sections import MOST_COUNT, Formed, Piece

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
_PLATE = "plate, drilled or not"
_RADII = {"angle": (8.0, 4.0), "channel": (8.5, 4.0)}
"""Root and toe radius, as examples; without them the area is up to 4 % too much."""


def _pieces(_: Facts) -> Road:
    which = yield from pick("piece", [*(kind.name for kind in _KINDS), _PLATE])
    if which == len(_KINDS):
        piece = yield from _plate()
        length_m = None
    else:
        piece = yield from _bar(_KINDS[which])
        length_m = yield from number("length", "m", such_as=3)
    count = yield from number("how many", "", 1, such_as=4, whole=True)
    checked.number(count, "how many", least=1, most=MOST_COUNT)
    area_m2 = sections.area_m2(piece, length_m, int(count))
    each_m2 = area_m2 / count
    rows = [Figure("area in all", figure(area_m2), "m2", big=True)]
    if piece.m2_per_m is not None:
        rows.append(Figure("a metre", figure(piece.m2_per_m, 4), "m2"))
    rows.append(Figure("each", figure(each_m2, 4), "m2"))
    return Told(tuple(rows))


def _bar(kind: _Kind) -> Asking[Piece]:
    sizes: list[float | str] = []
    for what, example in kind.sizes:
        sizes.append((yield from number(what, "mm", such_as=example)))
    if kind.m2_per_m is sections.box_m2_per_m:
        sizes.append(_FORMED[(yield from pick("formed", _FORMED_WORDS))])
    if kind.name in _RADII:
        for what, example in zip(("root radius", "toe radius"), _RADII[kind.name], strict=True):
            sizes.append((yield from number(what, "mm", 0, "left out", such_as=example)))
    return Piece(kind.name, kind.m2_per_m(*sizes), None)


def _plate() -> Asking[Piece]:
    length_mm = yield from number("length", "mm", such_as=200)
    width_mm = yield from number("width", "mm", such_as=120)
    thick_mm = yield from number("thickness", "mm", such_as=6)
    holes = yield from number("holes", "", 0, such_as=4, whole=True)
    hole_mm = 0.0
    if holes:
        hole_mm = yield from number("diameter of a hole", "mm", such_as=13)
    each_m2 = sections.plate_m2(length_mm, width_mm, thick_mm, int(holes), hole_mm)
    return Piece(_PLATE, None, each_m2)


def _typical(_: Facts) -> Road:
    names = tuple(TYPICAL_AREAS_M2)
    name = names[(yield from pick("piece", names))]
    count = yield from number("how many", "", 1, USUAL, whole=True)
    checked.number(count, "how many", least=1, most=MOST_COUNT)
    least_m2, most_m2 = (count * each for each in TYPICAL_AREAS_M2[name])
    return Told(
        (
            Figure("at most", figure(most_m2), "m2", big=True),
            Figure("at least", figure(least_m2), "m2", big=True),
        ),
        guesses=("typical sizes from memory: measure what is at hand",),
    )


SUMS = (
    Sum(
        "area of pieces",
        ("Outer surface. Cut ends and the inside of a hollow are left out.",),
        _pieces,
    ),
    Sum("area of typical parts", ("All faces of one, a frame with its crossmembers.",), _typical),
)

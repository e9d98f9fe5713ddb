"""Areas of pieces: tube, box, angle, channel, plate, flat, rod, drilled plate.

Outer surface only: cut ends and the inside of a hollow are left out. Sizes are millimetres. What a
piece weighs is in ``masses``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, cast

from bench.trade import checked

Formed = Literal["cold", "hot"]
"""cold: EN 10219, rounder corners; hot: EN 10210. The area differs by about one percent."""

Shape = Literal["chs", "rod", "box", "angle", "channel", "flat", "plate"]
"""chs: a round tube."""

MOST_SIZE_MM = 3000.0
MOST_LENGTH_M = 1000.0
MOST_COUNT = 100_000
MOST_HOLES = 1000
"""Limits above which a figure is a slip of the finger (common practice, no source)."""

HOT_CORNER = 1.5
"""Outer corner radius in walls, EN 10210-2 (from memory, checked on published tables)."""
HOT_INNER_CORNER = 1.0
"""Inner corner radius in walls that EN 10210-2 takes for masses (from memory, checked likewise)."""
COLD_CORNERS = ((6.0, 2.0), (10.0, 2.5), (math.inf, 3.0))
"""Wall up to so many mm, outer radius in walls: EN 10219-2, checked on published tables."""
CORNER_SAVES = 2 - math.pi / 2
"""A quarter round of radius r is this much shorter, times r, than the two straights it replaces."""


@dataclass(frozen=True)
class SectionPiece:
    """A piece read back in words, with its area per metre or, for a plate, of each.

    sizes: as the function of its shape takes them, radii left out where they are not known.
    """

    words: str
    m2_per_m: float | None
    m2_each: float | None
    shape: Shape
    sizes: tuple[float, ...]
    formed: Formed = "cold"


def tube_m2_per_m(across_mm: float, wall_mm: float | None = None) -> float:
    """Return the outer surface of a round tube or rod ``across_mm`` in diameter, m2 per metre.

    Sizes over 0 up to 3000 mm; a wall, where given, under half of it. Raises ValueError outside.
    Source: geometry.

    >>> round(tube_m2_per_m(48.3, 3.2), 4)
    0.1517
    """
    _size(across_mm, "diameter")
    if wall_mm is not None:
        _wall(wall_mm, across_mm)
    return math.pi * across_mm / 1000


def box_m2_per_m(
    width_mm: float, height_mm: float, wall_mm: float, formed: Formed = "cold"
) -> float:
    """Return the outer surface of a square or rectangular hollow section, m2 per metre.

    Sizes over 0 up to 3000 mm, the wall thin enough for its corners to fit. Raises ValueError
    outside. Source: EN 10219-2 (cold) or EN 10210-2 (hot) corner radii, see COLD_CORNERS.

    >>> round(box_m2_per_m(100, 100, 5), 4), round(box_m2_per_m(100, 100, 5, "hot"), 4)
    (0.3828, 0.3871)
    """
    _size(width_mm, "width")
    _size(height_mm, "height")
    _wall(wall_mm, min(width_mm, height_mm))
    radius_mm = corner_radius_mm(wall_mm, formed)
    if 2 * radius_mm > min(width_mm, height_mm):
        raise ValueError(
            f"box {width_mm:g}x{height_mm:g}x{wall_mm:g} mm: two corners of {radius_mm:g} mm do "
            "not fit on its short side; the wall comes last, in mm"
        )
    return (2 * (width_mm + height_mm) - 4 * CORNER_SAVES * radius_mm) / 1000


def corner_radius_mm(wall_mm: float, formed: Formed = "cold") -> float:
    """Give outer corner radius of a hollow section in mm. Source: see HOT_CORNER and COLD_CORNERS.

    Raises ValueError for a wall outside 0..3000 mm or an unknown forming.

    >>> corner_radius_mm(5), corner_radius_mm(8), corner_radius_mm(12.5), corner_radius_mm(5, "hot")
    (10.0, 20.0, 37.5, 7.5)
    """
    _size(wall_mm, "wall")
    if formed not in ("cold", "hot"):
        raise ValueError(f"formed {formed!r}: it must be cold (EN 10219) or hot (EN 10210)")
    if formed == "hot":
        return HOT_CORNER * wall_mm
    return next(walls for up_to, walls in COLD_CORNERS if wall_mm <= up_to) * wall_mm


def inner_radius_mm(wall_mm: float, formed: Formed = "cold") -> float:
    """Give the inner corner radius of a hollow section in mm: a wall less than outside when cold.

    Raises ValueError as corner_radius_mm(). Source: see HOT_INNER_CORNER and COLD_CORNERS.

    >>> inner_radius_mm(5), inner_radius_mm(8), inner_radius_mm(5, "hot")
    (5.0, 12.0, 5.0)
    """
    outer_mm = corner_radius_mm(wall_mm, formed)
    return HOT_INNER_CORNER * wall_mm if formed == "hot" else outer_mm - wall_mm


def angle_m2_per_m(
    leg_mm: float,
    other_leg_mm: float,
    thick_mm: float,
    root_mm: float = 0,
    toe_mm: float = 0,
) -> float:
    """Return the surface of an angle, m2 per metre. Without its radii it is up to 4 % too much.

    Sizes over 0 up to 3000 mm, radii from 0; the thickness under the shorter leg. Raises ValueError
    outside. Source: geometry; radii stand in EN 10056-1.

    >>> round(angle_m2_per_m(60, 60, 6, 8, 4), 4), round(angle_m2_per_m(60, 60, 6), 4)
    (0.2331, 0.24)
    """
    _size(leg_mm, "leg")
    _size(other_leg_mm, "leg")
    short_mm = min(leg_mm, other_leg_mm)
    checked.number(thick_mm, "thickness", "mm", over=0, most=short_mm / 2)
    checked.number(root_mm, "root radius", "mm", least=0, most=short_mm - thick_mm)
    checked.number(toe_mm, "toe radius", "mm", least=0, most=thick_mm)
    saved_mm = CORNER_SAVES * (root_mm + 2 * toe_mm)
    return (2 * (leg_mm + other_leg_mm) - saved_mm) / 1000


def channel_m2_per_m(
    height_mm: float,
    flange_mm: float,
    web_mm: float,
    flange_thick_mm: float,
    root_mm: float = 0,
    toe_mm: float = 0,
) -> float:
    """Return the surface of a channel, m2 per metre. Without its radii it is up to 4 % too much.

    height over the web, width and thickness of the flanges, thickness of the web: over 0 up to
    3000 mm; radii from 0. Raises ValueError for sizes that make no channel. Source: geometry.

    >>> round(channel_m2_per_m(100, 50, 6, 8.5), 3)
    0.388
    """
    _size(height_mm, "height")
    _size(flange_mm, "flange")
    checked.number(web_mm, "web", "mm", over=0, most=flange_mm / 2)
    checked.number(flange_thick_mm, "flange thickness", "mm", over=0, most=height_mm / 3)
    inner_mm = min(flange_mm - web_mm, (height_mm - 2 * flange_thick_mm) / 2)
    checked.number(root_mm, "root radius", "mm", least=0, most=inner_mm)
    checked.number(toe_mm, "toe radius", "mm", least=0, most=flange_thick_mm)
    saved_mm = CORNER_SAVES * (2 * root_mm + 2 * toe_mm)
    return (2 * height_mm + 4 * flange_mm - 2 * web_mm - saved_mm) / 1000


def flat_m2_per_m(width_mm: float, thick_mm: float) -> float:
    """Return the surface of a flat bar, both faces and both edges, m2 per metre. Source: geometry.

    Sizes over 0 up to 3000 mm, ValueError outside.

    >>> flat_m2_per_m(50, 6)
    0.112
    """
    _size(width_mm, "width")
    _size(thick_mm, "thickness")
    return 2 * (width_mm + thick_mm) / 1000


def plate_m2(
    length_mm: float, width_mm: float, thick_mm: float, holes: int = 0, hole_mm: float = 0
) -> float:
    """Return surface of one plate in m2: both faces and the edges, less the holes, and their bores.

    Sizes over 0 up to 3000 mm; holes 0..1000, each narrower than the plate, together within it.
    Raises ValueError outside. Source: geometry.

    >>> round(plate_m2(200, 120, 6, 4, 13), 5)
    0.05176
    """
    _size(length_mm, "length")
    _size(width_mm, "width")
    _size(thick_mm, "thickness")
    checked.number(holes, "holes", least=0, most=MOST_HOLES)
    surface_mm2 = 2 * length_mm * width_mm + 2 * (length_mm + width_mm) * thick_mm
    if not holes:
        return surface_mm2 / 1e6
    checked.number(hole_mm, "hole", "mm", over=0, most=min(length_mm, width_mm))
    hole_mm2 = math.pi * hole_mm**2 / 4
    if holes * hole_mm2 > length_mm * width_mm:
        raise ValueError(
            f"{holes} holes of {hole_mm:g} mm are more than the plate {length_mm:g}x{width_mm:g} mm"
        )
    bores_mm2 = holes * math.pi * hole_mm * thick_mm
    return (surface_mm2 - 2 * holes * hole_mm2 + bores_mm2) / 1e6


def area_m2(piece: SectionPiece, length_m: float | None = None, count: int = 1) -> float:
    """Return the area in m2 of ``count`` (1..100,000) pieces of ``length_m`` (over 0 to 1000 m).

    A plate has its own length and takes none. Raises ValueError when a length is missing or too
    many, or out of range.

    >>> round(area_m2(read_piece("SHS 100x100x5"), 3), 3)
    1.148
    """
    checked.number(count, "pieces", least=1, most=MOST_COUNT)
    if piece.m2_each is not None:
        if length_m is not None:
            raise ValueError(f"{piece.words} has its own length: leave the other length out")
        return piece.m2_each * count
    if length_m is None or piece.m2_per_m is None:
        raise ValueError(f"{piece.words}: how long is it? give a length, as 3 m")
    return (
        piece.m2_per_m * checked.number(length_m, "length", "m", over=0, most=MOST_LENGTH_M) * count
    )


LONGEST_TEXT = 80
_SIZES = re.compile(r"[0-9]+(?:[.,][0-9]+)?(?:\s*[xX\u00d7*]\s*[0-9]+(?:[.,][0-9]+)?)*")
_PIECE = re.compile(
    rf"\s*(?P<word>[A-Za-z]+)\s*(?P<sizes>{_SIZES.pattern})"
    rf"(?:\s+(?P<formed>hot|cold))?(?:\s+holes?\s+(?P<holes>{_SIZES.pattern}))?\s*",
    re.IGNORECASE,
)
_SAME = {
    "tube": "chs", "shs": "box", "rhs": "box", "l": "angle", "u": "channel", "bar": "rod",
}  # fmt: skip
_SIZE_COUNTS: dict[str, tuple[int, ...]] = {
    "chs": (2,), "rod": (1,), "box": (2, 3), "angle": (3,), "channel": (4,), "flat": (2,),
    "plate": (3,),
}  # fmt: skip
"""How many sizes are written behind each word; of a square box its side is written once."""
_RIGHT = (
    "write CHS 48.3x3.2, SHS 100x100x5, RHS 100x60x4 hot, angle 60x60x6, channel 100x50x6x8.5, "
    "plate 200x120x6 holes 4x13, flat 50x6 or rod 20, in mm"
)


def read_piece(text: str) -> SectionPiece:
    """Read a piece as painters write it: a word, then its sizes in mm with x between them.

    Words: CHS or tube, SHS, RHS or box (cold formed unless it says hot), angle or L, channel or U
    (height x flange x web x flange thickness), plate, flat, rod or bar; a decimal comma will do.
    Raises ValueError with what was read and how to write it.

    >>> box = read_piece("rhs 100x60x4 hot")
    >>> box.words, round(box.m2_per_m, 4)
    ('box 100x60x4 mm, hot formed', 0.3097)
    >>> read_piece("plate 200x120x6 holes 4x13").m2_per_m is None
    True
    """
    match = _PIECE.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if not match:
        raise ValueError(f"piece {text[:LONGEST_TEXT]!r} not understood: {_RIGHT}")
    word = _SAME.get(match["word"].lower(), match["word"].lower())
    sizes = _sizes(match["sizes"])
    if (match["formed"] and word != "box") or (match["holes"] and word != "plate"):
        raise ValueError(f"piece {text!r}: hot or cold is for a box, holes for a plate; {_RIGHT}")
    if len(sizes) not in _SIZE_COUNTS.get(word, ()):
        raise ValueError(f"piece {text!r} not understood: {_RIGHT}")
    words = f"{word} {'x'.join(f'{size:g}' for size in sizes)} mm"
    if word == "box":
        width_mm, *_, wall_mm = sizes
        height_mm = sizes[1] if len(sizes) == 3 else width_mm
        formed: Formed = "hot" if (match["formed"] or "").lower() == "hot" else "cold"
        return piece_of("box", (width_mm, height_mm, wall_mm), f"{words}, {formed} formed", formed)
    if word == "plate" and match["holes"]:
        holes, hole_mm = _holes(match["holes"])
        return piece_of(
            "plate", (*sizes, holes, hole_mm), f"{words}, {holes} holes of {hole_mm:g} mm"
        )
    return piece_of(cast(Shape, word), tuple(sizes), words)


_M2_PER_M: dict[Shape, Callable[..., float]] = {
    "chs": tube_m2_per_m,
    "rod": tube_m2_per_m,
    "box": box_m2_per_m,
    "angle": angle_m2_per_m,
    "channel": channel_m2_per_m,
    "flat": flat_m2_per_m,
}


def piece_of(
    shape: Shape, sizes: tuple[float, ...], words: str, formed: Formed = "cold"
) -> SectionPiece:
    """Return a piece from its sizes in mm, in the order that its function takes them.

    Raises ValueError for sizes that make no such piece.

    >>> piece_of("flat", (50, 6), "flat bar").m2_per_m
    0.112
    """
    if shape == "plate":
        length_mm, width_mm, thick_mm, *holes = sizes
        holes_mm = (int(holes[0]), holes[1]) if holes else (0, 0.0)
        each_m2 = plate_m2(length_mm, width_mm, thick_mm, *holes_mm)
        return SectionPiece(words, None, each_m2, shape, sizes)
    more = (formed,) if shape == "box" else ()
    per_m = _M2_PER_M[shape](*sizes, *more)
    return SectionPiece(words, per_m, None, shape, sizes, formed)


def _holes(text: str) -> tuple[int, float]:
    holes = _sizes(text)
    if len(holes) != 2 or holes[0] != int(holes[0]):
        raise ValueError(f"holes {text!r} not understood: write number x diameter, as 4x13")
    return int(holes[0]), holes[1]


def _sizes(text: str) -> list[float]:
    return [float(size.replace(",", ".")) for size in re.findall(r"[0-9]+(?:[.,][0-9]+)?", text)]


def _size(size_mm: float, what: str) -> float:
    return checked.number(size_mm, what, "mm", over=0, most=MOST_SIZE_MM)


def _wall(wall_mm: float, across_mm: float) -> float:
    _size(wall_mm, "wall")
    if wall_mm >= across_mm / 2:
        raise ValueError(
            f"wall {wall_mm:g} mm in {across_mm:g} mm: it must be under half; the wall comes last"
        )
    return wall_mm

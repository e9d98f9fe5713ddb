"""Areas and masses of pieces against section tables, and against shapely drawing the outline."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon, box

from bench.trade import masses, sections
from bench.trade.sections import Formed, Shape, piece_of
from tests.published.rows import Row, named, unchecked

COLD = named("sections", r"C\d.*")
HOT = named("sections", r"H\d.*", r"EC-[SR]HS.*")
BOTH = named("sections", r"RHS.*")
RADII = named("sections", "X-radii")
TUBES = named("sections", r"CHS.*", r"EC-CHS.*")
ANGLES = named("sections", r"L\d.*")
PLATES = named("sections", r"PL.*")
FINE = 512
"""Straights to a quarter round, so that shapely's circle is a circle."""


def test_every_row_is_checked() -> None:
    groups = (COLD, HOT, BOTH, RADII, TUBES, ANGLES, PLATES)
    assert unchecked("sections", *groups) == set()


def kg_per_m(shape: Shape, *sizes: float, formed: Formed = "cold") -> float:
    """A metre of it, without zinc."""
    return masses.mass_of(piece_of(shape, sizes, "a piece", formed), 1).steel_kg


def same_to_three_figures(found: float, printed: float) -> bool:
    """The tables print three figures, some rounded from a rounded one: half of the third, and 0.6 %."""
    return found == pytest.approx(printed, rel=0.006, abs=0.006)


@pytest.mark.parametrize("row", COLD)
def test_cold_formed_box_as_tabled(row: Row) -> None:
    size = row.input("B"), row.input("H"), row.input("t")
    assert sections.box_m2_per_m(*size) == pytest.approx(row.figures[0], abs=0.001)
    assert same_to_three_figures(kg_per_m("box", *size), row.figures[1])


@pytest.mark.parametrize("row", HOT)
def test_hot_finished_box_as_tabled(row: Row) -> None:
    size = row.input("B"), row.input("H"), row.input("t")
    assert sections.box_m2_per_m(*size, "hot") == pytest.approx(row.figures[0], abs=0.001)
    assert same_to_three_figures(kg_per_m("box", *size, formed="hot"), row.figures[1])


@pytest.mark.parametrize("row", BOTH)
def test_box_cold_hot_and_with_sharp_corners(row: Row) -> None:
    size = row.input("B"), row.input("H"), row.input("t")
    found = [sections.box_m2_per_m(*size), sections.box_m2_per_m(*size, "hot")]
    assert found == pytest.approx(row.figures[:2], abs=0.0005)
    assert found[0] < found[1] < row.figures[2]
    for formed, printed in zip(("cold", "hot"), row.figures[3:], strict=True):
        assert same_to_three_figures(kg_per_m("box", *size, formed=formed), printed)  # type: ignore[arg-type]


@pytest.mark.parametrize("row", RADII)
def test_cold_formed_corner_radius_by_wall(row: Row) -> None:
    """The standard gives each radius a range; ours is its middle."""
    assert row.inputs == "t<=6: t=6.0; 6<t<=10: t=10.0; t>10: t=12.5"
    least, most = row.figures[::2], row.figures[1::2]
    middles = [(low + high) / 2 for low, high in zip(least, most, strict=True)]
    for walls, middle in zip(((2.0, 6.0), (6.3, 10.0), (10.1, 12.5)), middles, strict=True):
        for wall in walls:
            assert sections.corner_radius_mm(wall) / wall == pytest.approx(middle)


@pytest.mark.parametrize("row", TUBES)
def test_tube(row: Row) -> None:
    found = sections.tube_m2_per_m(row.input("D"), row.input("t"))
    assert found == pytest.approx(row.figures[0], abs=row.within)
    assert same_to_three_figures(kg_per_m("chs", row.input("D"), row.input("t")), row.figures[1])


@pytest.mark.parametrize("row", ANGLES)
def test_angle_with_its_radii(row: Row) -> None:
    """Without its radii the area is at most 3.8 % more, never less."""
    size = row.input("a"), row.input("b"), row.input("t")
    found = sections.angle_m2_per_m(*size, row.input("r1"), row.input("r2"))
    assert found == pytest.approx(row.figures[0], abs=0.001)
    assert 1 < sections.angle_m2_per_m(*size) / found < 1.038


@pytest.mark.parametrize("row", PLATES)
def test_drilled_plate(row: Row) -> None:
    holes = int(row.input("holes"))
    size = row.input("L"), row.input("W"), row.input("t")
    found = sections.plate_m2(*size, holes, row.input("hole_d"))
    assert found == pytest.approx(row.figures[0], abs=0.0001)
    assert found > 2 * row.input("L") * row.input("W") / 1e6


@pytest.mark.parametrize("formed", ["cold", "hot"])
@pytest.mark.parametrize(
    ("width", "height", "wall"), [(100, 100, 5), (60, 40, 3), (120, 80, 8), (200, 100, 12.5)]
)
def test_box_outline_drawn_by_shapely(
    width: float, height: float, wall: float, formed: Formed
) -> None:
    radius = sections.corner_radius_mm(wall, formed)
    outline = box(0, 0, width, height).buffer(-radius).buffer(radius, quad_segs=FINE)
    found = sections.box_m2_per_m(width, height, wall, formed)
    assert found == pytest.approx(outline.length / 1000, rel=1e-6)
    inner = sections.inner_radius_mm(wall, formed)
    hollow = (
        box(wall, wall, width - wall, height - wall).buffer(-inner).buffer(inner, quad_segs=FINE)
    )
    piece = piece_of("box", (width, height, wall), "box", formed)
    assert masses.cross_section_mm2(piece) == pytest.approx(outline.area - hollow.area, rel=1e-6)
    zinc_kg = masses.mass_of(piece, 1, zinc_um=100).zinc_kg
    assert zinc_kg == pytest.approx(0.72 * (outline.length + hollow.length) / 1000, rel=1e-6)


@pytest.mark.parametrize(("a", "b", "thick", "root", "toe"), [(60, 60, 6, 8, 4), (80, 60, 7, 8, 4)])
def test_angle_outline_drawn_by_shapely(
    a: float, b: float, thick: float, root: float, toe: float
) -> None:
    sharp = box(0, 0, a, thick).union(box(0, 0, thick, b))
    rooted = sharp.union(_fillet(thick, thick, 1, 1, root))
    outline = rooted.difference(_fillet(a, thick, -1, -1, toe))
    outline = outline.difference(_fillet(thick, b, -1, -1, toe))
    found = sections.angle_m2_per_m(a, b, thick, root, toe)
    assert found == pytest.approx(outline.length / 1000, rel=1e-6)
    piece = piece_of("angle", (a, b, thick, root, toe), "angle")
    assert masses.cross_section_mm2(piece) == pytest.approx(outline.area, rel=1e-6)


def test_channel_outline_drawn_by_shapely() -> None:
    height, flange, web, thick, root, toe = 100.0, 50.0, 6.0, 8.5, 8.0, 4.0
    outline = box(0, 0, flange, height).difference(box(web, thick, flange + 1, height - thick))
    for level, way in ((thick, 1), (height - thick, -1)):
        outline = outline.union(_fillet(web, level, 1, way, root))
        outline = outline.difference(_fillet(flange, level, -1, -way, toe))
    found = sections.channel_m2_per_m(height, flange, web, thick, root, toe)
    assert found == pytest.approx(outline.length / 1000, rel=1e-6)
    piece = piece_of("channel", (height, flange, web, thick, root, toe), "channel")
    assert masses.cross_section_mm2(piece) == pytest.approx(outline.area, rel=1e-6)


def test_drilled_plate_drawn_by_shapely() -> None:
    length, width, thick, across = 200.0, 120.0, 6.0, 13.0
    spots = [(30, 30), (170, 30), (30, 90), (170, 90)]
    face = box(0, 0, length, width)
    for x, y in spots:
        face = face.difference(Polygon(_circle(x, y, across / 2)))
    area_mm2 = 2 * face.area + face.length * thick
    found = sections.plate_m2(length, width, thick, len(spots), across)
    assert found == pytest.approx(area_mm2 / 1e6, rel=1e-5)
    piece = piece_of("plate", (length, width, thick, len(spots), across), "plate")
    kg = masses.mass_of(piece, count=14).steel_kg
    assert kg == pytest.approx(14 * 7850 * face.area * thick / 1e9, rel=1e-5)


def _circle(x: float, y: float, radius: float) -> list[tuple[float, float]]:
    turns = [2 * math.pi * n / (4 * FINE) for n in range(4 * FINE)]
    return [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


def _fillet(x: float, y: float, right: int, up: int, radius: float) -> Polygon:
    """The sliver between a corner at (x, y) and the quarter round that touches both its sides."""
    far_x, far_y = x + right * radius, y + up * radius
    corner = box(min(x, far_x), min(y, far_y), max(x, far_x), max(y, far_y))
    return corner.difference(Polygon(_circle(far_x, far_y, radius)))


def test_what_a_hoist_is_chosen_for_is_never_less_than_what_hangs_on_it() -> None:
    """6 % more steel, the zinc inside and outside, and what else hangs on it."""
    piece = sections.read_piece("CHS 48.3x3.2")
    found = masses.mass_of(piece, 6, 2, zinc_um=85, also_kg=4)
    assert found.lift_kg == pytest.approx(1.06 * found.steel_kg + found.zinc_kg + 4)
    with pytest.raises(ValueError, match="how long is it"):
        masses.mass_of(piece)

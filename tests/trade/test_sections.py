"""Areas of pieces: read as painters write them, refused when they make no piece."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import sections


@pytest.mark.parametrize(
    ("text", "words", "m2_per_m"),
    [
        ("SHS 100x100x5", "box 100x100x5 mm, cold formed", 0.3828),
        ("shs 100x5", "box 100x5 mm, cold formed", 0.3828),
        ("SHS 100x100x5 hot", "box 100x100x5 mm, hot formed", 0.3871),
        ("RHS 100 x 60 x 4", "box 100x60x4 mm, cold formed", 0.3063),
        ("box 60\u00d740\u00d73", "box 60x40x3 mm, cold formed", 0.1897),
        ("CHS 48.3x3.2", "chs 48.3x3.2 mm", 0.1517),
        ("tube 48,3 x 3,2", "chs 48.3x3.2 mm", 0.1517),
        ("angle 60x60x6", "angle 60x60x6 mm", 0.24),
        ("L60x60x6", "angle 60x60x6 mm", 0.24),
        ("channel 100x50x6x8.5", "channel 100x50x6x8.5 mm", 0.388),
        ("U 100x50x6x8.5", "channel 100x50x6x8.5 mm", 0.388),
        ("flat 50x6", "flat 50x6 mm", 0.112),
        ("rod 20", "rod 20 mm", 0.0628),
        ("bar 20", "rod 20 mm", 0.0628),
    ],
)
def test_a_section_is_read_and_said_back(text: str, words: str, m2_per_m: float) -> None:
    piece = sections.read_piece(text)
    assert piece.words == words
    assert piece.m2_per_m == pytest.approx(m2_per_m, abs=0.0001)
    assert piece.m2_each is None


def test_a_plate_has_its_own_length() -> None:
    plain = sections.read_piece("plate 200x120x6")
    drilled = sections.read_piece("plate 200x120x6 holes 4x13")
    assert plain.m2_each == pytest.approx(0.05184)
    assert drilled.m2_each == pytest.approx(0.05176, abs=1e-5)
    assert drilled.words == "plate 200x120x6 mm, 4 holes of 13 mm"
    assert sections.area_m2(drilled, count=14) == pytest.approx(14 * 0.05176, abs=1e-4)
    with pytest.raises(ValueError, match="has its own length: leave the other length out"):
        sections.area_m2(plain, 3)


def test_three_metres_of_box() -> None:
    piece = sections.read_piece("SHS 100x100x5")
    assert sections.area_m2(piece, 3) == pytest.approx(1.148, abs=0.001)
    assert sections.area_m2(piece, 3, 4) == pytest.approx(4.594, abs=0.001)
    with pytest.raises(ValueError, match="how long is it"):
        sections.area_m2(piece)
    with pytest.raises(ValueError, match="length 0 m: must be over 0, up to 1000 m"):
        sections.area_m2(piece, 0)
    with pytest.raises(ValueError, match="pieces 0: must be at least 1"):
        sections.area_m2(piece, 3, 0)


@pytest.mark.parametrize(
    "text",
    ["", "SHS", "100x100x5", "SHS 100", "SHS 100x100x5x5", "CHS 48.3", "angle 60x6", "plate 200x120",
     "beam 100x100x5", "SHS ten", "SHS 100x-5", "SHS 1e3x5", "rod 20 hot", "rod 20 holes 4x13",
     "SHS 100x100x5 holes 2x13", "SHS 100x100x5 " + "9" * 90, "SHS 100x100x5\x1b[2J"],
)  # fmt: skip
def test_what_is_no_piece_is_refused_with_how_to_write_it(text: str) -> None:
    with pytest.raises(ValueError, match=r"^piece .*write CHS 48\.3x3\.2, SHS 100x100x5"):
        sections.read_piece(text)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("CHS 48.3x30", "wall 30 mm in 48.3 mm: it must be under half; the wall comes last"),
        ("SHS 5x100x100", "wall 100 mm in 5 mm"),
        ("SHS 20x20x6", "two corners of 12 mm do not fit"),
        ("SHS 0x0x0", "width 0 mm: must be over 0, up to 3000 mm"),
        ("angle 6x60x60", "thickness 60 mm: must be over 0, up to 3 mm"),
        ("channel 100x50x40x8", "web 40 mm: must be over 0, up to 25 mm"),
        ("rod 9000", "diameter 9000 mm: must be over 0, up to 3000 mm"),
        ("plate 200x120x6 holes 4", "holes '4' not understood: write number x diameter"),
        ("plate 200x120x6 holes 1.5x13", "write number x diameter, as 4x13"),
        ("plate 200x120x6 holes 4x130", "hole 130 mm: must be over 0, up to 120 mm"),
        ("plate 200x120x6 holes 40x60", "40 holes of 60 mm are more than the plate 200x120 mm"),
    ],
)
def test_sizes_that_make_no_piece_are_refused(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        sections.read_piece(text)


def test_radii_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="root radius 55 mm: must be at least 0, up to 54 mm"):
        sections.angle_m2_per_m(60, 60, 6, 55)
    with pytest.raises(ValueError, match=r"toe radius 9 mm: must be at least 0, up to 8.5 mm"):
        sections.channel_m2_per_m(100, 50, 6, 8.5, 8, 9)
    # 40 mm high: between the flanges there is room for two radii of 15 mm, beside the web for 55.
    assert sections.channel_m2_per_m(40, 60, 5, 5, 15) < sections.channel_m2_per_m(40, 60, 5, 5)
    with pytest.raises(ValueError, match=r"root radius 15.1 mm: must be at least 0, up to 15 mm"):
        sections.channel_m2_per_m(40, 60, 5, 5, 15.1)
    with pytest.raises(ValueError, match="formed 'warm': it must be cold"):
        sections.corner_radius_mm(5, "warm")  # type: ignore[arg-type]


sides = st.floats(20, 1000)


@given(sides, sides, st.floats(0.01, 0.1), st.sampled_from(["cold", "hot"]))
def test_round_corners_never_add_area(
    width: float, height: float, share: float, formed: sections.Formed
) -> None:
    found = sections.box_m2_per_m(width, height, share * min(width, height), formed)
    assert 0.8 * 2 * (width + height) / 1000 < found < 2 * (width + height) / 1000


@given(sides, sides, st.floats(1, 20), st.integers(0, 4), st.floats(1, 9))
def test_a_hole_narrower_than_twice_the_plate_adds_area_and_a_wider_one_takes_it(
    length: float, width: float, thick: float, holes: int, hole: float
) -> None:
    plain = sections.plate_m2(length, width, thick)
    drilled = sections.plate_m2(length, width, thick, holes, hole)
    gained = holes * math.pi * hole * (thick - hole / 2) / 1e6
    assert drilled - plain == pytest.approx(gained, abs=1e-12)


@given(st.text(max_size=60))
def test_any_text_is_a_piece_or_refused_never_a_crash(text: str) -> None:
    try:
        said = sections.read_piece(text).words
    except ValueError as refused:
        said = str(refused)
    assert "mm" in said


def test_a_hundred_thousand_pieces_are_added_up_and_no_more() -> None:
    rod = sections.read_piece("rod 10")
    assert sections.area_m2(rod, 1, 100_000) == pytest.approx(100_000 * math.pi / 100)
    with pytest.raises(ValueError, match="pieces"):
        sections.area_m2(rod, 1, 100_001)


def test_a_piece_is_read_up_to_80_characters() -> None:
    longest = "SHS 100x100x" + "5".rjust(68, "0")
    assert len(longest) == 80
    assert sections.read_piece(longest) == sections.read_piece("SHS 100x100x5")


def test_a_wall_of_nearly_half_is_a_piece() -> None:
    assert sections.read_piece("CHS 48.3x24").m2_per_m is not None

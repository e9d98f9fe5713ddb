"""A part: who has which face."""

from __future__ import annotations

import pytest

from bench.process.parts.part import Mark, initials


@pytest.mark.parametrize(
    ("names", "letters"),
    [
        (("Una", "Bo"), ["U", "B"]),
        (("Una", "Uwe"), ["Un", "Uw"]),
        (("Painter 2", "Painter 1"), ["P2", "P1"]),
        (("Anna", "Anina"), ["A1", "A2"]),
    ],
)
def test_no_two_painters_of_a_part_have_the_same_letters(
    names: tuple[str, ...], letters: list[str]
) -> None:
    marks = [Mark(f"face {number}", by=name) for number, name in enumerate(names)]
    assert list(initials(marks).values()) == letters

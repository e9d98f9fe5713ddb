"""The cross-cut test: how far apart the cuts are, and the class of what flaked."""

from __future__ import annotations

from dataclasses import dataclass

from bench.trade import checked

MOST_FILM_UM = 250.0
"""Thicker films are outside ISO 2409:2020 (scope seen)."""

CUTS = 6
"""Parallel cuts each way: ISO 2409:2020 (seen)."""

SQUARES = (CUTS - 1) ** 2
"""Squares between them."""

_SPACING = ((60.0, 1, 2), (120.0, 2, 2), (MOST_FILM_UM, 3, 3))
"""Film up to so many um: mm apart on a hard and on a soft substrate. ISO 2409, from memory."""

_MOST_FLAKED_PCT = (0.0, 5.0, 15.0, 35.0, 65.0)
"""The most flaked area of ISO classes 0 to 4; over the last is class 5. Bands seen."""

MEANINGS = (
    "edges of the cuts smooth, nothing flaked",
    "small flakes where the cuts cross, up to 5 %",
    "flaked along the edges or where the cuts cross, over 5 to 15 %",
    "flaked along the edges and off some squares, over 15 to 35 %",
    "flaked in wide strips or whole squares, over 35 to 65 %",
    "more than 65 % flaked",
)
"""ISO classes 0 to 5 in words of our own."""


@dataclass(frozen=True)
class CrossCut:
    """A cross-cut test. The two scales run opposite ways: ISO 0 and ASTM 5B are both the best."""

    spacing_mm: int
    iso_class: int
    astm_class: str
    meaning: str


def spacing_mm(film_um: float, *, soft_substrate: bool = False) -> int:
    """Return how far apart the six cuts are, in mm.

    On a hard substrate (metal) 1 mm up to 60 um, 2 mm up to 120 um, 3 mm up to 250 um; on a soft
    one (wood, plaster, plastic) 2, 2 and 3 mm.
    Range: a film over 0 to 250 um. Raises ValueError outside it, naming the test to do instead.
    Source: ISO 2409 (the limit of 250 um seen, the spacings from memory).

    >>> spacing_mm(60), spacing_mm(61), spacing_mm(200)
    (1, 2, 3)
    """
    if film_um > MOST_FILM_UM:
        raise ValueError(
            f"film: read {film_um:g} um, over the {MOST_FILM_UM:g} um of ISO 2409; wanted an "
            "X-cut (ISO 16276-2) or a pull-off (ISO 4624) instead"
        )
    checked.number(film_um, "film", "um", least=0.1, most=MOST_FILM_UM)
    hard, soft = next((hard, soft) for up_to, hard, soft in _SPACING if film_um <= up_to)
    return soft if soft_substrate else hard


def flaked_pct(squares: float) -> float:
    """Return the flaked area in percent from how many of the 25 squares came off (halves allowed).

    Range: 0 to 25 squares. Raises ValueError outside it. Source: arithmetic.

    >>> flaked_pct(1)
    4.0
    """
    checked.number(squares, "squares off, of the 25 that six cuts make,", least=0, most=SQUARES)
    return 100 * squares / SQUARES


def cross_cut(film_um: float, flaked_pct: float, *, soft_substrate: bool = False) -> CrossCut:
    """Return the spacing to cut for a film, and the class of the area in percent that flaked.

    Class 0 nothing, 1 up to 5 %, 2 up to 15 %, 3 up to 35 %, 4 up to 65 %, 5 over that.
    The class says what came off, not whether it is good enough: that is agreed beforehand.
    Range: a film over 0 to 250 um, 0 to 100 %. Raises ValueError outside it.
    Source: ISO 2409; bands of area seen in a table of ASTM D3359, whose class is 5 less ISO's.

    >>> cut = cross_cut(75, 4)
    >>> cut.spacing_mm, cut.iso_class, cut.astm_class
    (2, 1, '4B')
    """
    checked.number(flaked_pct, "flaked area", "%", least=0, most=100)
    spacing = spacing_mm(film_um, soft_substrate=soft_substrate)
    iso = sum(1 for most in _MOST_FLAKED_PCT if flaked_pct > most)
    return CrossCut(spacing, iso, f"{5 - iso}B", MEANINGS[iso])

"""A pot that was sprayed on several parts: how much of it each of them took."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass


@dataclass(frozen=True)
class PartInPot:
    """A part that was sprayed from a pot. area_m2: of one piece, None where nobody knows it.

    faces: what share of its faces was sprayed from this pot, over 0 to 1.
    """

    tag: str
    count: int
    area_m2: float | None
    faces: float = 1.0


@dataclass(frozen=True)
class PotShare:
    """The share of a pot that some parts took, 0 to 1. by_piece: an area is not known."""

    share: float
    by_piece: bool


def share_of_pot(parts: Collection[PartInPot], tags: Collection[str]) -> PotShare:
    """Split a pot by the area of all pieces; by piece where the area of one part is not known.

    >>> frame, clip = PartInPot("1", 1, 7.5), PartInPot("2", 10, 0.25)
    >>> share_of_pot([frame, clip], ["1"])
    PotShare(share=0.75, by_piece=False)
    """
    by_piece = len(parts) > 1 and any(part.area_m2 is None for part in parts)

    def weight(part: PartInPot) -> float:
        area_m2 = 1.0 if by_piece or part.area_m2 is None else part.area_m2
        return part.count * area_m2 * part.faces

    total = sum(weight(part) for part in parts)
    mine = sum(weight(part) for part in parts if part.tag in tags)
    return PotShare(mine / total if total else 0.0, by_piece)

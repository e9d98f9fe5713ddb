"""A pot on several parts: split by area, by piece where one area is not known; worked by hand."""

from __future__ import annotations

import pytest

from bench.process.stock.shared_pots import PartInPot, PotShare, share_of_pot

FRAME = PartInPot("1", 1, 7.5)
CLIPS = PartInPot("2", 40, 0.03)


@pytest.mark.parametrize(
    ("parts", "tags", "share"),
    [
        ([FRAME, CLIPS], ["2"], PotShare(1.2 / 8.7, by_piece=False)),
        ([FRAME, CLIPS], ["1", "2"], PotShare(1.0, by_piece=False)),
        ([FRAME, CLIPS], ["3"], PotShare(0.0, by_piece=False)),
        ([FRAME, PartInPot("2", 40, None)], ["2"], PotShare(40 / 41, by_piece=True)),
        ([PartInPot("2", 40, None)], ["2"], PotShare(1.0, by_piece=False)),
        ([FRAME, PartInPot("3", 1, 7.5, faces=0.5)], ["3"], PotShare(1 / 3, by_piece=False)),
        ([], ["1"], PotShare(0.0, by_piece=False)),
    ],
)
def test_a_pot_is_split_by_area(parts: list[PartInPot], tags: list[str], share: PotShare) -> None:
    found = share_of_pot(parts, tags)
    assert found.share == pytest.approx(share.share)
    assert found.by_piece == share.by_piece

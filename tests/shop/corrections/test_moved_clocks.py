"""What a correction offers, and what it tells of the clocks that moved with it."""

from __future__ import annotations

from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.corrections import correction_effects
from bench.shop.corrections.pot_facts import pots_it_may_be
from bench.store.schema.tables import MixRow
from tests.conftest import MONDAY


def told(monkeypatch: pytest.MonkeyPatch, clocks: int, by: timedelta) -> list[str]:
    """The notes of an action by which so many clocks moved so far."""
    act: Any = SimpleNamespace(now=MONDAY, notes=[])
    before = {f"pot {n} bin by": (MONDAY + timedelta(hours=1), "08:30") for n in range(clocks)}
    after = {what: (at + by, "later") for what, (at, _) in before.items()}
    monkeypatch.setattr(correction_effects, "clocks_now", lambda _: after)
    correction_effects.tell_moved(act, before)
    notes: list[str] = act.notes
    return notes


@pytest.mark.parametrize("way", [1, -1])
def test_a_clock_that_moved_by_a_minute_is_told_of_and_by_less_is_not(
    monkeypatch: pytest.MonkeyPatch, way: int
) -> None:
    line = "pot 0 bin by later now, not 08:30"
    assert told(monkeypatch, 1, way * timedelta(seconds=60)) == [line]
    assert told(monkeypatch, 1, way * timedelta(seconds=59)) == []


def test_eight_clocks_are_told_of_and_the_others_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    hour = timedelta(hours=1)
    assert len(told(monkeypatch, 8, hour)) == 8
    assert told(monkeypatch, 10, hour)[7:] == [
        "pot 7 bin by later now, not 08:30",
        "and 2 clocks more moved",
    ]


def test_the_eight_newest_pots_are_those_that_a_coat_may_be_from(shop: Shop) -> None:
    with shop.store.writing() as session:
        session.add_all(
            MixRow(letter=letter, product="gloss", mixed_at=MONDAY, painter="Kit")
            for letter in "ABCDEFGHI"
        )
        session.commit()
    offered = pots_it_may_be(shop, "gloss", MONDAY)
    assert "".join(words[4] for words in offered.values()) == "IHGFEDCB"

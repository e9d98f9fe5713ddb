"""A scanner's keys are told from a hand's by how soon each follows the one before."""

from __future__ import annotations

import pytest
from textual import events

from bench.screens.core.scanner import PREFIXED_GAP_S, SCAN_GAP_S, Scan, ScanReader

FAST_S, SLOW_S = 0.01, 0.2
NAMES = {"\r": "enter", "\x1b[B": "down"}


def read(*typed: tuple[str, float], prefix: str = "") -> list[str | Scan]:
    """What comes of keys, each so many seconds after the one before, and of what is held then."""
    reader, at_s, out = ScanReader(lambda: prefix), 5.0, list[str | Scan]()
    for sign, after_s in typed:
        at_s += after_s
        name = NAMES.get(sign)
        keys, scan = reader.came(events.Key(name or sign, None if name else sign), at_s)
        out += [key.character or key.key for key in keys]
        out += [scan] if scan else []
    return out + [key.character or key.key for key in reader.due(at_s + PREFIXED_GAP_S)]


def burst(text: str, gap_s: float = FAST_S) -> list[tuple[str, float]]:
    return [(sign, gap_s if place else SLOW_S) for place, sign in enumerate(text)]


@pytest.mark.parametrize("tag", ["1", "115", "10412", "4b", "A-7"])
def test_what_comes_faster_than_a_hand_types_and_ends_in_enter_is_a_scan(tag: str) -> None:
    assert read(*burst(f"{tag}\r")) == [Scan(tag)]


def test_a_second_end_of_line_is_no_enter() -> None:
    assert read(*burst("12\r\r"), ("\r", SLOW_S)) == [Scan("12"), "enter"]


def test_a_hand_s_keys_come_out_in_their_order() -> None:
    assert read(*burst("12\r", SLOW_S)) == ["1", "2", "enter"]
    assert read(*burst("12"), ("\r", SCAN_GAP_S)) == ["1", "2", "enter"], "just too late"
    assert read(*burst(["1", "[B"][0]), ("\x1b[B", FAST_S)) == ["1", "down"]
    assert read(("7", SLOW_S), *burst("12\r")) == ["7", Scan("12")], "a hand's before a scan"


def test_two_keys_pressed_at_once_answer_nothing() -> None:
    """Plus is above Enter: a glove that presses both means the plus, or neither."""
    assert read(*burst("+\r")) == ["+"]
    assert read(("\x1b[B", SLOW_S), ("\r", FAST_S)) == ["down"]


def test_a_key_is_held_back_no_longer_than_the_gap() -> None:
    reader = ScanReader(str)
    assert reader.came(events.Key("1", "1"), 5.0).keys == []
    assert reader.gap_s == SCAN_GAP_S == 0.03
    assert reader.due(5.02) == []
    assert [key.key for key in reader.due(5.0 + SCAN_GAP_S)] == ["1"]
    assert not reader.holds


def test_after_the_shop_s_prefix_a_tag_may_come_slowly() -> None:
    slow_line = burst("~115\r", PREFIXED_GAP_S - 0.01)
    assert read(*slow_line, prefix="~") == [Scan("115", prefixed=True)]
    assert read(*slow_line) == ["~", "1", "1", "5", "enter"]
    assert read(*burst("115\r"), prefix="~") == [Scan("115")]
    typed = [("~", SLOW_S), ("a", 0.5), ("\r", 0.5)]
    assert read(*typed, prefix="~") == ["~", "a", "enter"], "somebody types it into a note"

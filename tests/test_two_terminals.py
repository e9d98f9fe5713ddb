"""Two windows with the real program on one bench, as on the console and over SSH."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from bench.__main__ import main

from .databases import pytest_generate_tests
from .terminal import terminal
from .test_power_cut import press_through

__all__ = ["pytest_generate_tests"]


@pytest.fixture
def today(data: Path) -> Path:
    """A shop opened by the program itself, on the clock that it goes by there."""
    words = ["--db", str(data), "open", "--painters", "Kit,Mo", "--stands", "6"]
    assert main(words, environment={}, out=io.StringIO()) == 0
    return data


def test_each_window_shows_what_is_done_at_the_other(today: Path) -> None:
    with terminal(today) as here, terminal(today) as there:
        there.wait_until(lambda p: "6  EMPTY" in p)
        press_through(here, 8)
        there.wait_until(lambda p: "WORKING" in p and "Frame" in p)
        # Looked at for long enough: what changes under the finger is refused.
        for key in ("1", "0", "1"):
            there.press(key)
        there.wait_until(lambda p: ">1 " in p)
        there.press("+")
        there.wait_until(lambda p: "2/9" in p)
        here.wait_until(lambda p: "2/9" in p)
    out = io.StringIO()
    assert main(["--db", str(today), "check"], environment={}, out=out) == 0
    assert "4 log entries" in out.getvalue()

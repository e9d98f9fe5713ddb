"""``paintbench coat``: how thick the last coat came out, on the command line."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from ..running import Paintbench

BY = ("--by", "Kit")


@pytest.fixture
def primed(paintbench: Paintbench) -> Paintbench:
    """A bracket with epoxy on, sprayed just now at 20 C, by day and by night."""
    for line in (
        ("shop", "--day", "20C", "--night", "20C"),
        ("reading", "--air", "20C", "--rh", "55%", "--metal", "20C"),
        ("place", "1", "--route", "steel-blasted", "--shape", "bracket"),
        ("skip", "1", "--reason", "already done"),
        ("skip", "1", "--reason", "already done"),
        ("mix", "epoxy-primer", "--need", "300ml"),
        ("begin", "1"),
        ("finish", "1", "--all-faces"),
    ):
        ran = paintbench(*line, *BY)
        assert ran.code == 0, ran.err
    return paintbench


def opens(paintbench: Paintbench) -> datetime:
    (stand, *_) = paintbench("status", "--json").json()["stands"]
    return datetime.fromisoformat(stand["opens_at"])


def test_a_heavy_coat_opens_half_as_long_again_later_and_status_says_why(
    primed: Paintbench,
) -> None:
    """16 h at 20 C, so 24 h (half as long again: common practice, no source)."""
    before = opens(primed)
    ran = primed("coat", "1", "--heavy", *BY)
    assert (ran.code, ran.err) == (0, "")
    assert "Epoxy primer, says Kit; heavy coat: waits half as long again" in " ".join(
        ran.out.split()
    )
    assert opens(primed) == before + timedelta(hours=8)
    (stand, *_) = primed("status", "--json").json()["stands"]
    assert stand["coat"] == {
        "step": "Epoxy primer",
        "weight": "heavy",
        "wet_um": None,
        "dry_um": None,
        "times_as_long": 1.5,
    }
    told = " ".join(primed("status").out.split())
    assert "a figure of the data sheet, half as long again for a heavy coat" in told
    (step,) = (
        s for s in primed("sheet", "1", "--json").json()["sheet"]["steps"] if s["number"] == 3
    )
    assert step["weight"] == "heavy"


def test_a_measured_film_is_typed_in_any_unit_of_length(primed: Paintbench) -> None:
    assert primed("coat", "1", "--film-dry", "3 mil", "--film-wet", "0.1 mm", *BY).code == 0
    (stand, *_) = primed("status", "--json").json()["stands"]
    assert (stand["coat"]["dry_um"], stand["coat"]["wet_um"]) == (76.2, 100.0)
    assert stand["coat"]["times_as_long"] == pytest.approx(1.27**2)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ((), 1, "nothing is said of it: say thin, as meant or heavy, or type its"),
        (("--as-meant",), 1, "that is recorded already"),
        (("--heavy", "--thin"), 2, "not allowed with argument"),
        (("--film-dry", "80"), 2, "'80' has no unit: type a film, such as 60 um"),
        (("--film-wet", "0um"), 1, "WFT 0 um: must be over 0, up to 10000 um"),
    ],
)
def test_what_cannot_be_read_or_says_nothing_is_refused(
    primed: Paintbench, words: tuple[str, ...], code: int, told: str
) -> None:
    ran = primed("coat", "1", *words, *BY)
    assert (ran.code, ran.out) == (code, "")
    assert told in " ".join(ran.err.split())


def test_a_stand_without_a_coat_shows_none(primed: Paintbench) -> None:
    stands = primed("status", "--json").json()["stands"]
    assert stands[1]["coat"] is None
    assert primed("place", "2", "--route", "zinc-new", "--shape", "frame", *BY).code == 0
    assert primed("status", "--json").json()["stands"][1]["coat"] is None
    ran = primed("coat", "2", "--heavy", *BY)
    assert ran.code == 1
    assert "its last work is no coat that waits (nothing is done yet" in ran.err

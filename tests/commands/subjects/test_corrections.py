"""``paintbench correct``: an older fact corrected on the command line."""

from __future__ import annotations

import pytest

from ..running import Paintbench

WHY = ("--reason", "the key was pressed late", "--by", "Kit")

WASH = 3
"""The step of the mordant wash on new zinc."""


@pytest.fixture
def begun(paintbench: Paintbench) -> Paintbench:
    """A frame, begun; a reading; a pot."""
    words = ("--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    for line in (
        ("place", "1", *words),
        ("begin", "1", "--by", "Kit"),
        ("reading", "--air", "18C", "--metal", "16C", "--by", "Kit"),
        ("mix", "etch-primer", "--need", "600ml", "--by", "Kit"),
    ):
        assert paintbench(*line).code == 0
    return paintbench


def test_an_hour_and_who_it_was_are_corrected(begun: Paintbench) -> None:
    hour = ("--step", "1", "--edge", "first", "--at", "2025-06-09 07:10")
    ran = begun("correct", "hour", "1", *hour, *WHY)
    assert (ran.code, ran.err) == (0, "")
    assert "begun: was 07:30 on Mon 09 Jun 2025, now 07:10 on Mon 09 Jun 2025" in ran.out
    ran = begun("correct", "who", "--tag", "1", "--step", "1", "--painters", "Mo,Kit", *WHY)
    assert "done by: was Kit, now Mo and Kit" in ran.out
    sheet = begun("sheet", "1", "--json").json()["sheet"]["steps"][0]
    assert sheet["painters"] == ["Mo", "Kit"]
    assert [one["by"] for one in sheet["corrections"]] == ["Kit", "Kit"]


def test_what_a_part_is_called_is_corrected(begun: Paintbench) -> None:
    right = ("--new-tag", "41", "--owner", "Rowing club", "--count", "2")
    ran = begun("correct", "part", "1", *right, *WHY)
    assert (ran.code, ran.err) == (0, "")
    assert begun("sheet", "--tag", "41").out.startswith("JOB RECORD, tag 41")
    assert begun("sheet", "--tag", "1").code == 1


def test_a_reading_and_a_pot_are_corrected_by_their_lines(begun: Paintbench) -> None:
    ran = begun("correct", "reading", "--line", "4", "--air", "-2C", "--not-read", "metal", *WHY)
    assert (ran.code, ran.err) == (0, "")
    assert "was air 18 C, surface 16 C, now air -2 C, surface not read" in ran.out
    ran = begun("correct", "pot", "--line", "5", "--pour", "1=320 ml", *WHY)
    assert "poured: was base 300 ml, now base 320 ml" in ran.out


def test_one_zone_a_test_and_when_it_was_mixed_are_corrected(begun: Paintbench) -> None:
    hour = ("--at", "2025-06-09 07:10")
    ran = begun("correct", "mixed", "--line", "5", *hour, *WHY)
    assert "pot A: mixed: was 07:30 on Mon 09 Jun 2025, now 07:10" in ran.out
    words = ("--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert begun("place", "2", *words).code == 0
    for _ in range(WASH - 1):
        assert begun("skip", "2", "--reason", "already done", "--by", "Kit").code == 0
    assert begun("begin", "2", "--zone", "REAR", "--by", "Kit").code == 0
    wetted = ("--step", str(WASH), "--mark", "rear", "--edge", "first")
    ran = begun("correct", "mark", "2", *wetted, "--at", "2025-06-09 07:20", *WHY)
    assert (ran.code, ran.err) == (0, "")
    assert "Mordant wash, REAR wet: was 07:30 on Mon 09 Jun 2025, now 07:20" in ran.out
    ran = begun("correct", "test", "1", "--step", "1", *hour, *WHY)
    assert (ran.code, ran.err.strip()) == (
        1,
        "File the zinc spikes has no test (nobody tested it yet)",
    )


def test_why_what_was_wrong_and_which_pot_are_corrected(begun: Paintbench) -> None:
    words = ("--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert begun("place", "2", *words).code == 0
    assert begun("skip", "2", "--reason", "already done", "--by", "Kit").code == 0
    ran = begun("correct", "skip", "2", "--step", "1", "--text", "no room for it", *WHY)
    assert "why it was left out: was already done, now no room for it" in ran.out
    ran = begun("correct", "defect", "2", "--text", "run", *WHY)
    assert (ran.code, ran.err) == (1, "no defect (there are 0)\n")
    ran = begun("correct", "from", "2", "--step", "5", "--line", "5", *WHY)
    assert (ran.code, ran.err) == (1, "Etch primer, mist was sprayed from no pot (todo)\n")
    ran = begun("correct", "part", "2", "--substrate", "steel", *WHY)
    assert "was substrate zinc, now substrate steel" in ran.out


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("hour", *WHY), 1, "'correct hour' needs more: add STAND or --tag, --step, --edge, --at"),
        (("who", "1", *WHY), 1, "'correct who' needs more: add --step, --painters"),
        (
            ("mark", "1", "--step", "1", *WHY),
            1,
            "'correct mark' needs more: add --edge, --at, --mark",
        ),
        (("test", "1", *WHY), 1, "'correct test' needs more: add --step, --at"),
        (("mixed", "--line", "5", *WHY), 1, "'correct mixed' needs more: add --at"),
        (("part", *WHY), 1, "add STAND or --tag"),
        (("pot", "--line", "5", *WHY), 1, "add --pour"),
        (("reading", "--line", "2", *WHY), 1, "line 2 is about no reading"),
        (("reading", "--line", "77", *WHY), 1, "no entry 77 in the log"),
        (("part", "1", "--by", "Kit"), 2, "--reason"),
        (("colour", "1", *WHY), 2, "invalid choice: 'colour'"),
        (("pot", "--line", "5", "--pour", "base=1ml", *WHY), 2, "wanted pour=amount"),
        (
            ("hour", "1", "--step", "1", "--edge", "first", "--at", "2025-02-30 07:00", *WHY),
            1,
            "there is no 30.2.2025",
        ),
    ],
)
def test_what_is_not_said_or_cannot_be_is_refused(
    begun: Paintbench, words: tuple[str, ...], code: int, told: str
) -> None:
    before = begun("journal", "--json").out
    ran = begun("correct", *words)
    assert ran.code == code
    assert told in ran.err
    assert begun("journal", "--json").out == before

"""What is kept of a text that a person typed: plain letters, and no more than a stand has room for.

The limits are house rules, no source: what fits a stand, and what a list still shows.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name, command_fault

BELL, CARON, DOT = "\x07", "\u030c", "\u0323"


def told(text: str, most: int = 60) -> str:
    """What is kept of a text, or why it is not."""
    return str(clean_name(text, "the name", most))


def test_blanks_at_the_ends_go_and_between_words_one_is_left() -> None:
    assert told("  Trolley   frame ") == "Trolley frame"
    assert told("Trolley\u00a0frame").startswith("the name has a control character"), "no blank"
    assert told("") == told("   ") == "the name is empty: type at least one letter"


def test_sixty_letters_are_kept_and_one_more_is_refused_with_their_number() -> None:
    assert told("a" * 60) == "a" * 60
    assert told("a" * 61) == "the name is too long (61 characters): at most 60"
    assert told(f"  {'a' * 60}  ") == "a" * 60, "counted without the blanks at its ends"
    assert told("12345", most=5) == "12345"
    assert told("123456", most=5) == "the name is too long (6 characters): at most 5"


@pytest.mark.parametrize("place", [0, 1, 30, 58, 59])
def test_a_control_character_is_refused_wherever_it_stands(place: int) -> None:
    letters = ["a"] * 60
    letters[place] = BELL
    assert told("".join(letters)) == (
        "the name has a control character ('\\x07'): use letters and figures only"
    )


def test_of_two_the_first_is_named() -> None:
    for first, second in permutations((BELL, "\t")):
        assert repr(first) in told(f"a{first}b{second}")


def test_a_letter_and_its_mark_are_kept_as_one_letter() -> None:
    assert told("Skoda".replace("S", f"S{CARON}")) == "\u0160koda"
    assert told(f"S{CARON}" * 60) == "\u0160" * 60, "sixty letters, though typed as 120"


def test_a_letter_wears_three_marks_and_not_four() -> None:
    # No letter is an x with a dot below, so that every mark of it is left.
    three = f"x{DOT * 3} and x{DOT * 3}"
    assert told(three) == three
    assert told(f"ax{DOT * 4}c") == "the name has letters that cannot be shown: use plain letters"


def test_a_command_has_twenty_words_of_four_hundred_letters_at_most() -> None:
    words = ["/usr/bin/bell", *["a"] * 19]
    assert command_fault(words) is None
    assert command_fault([*words, "a"]) == Refusal(
        "that is no command", "21 words", "1 to 20 plain words of up to 400 letters"
    )
    assert command_fault(["/bin/bell", "a" * 400]) is None
    for word in ("a" * 401, "", "a\nb"):
        assert command_fault(["/bin/bell", word]) is not None
    assert command_fault([]) is not None


def test_an_ampersand_inside_a_word_is_a_letter_and_at_its_end_the_shells() -> None:
    assert command_fault(["/bin/ring", "http://bell/?a=1&b=2"]) is None
    for word in ("loud&", "&", "a&&b"):
        assert "needs a shell, and none is used" in str(command_fault(["/bin/ring", word]))

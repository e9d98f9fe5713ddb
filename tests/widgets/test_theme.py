"""Both themes can be read: contrast worked out, on the console's sixteen colours as well."""

from __future__ import annotations

import pytest
from rich.color import Color, ColorSystem
from rich.style import Style

from bench.settings import Profile
from bench.shop.settings.setting_list import THEMES
from bench.widgets.theme import PAIRS, PLAIN, TURNED_OVER, WITHOUT_COLOUR, WORD_STYLES, look_of

LEAST = 4.5
"""Contrast of text, W3C WCAG 2.2, success criterion 1.4.3 (level AA); seen in the 2.x texts."""

FAR = 7.0
"""The enhanced contrast of 1.4.6 (level AAA): the far view is read from the doorway."""

VGA = {
    **{
        n: (a, b, c)
        for n, (a, b, c) in enumerate([(0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0)])
    },
    **{
        n + 4: c for n, c in enumerate([(0, 0, 170), (170, 0, 170), (0, 170, 170), (170, 170, 170)])
    },
    **{
        n + 8: c for n, c in enumerate([(85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85)])
    },
    **{
        n + 12: c for n, c in enumerate([(85, 85, 255), (255, 85, 255), (85, 255, 255), (255,) * 3])
    },
}
"""The sixteen of the Linux console, by their numbers: the kernel's default_red, _grn and _blu (from
memory)."""

BRIGHT = 8
"""From here on a colour is only for letters: console_codes(4)."""


def luminance(rgb: tuple[int, ...]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    share = [value / 255 for value in rgb]
    linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in share]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: tuple[int, ...], other: tuple[int, ...]) -> float:
    """Contrast ratio as WCAG 2.2 defines it: 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def rgb(colour: str) -> tuple[int, int, int]:
    return tuple(bytes.fromhex(colour[1:]))  # type: ignore[return-value]


def number(colour: str) -> int:
    """Which of the console's sixteen a colour is."""
    return next(n for n, value in VGA.items() if value == rgb(colour))


def least(name: str) -> float:
    return FAR if name.startswith("far") else LEAST


def test_the_formula_gives_what_wcag_says_of_black_and_white_and_of_grey_767676() -> None:
    """21 to 1 is in WCAG 2.2; 4.54 of #767676 on white is a figure of W3C's examples (from memory)."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast(rgb("#767676"), (255, 255, 255)) == pytest.approx(4.54, abs=0.01)


def test_every_theme_has_every_style_and_words_have_no_other() -> None:
    assert {theme for theme, _ in PAIRS} == set(THEMES)
    names = {frozenset(pairs) for pairs in PAIRS.values()}
    assert names == {frozenset(WITHOUT_COLOUR)}
    assert {*WORD_STYLES.values(), "counts", *PLAIN, *TURNED_OVER} <= set(WITHOUT_COLOUR)


@pytest.mark.parametrize("theme", THEMES)
def test_with_many_colours_every_text_stands_out(theme: str) -> None:
    for name, (ink, paper, _) in PAIRS[theme, False].items():
        assert contrast(rgb(ink), rgb(paper)) >= least(name), name


@pytest.mark.parametrize("theme", THEMES)
def test_text_stands_out_also_as_rounded_to_256_colours(theme: str) -> None:
    def sent(colour: str) -> tuple[int, ...]:
        return tuple(Color.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor())

    for name, (ink, paper, _) in PAIRS[theme, False].items():
        assert contrast(sent(ink), sent(paper)) >= least(name), name


@pytest.mark.parametrize("theme", THEMES)
def test_on_the_console_every_text_stands_out_also_where_bold_is_drawn_bright(theme: str) -> None:
    for name, (ink, paper, bold) in PAIRS[theme, True].items():
        drawn = number(ink)
        assert number(paper) < BRIGHT, name
        assert contrast(VGA[drawn], rgb(paper)) >= least(name), name
        brightened = VGA[drawn | BRIGHT] if bold else VGA[drawn]
        assert contrast(brightened, rgb(paper)) >= least(name), name


@pytest.mark.parametrize("theme", THEMES)
def test_the_sixteen_are_sent_as_the_numbers_they_have(theme: str) -> None:
    for ink, paper, _ in PAIRS[theme, True].values():
        for colour in (ink, paper):
            sent = Color.parse(colour).downgrade(ColorSystem.STANDARD)
            assert sent.number == number(colour)


def test_without_colour_bold_and_turned_over_are_left_and_no_colour() -> None:
    look = look_of(Profile(0, "ascii"), "dark")
    for name, style in look.styles.items():
        assert style.color is style.bgcolor is None
        codes = Style.render(style, "x", color_system=ColorSystem.TRUECOLOR)
        assert codes in ("x", "\x1b[1mx\x1b[0m", "\x1b[1;7mx\x1b[0m", "\x1b[7mx\x1b[0m"), name


def test_the_console_gets_signs_of_its_own_font_and_a_terminal_in_c_plain_ascii() -> None:
    """Code page 437 is the font of a console that loaded none; Python's codec knows its signs."""
    drawn = "▄▀▀▄▄█ Zoë 日本"
    console = look_of(Profile(16, "console"), "dark").shown(drawn)
    assert len(console) == len(drawn)
    assert console[:6].encode("cp437")
    assert look_of(Profile(0, "ascii"), "dark").shown(drawn) == "?????? Zo? ????"
    assert look_of(Profile(256, "full"), "light").shown(drawn) == drawn

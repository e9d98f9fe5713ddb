"""Reading ratios as tins print them. The notations are common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import mixing, ratio
from bench.trade.mixing import By, Of, Ratio, Share

TWO = ("base", "hardener")
THREE = ("base", "hardener", "thinner")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("1:1", (1, 1)),
        ("2:1", (2, 1)),
        ("10:1", (10, 1)),
        (" 4 : 1 ", (4, 1)),
        ("4:1:1", (4, 1, 1)),
        ("4:2:1", (4, 2, 1)),
        ("1:1.5", (1, 1.5)),
        ("1.5:1", (1.5, 1)),
        ("1,5:1", (1.5, 1)),
        ("2:1:0.5", (2, 1, 0.5)),
        ("2:1:,5", (2, 1, 0.5)),
        ("5:1+0.5", (5, 1, 0.5)),
        ("1:10", (1, 10)),
        ("1 in 10", (1, 9)),
        ("ratio 4:1", (4, 1)),
        ("Mixing Ratio 4:1", (4, 1)),
        ("mix ratio 4:1 (1 L + 250 ml kit)", (4, 1)),
        ("4 parts : 1 part by volume", (4, 1)),
        ("4\u22361", (4, 1)),
    ],
)
def test_plain_ratios_are_by_volume_and_ask_which_part_is_which(
    text: str, parts: tuple[float, ...]
) -> None:
    reading = ratio.read_ratio(text)
    assert (reading.parts, reading.by, reading.asks) == (parts, "volume", ("roles",))


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("4:1 + 10 %", 10, 10),
        ("2:1+10%", 10, 10),
        ("2:1+7,5%", 7.5, 7.5),
        ("5:1 + 10-20 %", 10, 20),
        ("5:1 + 10 \u2013 20 %", 10, 20),
        ("4:1 + 5 % thinner", 5, 5),
    ],
)
def test_a_thinner_percent_asks_percent_of_what(text: str, least: float, most: float) -> None:
    reading = ratio.read_ratio(text)
    assert (reading.thinner_pct, reading.asks) == ((least, most), ("roles", "of"))


@pytest.mark.parametrize(
    ("text", "parts", "by", "asks"),
    [
        ("100:25 w/w", (4, 1), "weight", ("roles",)),
        ("4:1 by weight", (4, 1), "weight", ("roles",)),
        ("4:1 parts by weight", (4, 1), "weight", ("roles",)),
        ("4:1 pbw", (4, 1), "weight", ("roles",)),
        ("4:1 m/m", (4, 1), "weight", ("roles",)),
        ("100:20 phr", (5, 1), "weight", ("roles",)),
        ("100:33 w/w", (1, 0.33), "weight", ("roles",)),
        ("4:1 v/v", (4, 1), "volume", ("roles",)),
        ("100:50:20", (10, 5, 2), None, ("roles", "by")),
        ("100:25", (4, 1), None, ("roles", "by")),
    ],
)
def test_by_weight_and_percent_of_the_base(
    text: str, parts: tuple[float, ...], by: By | None, asks: tuple[ratio.Ask, ...]
) -> None:
    reading = ratio.read_ratio(text)
    assert (reading.parts, reading.by, reading.asks) == (pytest.approx(parts), by, asks)


def test_words_that_tell_what_they_mean_ask_less() -> None:
    assert ratio.read_ratio("thin 1:1").roles == ("base", "thinner")
    assert ratio.read_ratio("thin 1:1").asks == ()
    assert ratio.read_ratio("ready to spray").asks == ratio.read_ratio("no thinner").asks == ()
    equal = ratio.to_ratio(ratio.read_ratio("let down 100 %"))
    assert [pour.ml for pour in mixing.for_total(equal, 600).pours] == [300, 300]


@pytest.mark.parametrize("text", ["thin 50 %", "50 % thinned", "thinned 50%"])
def test_thin_50_percent_is_two_to_one_or_half_the_mix_so_it_is_asked(text: str) -> None:
    reading = ratio.read_ratio(text)
    assert reading.asks == ("of",)
    poured = {
        of: [p.ml for p in mixing.for_total(ratio.to_ratio(reading, of=of), 600).pours]
        for of in ("mixed", "total")
    }
    assert poured == {"mixed": [400, 200], "total": [300, 300]}


@pytest.mark.parametrize(("of", "parts"), [("total", (1, 9)), ("mixed", (1, 10))])
def test_a_wash_at_10_percent_is_1_and_9_or_1_and_10_so_it_is_asked(
    of: Of, parts: tuple[float, float]
) -> None:
    reading = ratio.read_ratio("10 %")
    assert reading.asks == ("roles", "of")
    with pytest.raises(ValueError, match=r"10 % of the whole \(total\), or added to 100 of the"):
        ratio.to_ratio(reading, ("base", "thinner"))
    with pytest.raises(ValueError, match=r"10 % of the whole \(total\), or added to 100 of the"):
        ratio.to_ratio(reading, ("base", "thinner"), of="base")
    found = ratio.to_ratio(reading, ("base", "thinner"), of=of)
    assert tuple(share.parts for share in found.shares) == pytest.approx(parts)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "nothing to read"),
        ("   ", "nothing to read"),
        ("ten", "words are not understood here"),
        ("four to one", "words are not understood here"),
        ("1e9:1", "words are not understood here"),
        ("0:1", "a part of nothing"),
        ("0:0", "a part of nothing"),
        ("-5 %", "a part or a percent cannot be negative"),
        ("-4:1", "cannot be negative"),
        ("4:-1", "cannot be negative"),
        ("2:1 + -5 %", "cannot be negative"),
        ("4::1", "a part is missing beside a colon"),
        (":4", "a part is missing beside a colon"),
        ("4:1:", "a part is missing beside a colon"),
        ("4", "one part alone is no ratio"),
        ("1:1:1:1:1", "5 parts, at most 4"),
        ("51:1", "a part of 51 is over 50"),
        ("2:1+120%", "120 % is over 100 %"),
        ("2:1+20-10%", "20 to 10 % runs backwards"),
        ("0 %", "over 0 and under 100"),
        ("100 %", "over 0 and under 100"),
        ("10-20 %", "a dilution is one percent"),
        ("10 in 10", "leaves nothing for the rest"),
        ("4/1", "not understood"),
        ("1.5.2:1", "not understood"),
        ("4:1+10%+0.5", "not understood"),
        ("4 jugs : 1", "jugs and parts differ: say by volume or by weight"),
        ("4 parts : 1 part", "jugs and parts differ"),
        ("5 drops per 100 ml", "an additive is no part of the ratio"),
        ("max 5 % retarder", "an additive is no part of the ratio"),
        ("4:1 by weight by volume", "by weight and by volume at once"),
        ("mix ratio 5:1 (1 l + 250 ml kit)", "the kit holds 1000 ml \\+ 250 ml, which is another"),
        ("1:1 (0 l + 1 l kit)", "the kit holds 0 ml"),
        ("4:1\x1b[2J", "not a ratio"),
        ("4:1" + ":1" * 300, "not a ratio"),
        ("4\u202e:1", "not a ratio"),
    ],
)
def test_what_cannot_be_a_ratio_is_refused_with_what_would_be_right(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=rf"^ratio .*: .*{told}.*; write 4:1, 4:1:1, 2:1\+10%"):
        ratio.read_ratio(text)


def test_a_kit_may_be_filled_two_percent_off_its_ratio() -> None:
    """Tins are filled to a round figure: common practice, no source."""
    assert ratio.read_ratio("4:1 (1 l + 254.8 ml kit)").parts == (4, 1)
    with pytest.raises(ValueError, match="which is another ratio"):
        ratio.read_ratio("4:1 (1 l + 255.3 ml kit)")


def test_as_much_thinner_as_paint_has_to_be_confirmed() -> None:
    reading = ratio.read_ratio("2:1+100%")
    assert "sure" in reading.asks
    with pytest.raises(ValueError, match="as much thinner as paint: sure"):
        ratio.to_ratio(reading, TWO, of="mixed")
    assert ratio.to_ratio(reading, TWO, of="mixed", sure=True).thinner_pct == 100


def test_more_hardener_than_base_has_to_be_confirmed() -> None:
    """Some tins print hardener first, as 1:4."""
    reading = ratio.read_ratio("1:4")
    with pytest.raises(ValueError, match="4 parts hardener to 1 base looks the wrong way round"):
        ratio.to_ratio(reading, TWO)
    assert ratio.to_ratio(reading, ("hardener", "base")).shares[1] == Share("base", 4)
    assert ratio.to_ratio(reading, TWO, sure=True).shares[1] == Share("hardener", 4)


# --- nothing is mixed while a doubt is open -----------------------------------------------------


def test_a_ratio_is_never_made_while_a_role_is_unnamed() -> None:
    reading = ratio.read_ratio("4:1:1")
    with pytest.raises(ValueError, match="which part is which"):
        ratio.to_ratio(reading)
    with pytest.raises(ValueError, match="3 parts but 2 names"):
        ratio.to_ratio(reading, TWO)
    with pytest.raises(ValueError, match="a part of 1 has no role"):
        ratio.to_ratio(reading, ("base", "hardener", ""))
    with pytest.raises(ValueError, match="two parts are called hardener"):
        ratio.to_ratio(reading, ("base", "hardener", "hardener"))
    assert ratio.to_ratio(reading, THREE) == Ratio(
        (Share("base", 4), Share("hardener", 1), Share("thinner", 1))
    )


def test_every_open_question_is_named_at_once() -> None:
    with pytest.raises(
        ValueError, match=r"which part is which.*by volume or by weight.*percent of"
    ):
        ratio.to_ratio(ratio.read_ratio("100:25 + 10%"))


def test_of_a_range_the_least_is_proposed_and_only_the_range_is_allowed() -> None:
    reading = ratio.read_ratio("5:1 + 10-20 %")
    assert ratio.to_ratio(reading, TWO, of="mixed").thinner_pct == 10
    assert ratio.to_ratio(reading, TWO, of="mixed", thinner_pct=15).thinner_pct == 15
    with pytest.raises(ValueError, match=r"thinner 25 %: .* allows 10 to 20 %"):
        ratio.to_ratio(reading, TWO, of="mixed", thinner_pct=25)
    with pytest.raises(ValueError, match="says no thinner: leave 10 % out"):
        ratio.to_ratio(ratio.read_ratio("4:1"), TWO, thinner_pct=10)


def test_700_ml_of_4_2_1_differs_by_who_is_hardener() -> None:
    """Position is no meaning: 100 ml or 200 ml of hardener."""
    reading = ratio.read_ratio("4:2:1")
    hardener = {
        roles: next(p.ml for p in mixing.for_total(ratio.to_ratio(reading, roles), 700).pours
                    if p.role == "hardener")
        for roles in (("base", "hardener", "thinner"), ("base", "thinner", "hardener"))
    }  # fmt: skip
    assert list(hardener.values()) == pytest.approx([200, 100])


# --- said back in words -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "roles", "of", "said"),
    [
        (
            "5:1 + 10 %", TWO, "mixed",
            "5 parts base, 1 part hardener, by volume, then 10 % thinner of the two",
        ),
        (
            "5:1 + 10-20 %", TWO, "base",
            "5 parts base, 1 part hardener, by volume, then 10 to 20 % thinner of the base",
        ),
        (
            "2:1+10%", TWO, None,
            "2 parts base, 1 part hardener, by volume, then 10 % thinner of what?",
        ),
        ("4:1:1", (), None, "4 parts of ?, 1 part of ?, 1 part of ?, by volume"),
        ("4:1:1", ("base",), None, "4 parts base, 1 part of ?, 1 part of ?, by volume"),
        ("100:25 w/w", TWO, None, "4 parts base, 1 part hardener, by weight"),
        ("thin 50 %", (), "total", "1 part base, then 50 % thinner of the whole"),
        ("10 %", (), None, "10 % of the whole (total), or added to 100 of the rest (mixed)?"),
        ("10 %", ("base", "thinner"), "total", "1 part base, 9 parts thinner, by volume"),
        ("ready to spray", (), None, "1 part base"),
    ],
)  # fmt: skip
def test_a_reading_says_itself_back(
    text: str, roles: tuple[str, ...], of: Of | None, said: str
) -> None:
    assert ratio.in_words(ratio.read_ratio(text), roles, of) == said


# --- properties ---------------------------------------------------------------------------------

sizes = st.lists(
    st.decimals(min_value="0.01", max_value=50, places=2), min_size=2, max_size=4
)  # fmt: skip


@given(sizes, st.booleans(), st.sampled_from([":", " : "]))
def test_any_parts_written_out_are_read_back(
    given_sizes: list[object], comma: bool, colon: str
) -> None:
    text = colon.join(str(size) for size in given_sizes)
    reading = ratio.read_ratio(text.replace(".", ",") if comma else text)
    assert reading.parts == tuple(float(str(size)) for size in given_sizes)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_never_a_crash(text: str) -> None:
    try:
        said = ratio.in_words(ratio.read_ratio(text))
    except ValueError as refused:
        said = str(refused)
    assert said.isprintable()


@given(st.text(alphabet="0123456789:+%., -()lmin/wv", max_size=40))
def test_any_ratio_like_text_is_read_or_refused_never_a_crash(text: str) -> None:
    try:
        reading = ratio.read_ratio(text)
    except ValueError:
        return
    assert all(0 < size <= mixing.MOST_PART for size in reading.parts)


@pytest.mark.parametrize(("letters", "why"), [(80, "is over 50"), (81, "not a ratio")])
def test_a_text_of_more_than_80_letters_is_no_ratio(letters: int, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        ratio.read_ratio("2:1".ljust(letters, "0"))

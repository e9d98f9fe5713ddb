"""The table of sums: each one answers, each one refuses in words, none of them falls over."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.screens.dialogs.choices import ON_A_PAGE, NumberQuestion
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import Refused, Solved, follow, questions_so_far, usual
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core.transaction import Shop
from bench.sums.answer_text import SumRow, data
from bench.sums.table import GROUPS
from bench.testing import ManualClock
from tests.screens.driving import at_the_bench

from .pressing import SUMS, answer_of, go_to, reckon, usual_answers

NONSENSE = (-5.0, 0.0, 1e9)
"""Less than nothing, nothing, and a slip of the fingers."""
SAYS_WHAT_IS_RIGHT = ("must be", "wanted", "wet the wick", "type a figure for the cold")

CLEAR = "Estimate: minutes until 1 % of the mist is left"
THE_LIST = """
how much of each part; round to the cup's lines; smallest measurable mix; pot life; a pour too many;
cost; water for a wash; area of pieces; litres of each part to buy; cans; wet and dry film; runs out about face n of
m; the film that what there is makes; mass of pieces, and to lift; dew point, and is it fit; humidity from the wet bulb; water in
the air; how far to warm the surface; salts on the surface; a sheet's time at today's temperature; how far a coat or a pot
has come; how much faster or slower; seconds and viscosity; thinner to reach a
time; zinc: mass and thickness; zinc: the minimum of ISO 1461; zinc: years left; paint on zinc; accept
a set of film readings; cross-cut; years of zinc and paint together; bare spots in the zinc; VOC of the mix as sprayed; air to dilute vapour; Estimate: minutes until
1 % of the mist is left; solvent in a closed section; film of a pass; a wrong distance; a swung wrist; passes to cover a face; set-up of a tool;
what went wrong, and the next pass
"""


@pytest.fixture(params=["fresh_facts", "demo_facts"])
def facts(request: pytest.FixtureRequest) -> ShopFacts:
    """A shop that knows nothing yet, and one with readings."""
    known: ShopFacts = request.getfixturevalue(request.param)
    return known


def asks_numbers(title: str, facts: ShopFacts) -> bool:
    """Whether a sum asks more than choices."""
    return any(not asked.choices for asked in follow(SUMS[title], facts, (), ahead=True).asked)


def test_every_sum_of_the_trade_is_on_the_list() -> None:
    assert list(SUMS) == [title.strip() for title in " ".join(THE_LIST.split()).split(";")]


def test_each_list_is_one_page() -> None:
    assert len(GROUPS) <= ON_A_PAGE
    assert all(len(sums) <= ON_A_PAGE for sums in GROUPS.values())


@pytest.mark.parametrize("title", SUMS)
def test_every_sum_answers_with_what_enter_takes(title: str, facts: ShopFacts) -> None:
    end = follow(SUMS[title], facts, usual_answers(SUMS[title], facts)).end
    assert isinstance(end, Solved), end
    assert data(SUMS[title], end.answer)


@pytest.mark.parametrize("title", SUMS)
def test_every_sum_refuses_nonsense_in_words(title: str, fresh_facts: ShopFacts) -> None:
    facts = fresh_facts
    refused = []
    for place, asked in enumerate(follow(SUMS[title], facts, (), ahead=True).asked):
        for nonsense in NONSENSE if not asked.choices else ():
            answers = usual_answers(SUMS[title], facts)[:place]
            course = follow(SUMS[title], facts, [*answers, nonsense], ahead=True)
            assert course.end is not None
            if isinstance(course.end, Refused):
                refused.append(course.end.why)
    assert refused or not asks_numbers(title, facts)
    assert all(any(words in why for words in SAYS_WHAT_IS_RIGHT) for why in refused), refused


@pytest.mark.parametrize("title", SUMS)
def test_the_same_facts_and_answers_give_the_same_end(title: str, facts: ShopFacts) -> None:
    answers = usual_answers(SUMS[title], facts)
    assert follow(SUMS[title], facts, answers) == follow(SUMS[title], facts, answers)


@pytest.mark.parametrize("title", SUMS)
def test_what_is_asked_is_answered_in_order_and_ends(title: str, facts: ShopFacts) -> None:
    """The screen of numbers goes on until no more is asked than is answered."""
    answers: list[float | None] = []
    while len(asked := questions_so_far(SUMS[title], facts, answers)) > len(answers):
        answers.append(usual(asked[len(answers)]))
    assert follow(SUMS[title], facts, answers).end is not None


def _some_answer(asked: NumberQuestion, dice: random.Random) -> float | None:
    if asked.choices:
        return float(dice.randint(1, len(asked.choices)))
    if not asked.must and dice.random() < 0.6:
        return None
    value = dice.choice((-5, 0, 1e-6, 0.5, 1, 3, 20, 85, 120, 1000, 1e8, -1e8, 1e300))
    return float(int(value)) if asked.whole else float(value)


@given(seed=st.integers(0, 2**32))
def test_whatever_is_typed_there_is_an_answer_or_a_refusal(
    seed: int, demo_facts: ShopFacts
) -> None:
    dice = random.Random(seed)
    for sum_ in SUMS.values():
        answers: list[float | None] = []
        while (course := follow(sum_, demo_facts, answers)).end is None:
            asked = course.asked[-1]
            answers.append(usual(asked) if dice.random() < 0.6 else _some_answer(asked, dice))
        if isinstance(course.end, Solved):
            assert "nan" not in str(data(sum_, course.end.answer))


async def test_nothing_is_cut_on_the_smallest_screen(
    shop: Shop, clock: ManualClock, fresh_facts: ShopFacts
) -> None:
    """Every answer at 80 by 24 by keypad, with what Enter takes and the examples."""
    async with at_the_bench(shop, clock) as hands:
        for title, sum_ in SUMS.items():
            asked = follow(sum_, fresh_facts, (), ahead=True).asked
            typed = ["" if usual(each) == each.start else f"{usual(each):g}" for each in asked]
            screen = await reckon(hands, title, typed)
            assert screen.pages == 1, title
            answer = answer_of(screen).answer
            shown = " ".join(hands.picture().split())
            for text in (*answer.why, *answer.doubts, *sum_.cautions):
                assert text in shown
            assert ".." not in shown, hands.picture()
            await hands.press("0")


async def test_a_figure_too_long_to_be_big_is_a_line_of_its_own(
    shop: Shop, clock: ManualClock, fresh_facts: ShopFacts
) -> None:
    calculation = SUMS["water in the air"]
    solved = follow(calculation, fresh_facts, (20.0, 65.0)).end
    assert isinstance(solved, Solved)
    screen = SumResult(calculation, (), (), solved, fresh_facts)
    screen.rows = (SumRow("water in the air", "123456789.123", "g/m3", big=True),)
    async with at_the_bench(shop, clock) as hands:
        await hands.app.push_screen(screen)
        assert "123456789.123 g/m3" in hands.picture()


async def test_a_long_answer_goes_on_to_a_second_page(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock, (60, 14)) as hands:
        await go_to(hands, CLEAR)
        await hands.press("1 2 0 enter 2 4 0 0 enter enter 3 enter")
        seen = hands.picture()
        screen = hands.app.screen
        assert isinstance(screen, SumResult)
        assert screen.pages > 1
        assert "9 more" in seen
        for _ in range(screen.pages - 1):
            await hands.press("9")
            seen += hands.picture()
        assert "The extraction runs on until the time is up." in " ".join(seen.split())

"""The table of facts that can be corrected: each one by keypad and by command line, alike."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from bench.process.parts.log_entry import LogEntry
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.corrections.fact_table import FACTS
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.parts.zinc_answers import answer_zinc
from bench.shop.queries.log import log_page
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.commands.running import Ran, run_main
from tests.shop.doing import begin_over, done, state

from ..driving import Hands, at_the_bench

PRIMER = ("--step", "3")

WORDS: dict[str, tuple[str, ...]] = {
    "hour": ("1", *PRIMER, "--edge", "last", "--at", "2025-06-09 08:15"),
    "mark": ("1", *PRIMER, "--edge", "last", "--mark", "edge", "--at", "2025-06-09 08:15"),
    "test": ("1", *PRIMER, "--at", "2025-06-10 08:15"),
    "who": ("1", *PRIMER, "--painters", "Mo"),
    "part": ("1", "--count", "3"),
    "reading": ("--line", "{reading}", "--metal", "14C"),
    "pot": ("--line", "{pot B}", "--pour", "2=90ml"),
    "mixed": ("--line", "{pot B}", "--at", "2025-06-09 07:15"),
    "skip": ("1", "--step", "1", "--text", "weather"),
    "defect": ("1", "--text", "sag"),
    "from": ("1", *PRIMER, "--line", "{pot A}"),
    "zinc": ("2", "--white-rust", "yes"),
    "weight": ("1", *PRIMER, "--weight", "heavy"),
    "film": ("1", *PRIMER, "--film-dry", "90um"),
}
"""Another value of each fact, on the command line."""

QUARTER_PAST = "enter 1 5 enter enter enter enter"
KEYS: dict[str, tuple[tuple[str, ...], str]] = {
    "hour": (("3 Epoxy primer", "last face"), QUARTER_PAST),
    "mark": (("3 Epoxy primer", "one face, when", "EDGE ticked"), QUARTER_PAST),
    "test": (("3 Epoxy primer", "Kit's not yet"), QUARTER_PAST),
    "who": (("3 Epoxy primer", "done by", "Mo"), ""),
    "part": (("the part", "count"), "3 enter"),
    "reading": (("3 Epoxy primer", "Reading of"), "enter enter 1 4 enter"),
    "pot": (("3 Epoxy primer", "pot B", "poured"), "enter 9 0 enter"),
    "mixed": (("3 Epoxy primer", "pot B", "mixed"), QUARTER_PAST),
    "skip": (("1 Degrease and rinse, left out", "weather"), ""),
    "defect": (("what was wrong", "sag"), ""),
    "from": (("3 Epoxy primer", "sprayed from", "pot A"), ""),
    "zinc": (("its zinc", "white rust", "yes"), ""),
    "weight": (("3 Epoxy primer", "how thick", "came out", "heavy"), ""),
    "film": (("3 Epoxy primer", "how thick", "film"), "enter 9 0 enter"),
}
"""The same value by keypad: the lists to choose from, then the keys."""

CHANGES = {
    "hour": "last face: was 08:20 on Mon 09 Jun 2025, now 08:15 on Mon 09 Jun 2025",
    "mark": "EDGE ticked: was 08:20 on Mon 09 Jun 2025, now 08:15 on Mon 09 Jun 2025",
    "test": "not yet by Kit: was 08:20 on Tue 10 Jun 2025, now 08:15 on Tue 10 Jun 2025",
    "who": "done by: was Kit, now Mo",
    "part": "was count 2, now count 3",
    "reading": "read by Mo: was surface 20 C, now surface 14 C",
    "pot": "poured: was hardener 60 ml, now hardener 90 ml",
    "mixed": "mixed: was 07:31 on Mon 09 Jun 2025, now 07:15 on Mon 09 Jun 2025",
    "skip": "why it was left out: was already done, now weather",
    "defect": "what was wrong after Epoxy primer: was run, now sag",
    "from": "sprayed from: was pot B mixed 07:31 on Mon 09 Jun 2025, now pot A mixed 07:30 on",
    "zinc": "was white rust no, now white rust yes",
    "weight": "Epoxy primer, came out: was as meant, now heavy",
    "film": "Epoxy primer: was DFT not measured, now DFT 90 um",
}
"""What the journal keeps of it: the old value and the new."""

OUT_OF_ORDER = {
    "hour": "2025-06-09 08:05",
    "mark": "2025-06-09 08:05",
    "test": "2025-06-09 08:15",
    "mixed": "2025-06-09 08:15",
}
"""An hour that cannot have been: the coat was begun 08:10 and ended 08:20."""


@pytest.fixture
def painted(shop: Shop, clock: ManualClock) -> Shop:
    """Two brackets primed 08:10 to 08:20 by Kit from pot B, not dry a day later, with a run.

    And a galvanised axle on stand 2.
    """
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=2))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    for minutes in (1, 39):
        done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
        clock.advance(minutes=minutes)
    done(begin_over(shop, 1, "Kit", "other"))
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(hours=24)
    done(testing.put_test_off(shop, 1, "Kit"))
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="axle"))
    done(answer_zinc(shop, 2, "Kit", white_rust=False))
    return shop


def correct(shop: Shop, data: Path, word: str, words: tuple[str, ...]) -> Ran:
    """Run ``paintbench correct``; a word in braces stands for the number of the line that begins so."""
    numbers = {
        text: next(str(line.number) for line in log_page(shop) if line.text.startswith(text))
        for text in ("reading", "pot A", "pot B")
    }
    typed = [each.format_map(numbers) for each in words]
    why = ("--reason", "misread", "--by", "Kit")
    return run_main(shop.clock, "--db", str(data), "correct", word, *typed, *why)


async def choose(hands: Hands, words: str) -> None:
    """Press the digit beside the choice that begins so, on whichever page it stands."""
    first = hands.picture()
    while not (digits := _beside(hands, words)):
        await hands.press("9")
        assert hands.picture() != first, f"no {words!r} in\n{first}"
    await hands.press(digits[0])


def _beside(hands: Hands, words: str) -> list[str]:
    rows = (row.split(None, 1) for row in hands.picture().splitlines())
    return [row[0] for row in rows if len(row) == 2 and row[1].startswith(words)]


def newest(shop: Shop) -> LogEntry:
    return log_page(shop, 1)[0]


def test_every_fact_of_the_table_has_its_case_here() -> None:
    assert FACTS.keys() == WORDS.keys() == KEYS.keys() == CHANGES.keys()
    hours = {word for word, fact in FACTS.items() if "at" in {f.name for f in fields(fact)}}
    assert hours == OUT_OF_ORDER.keys()


@pytest.mark.parametrize("word", FACTS)
def test_a_fact_is_corrected_by_command_line_and_once_only(
    painted: Shop, data: Path, word: str
) -> None:
    ran = correct(painted, data, word, WORDS[word])
    assert (ran.code, ran.err) == (0, "")
    line = newest(painted)
    assert CHANGES[word] in line.text
    assert line.text.endswith("because misread")
    assert (line.action, line.painter) == ("correct", "Kit")
    before = state(painted)
    again = correct(painted, data, word, WORDS[word])
    assert again.code == 1
    assert again.err.startswith("that is what is recorded")
    assert state(painted) == before
    assert newest(painted) == line
    assert check(painted).faults == ()


@pytest.mark.parametrize("word", FACTS)
async def test_a_fact_is_corrected_by_keypad_to_the_same(
    painted: Shop, clock: ManualClock, word: str
) -> None:
    choices, keys = KEYS[word]
    async with at_the_bench(painted, clock) as hands:
        await hands.answer_all()
        await hands.press(f"{WORDS[word][0] if word == 'zinc' else 1} enter enter 1")
        for words in choices:
            await choose(hands, words)
        if keys:
            await hands.press(keys)
        assert "why was it wrong?" in hands.picture()
        await choose(hands, "misread")
        assert CHANGES[word] in hands.said()
    line = newest(painted)
    assert CHANGES[word] in line.text
    assert line.text.endswith("because misread")
    assert (line.action, line.painter) == ("correct", "Kit")


@pytest.mark.parametrize("word", OUT_OF_ORDER)
def test_an_hour_out_of_order_is_refused_and_nothing_changes(
    painted: Shop, data: Path, word: str
) -> None:
    before, line = state(painted), newest(painted)
    ran = correct(painted, data, word, (*WORDS[word][:-1], OUT_OF_ORDER[word]))
    assert ran.code == 1
    side = "after" if word == "mixed" else "before"
    assert ran.err.startswith(f"that is {side} what came {side} it (")
    assert state(painted) == before
    assert newest(painted) == line

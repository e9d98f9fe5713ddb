"""Enter answers first, whatever the screen.

The two seconds are a rule of this house (in its design); 10 to 15 min for the mordant is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from bench.app import Paintbench
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.stock.mixing import MixStart
from bench.screens.bench.far_view import FarView
from bench.screens.bench.last_action import LastAction
from bench.screens.bench.spray_card import SprayCard
from bench.screens.bench.stand_page import StandPage
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core import pages
from bench.screens.core.alarm_watch import READ_S
from bench.screens.core.base import BenchScreen
from bench.screens.core.help import Help
from bench.screens.data.backups import BackupsPage
from bench.screens.data.clock_wrong import ClockWrong
from bench.screens.data.first_start import Names, Opening
from bench.screens.data.no_data import NoData
from bench.screens.dialogs import choices
from bench.screens.dialogs.batch_number import BatchNumber, TagNumber
from bench.screens.dialogs.earlier import Earlier
from bench.screens.dialogs.numbered import ChooseByNumber
from bench.screens.dialogs.overrides import RulesInTheWay
from bench.screens.dialogs.pin import PinPad
from bench.screens.dialogs.readings import ReadingsPage
from bench.screens.dialogs.text_field import TypedLine
from bench.screens.parts import log, record_pages, search
from bench.screens.parts.assignment import ShareFaces
from bench.screens.parts.jobs import JobScreen
from bench.screens.parts.scanned import NoSuchTag
from bench.screens.plan.plan_page import PlanPage
from bench.screens.setup import painters
from bench.screens.setup.conditions import ConditionsPage
from bench.screens.setup.lookahead import TonightPage
from bench.screens.setup.sheet_form import FormPage, RowPage
from bench.screens.setup.sheet_questions import KeepOrChoose, Rows
from bench.screens.setup.spray_helper import SprayHelper
from bench.screens.stock.mix import MixScreen
from bench.screens.stock.quote import QuoteScreen
from bench.screens.stock.shopping import Costs
from bench.screens.stock.tins import TinsPage
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.known_values import ShopFacts
from bench.screens.sums.sum_menu import follow
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.people.handover import ChangesSince
from bench.shop.queries.search import SearchPage, find_parts
from bench.shop.stock.quote import AskedItem
from bench.sums.table import CALCULATIONS
from bench.testing import ManualClock

from .core.test_alarm_watch import mist, put, wash
from .driving import Hands, at_the_bench
from .parts.test_assignment import build_next
from .pictures import every_screen, name_of

HINT = "Enter answers"


def part(bench: Paintbench) -> Part:
    placed = bench.view.on(1)
    assert placed is not None
    return placed.part


def found(bench: Paintbench) -> search.FoundParts:
    parts = find_parts(bench.shop, "", most=8)
    assert isinstance(parts, SearchPage)
    return search.FoundParts("", parts)


def answered_sum(bench: Paintbench) -> SumResult:
    facts = ShopFacts(bench.view, bench.now(), "")
    asked: list[float | None] = []
    while (course := follow(CALCULATIONS[0], facts, asked)).end is None:
        asked.append(1.0)
    return SumResult(CALCULATIONS[0], course.asked, asked, course.end, facts)


def share(bench: Paintbench) -> ShareFaces:
    record = next(each for each in part(bench).steps if each.step.kind == "dwell")
    return ShareFaces(part(bench), record, ["Kit", "Mo"])


def card(bench: Paintbench) -> SprayCard:
    view = bench.view
    return SprayCard(part(bench), view.products["etch-primer"], view.tools["hvlp"], [])


MADE: dict[str, Callable[[Paintbench], Any]] = {
    "setup.lookahead.TonightPage": lambda bench: TonightPage(),
    "plan.plan_page.PlanPage": lambda bench: PlanPage(),
    "dialogs.choices.Choose": lambda bench: choices.Choose("Which?", ["this", "that"]),
    "dialogs.numbered.ChooseByNumber": lambda bench: ChooseByNumber("Which?", {11: "this"}, 11),
    "dialogs.readings.ReadingsPage": lambda bench: ReadingsPage(
        "Tag 1", KINDS["dft"], lambda readings: []
    ),
    "dialogs.choices.Numbers": lambda bench: choices.Numbers(
        "How many?", [choices.NumberQuestion("pieces")]
    ),
    "dialogs.choices.Sure": lambda bench: choices.Sure("Sure?", []),
    "dialogs.choices.SureAfterEnter": lambda bench: choices.SureAfterEnter("Sure?", []),
    "data.backups.BackupsPage": lambda bench: BackupsPage(),
    "dialogs.batch_number.TagNumber": lambda bench: TagNumber("Find a tag", "back"),
    "parts.scanned.NoSuchTag": lambda bench: NoSuchTag("10412"),
    "dialogs.batch_number.BatchNumber": lambda bench: BatchNumber("Which?", "none"),
    "bench.whole_bench.WholeBench": lambda bench: None,
    "data.clock_wrong.ClockWrong": lambda bench: ClockWrong(),
    "setup.conditions.ConditionsPage": lambda bench: ConditionsPage(),
    "dialogs.earlier.Earlier": lambda bench: Earlier(part(bench), bench.now()),
    "bench.far_view.FarView": lambda bench: FarView(),
    "parts.jobs.JobScreen": lambda bench: JobScreen("Launching trolley"),
    "parts.search.FindPart": lambda bench: search.FindPart(),
    "parts.search.FoundParts": found,
    "core.help.Help": lambda bench: Help(WholeBench.KEYS),
    "setup.spray_helper.SprayHelper": lambda bench: SprayHelper(),
    "parts.log.JournalPage": lambda bench: log.JournalPage(),
    "parts.log.LinePage": lambda bench: log.LinePage(bench.view.line),
    "bench.last_action.LastAction": lambda bench: LastAction(),
    "dialogs.text_field.TypedLine": lambda bench: TypedLine("What?"),
    "stock.mix.MixScreen": lambda bench: MixScreen(
        bench.view.products["etch-primer"], MixStart(need_ml=600.0)
    ),
    "data.no_data.NoData": lambda bench: NoData(),
    "parts.assignment.ShareFaces": share,
    "data.first_start.Names": lambda bench: Names(),
    "data.first_start.Opening": lambda bench: Opening(),
    "dialogs.overrides.RulesInTheWay": lambda bench: RulesInTheWay("Start", [Refusal("too soon")]),
    "core.pages.Pages": lambda bench: pages.Pages(lambda: ("What there is", [("a line", "")])),
    "setup.painters.HandOverPage": lambda bench: painters.HandOverPage(()),
    "setup.painters.SinceYouLeft": lambda bench: painters.SinceYouLeft(
        ChangesSince("Kit", bench.now(), bench.now(), ())
    ),
    "parts.record_pages.RecordPage": lambda bench: record_pages.RecordPage("1"),
    "dialogs.pin.PinPad": lambda bench: PinPad("Your PIN"),
    "setup.sheet_form.FormPage": lambda bench: FormPage("Which?", ["this", "that"]),
    "setup.sheet_form.RowPage": lambda bench: RowPage("Which?", ["this", "that"]),
    "setup.sheet_questions.KeepOrChoose": lambda bench: KeepOrChoose("Which?", ["this"]),
    "setup.sheet_questions.Rows": lambda bench: Rows("Which?", ["this", "that"]),
    "bench.spray_card.SprayCard": card,
    "bench.stand_page.StandPage": lambda bench: StandPage("1"),
    "stock.shopping.Costs": Costs,
    "sums.answer_page.SumResult": answered_sum,
    "stock.quote.QuoteScreen": lambda bench: QuoteScreen([AskedItem("zinc-new", "frame")]),
    "stock.tins.TinsPage": lambda bench: TinsPage(),
}
"""Every screen with something on it, by its name."""

GIVES_WAY = {"menus.palette.Palette"}
"""To every alarm: test_palette."""

TYPED = (
    "dialogs.choices.Numbers",
    "dialogs.batch_number.BatchNumber",
    "dialogs.batch_number.TagNumber",
    "parts.search.FindPart",
    "dialogs.text_field.TypedLine",
    "dialogs.pin.PinPad",
)
"""Where figures are half typed when the alarm is answered."""


def typed_on(screen: BenchScreen[Any]) -> str:
    """What is typed so far."""
    if isinstance(screen, TypedLine):
        return str(screen.query("Input").first().value)  # type: ignore[attr-defined]
    return str(getattr(screen, "typed", ""))


async def late(hands: Hands) -> None:
    """The mordant on stand 2 was on too long, just now."""
    await hands.let_pass(minutes=16)


@pytest.mark.parametrize("name", sorted({name_of(kind) for kind in every_screen()} - GIVES_WAY))
async def test_what_has_stood_for_two_seconds_is_answered_first_and_nothing_else_is_done(
    shop: Shop, clock: ManualClock, name: str
) -> None:
    put(shop, 1, 2, "Frame", "frame")
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await late(hands)
        if (screen := MADE[name](hands.app)) is not None:
            hands.app.push_screen(screen)
            await hands.settled()
        if name in TYPED:
            await hands.press("6 5")
        await hands.read_alarms()
        over, mark = hands.app.screen, shop.store.change_mark()
        rows = hands.picture().splitlines()
        assert any(
            "RINSE NOW !!! stand 2 Irons: rinse ALL NOW" in r and HINT in r for r in rows[:2]
        )
        await hands.press("enter")
        assert hands.app.alarms.known.up == ()
        assert hands.app.screen is over, "it stays as it was"
        assert typed_on(over) == ("65" if name in TYPED else "")  # type: ignore[arg-type]
        assert shop.store.change_mark() == mark, "and nothing is written"
        assert HINT not in hands.picture()


async def test_an_alarm_younger_than_two_seconds_leaves_enter_to_the_question(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, 0, "Frame")
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 5")
        await late(hands)
        assert HINT not in hands.picture(), "the band says so too"
        assert "Enter yes" in hands.picture()
        clock.hold(1.0)
        await hands.press("enter")  # 0.8 s later
        assert bench_view.read_bench(shop).on(1) is None
        assert hands.app.alarms.known.up


async def test_enter_answers_what_could_be_read_and_says_so_when_worse_came_up_just_now(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        for _ in range(4):
            await hands.let_pass(minutes=3)
            await hands.press("3")
        await hands.answer()
        await hands.let_pass(minutes=3)
        band = hands.picture().splitlines()[1]
        assert band.startswith(" RINSE NOW !!! stand 2"), band
        assert band.rstrip().endswith("Enter answers TEST stand 1"), band
        await hands.press("enter")
        assert [alarm.want.word for alarm in hands.app.alarms.known.up] == ["RINSE NOW"]


async def test_the_band_says_how_many_the_list_of_who_was_away_has(
    shop: Shop, clock: ManualClock
) -> None:
    mist(shop, 1)
    wash(shop, 2)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=42)
        await hands.let_pass(seconds=READ_S)
        assert "Enter answers 2" in hands.picture().splitlines()[1]


async def test_typing_into_a_line_is_somebody_there(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        hands.app.push_screen(TypedLine("What?"))
        await hands.settled()
        await hands.let_pass(minutes=5)
        await hands.press("a")
        assert hands.app.alarms.without_a_key().total_seconds() == 0


# -- what a key that closes something is not for --------------------------------


@pytest.mark.parametrize("key", ["enter", "1", "+", "0"])
async def test_the_key_that_closes_the_spray_card_is_not_for_the_page_below(
    shop: Shop, clock: ManualClock, key: str
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 enter +")
        assert isinstance(hands.app.screen, SprayCard)
        await hands.press(key)
        assert isinstance(hands.app.screen, StandPage)
        placed = bench_view.read_bench(shop).on(1)
        assert placed is not None
        record = placed.part.current()
        assert record is not None
        assert len(record.open_marks()) == 8, "no face is ticked"


async def test_all_faces_are_ticked_by_a_question_that_says_how_many(
    shop: Shop, clock: ManualClock
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("1 enter + 0 enter", "Tag 1: all 8 faces sprayed just now?"),
            ("0 1 enter", "Tag 1: the other 7 faces sprayed just now?"),
            ("enter",),
        )
        placed = bench_view.read_bench(shop).on(1)
        assert placed is not None
        assert placed.part.current() is not None, "an Enter too many is no yes"
        await hands.press("+")
        placed = bench_view.read_bench(shop).on(1)
        assert placed is not None
        assert placed.part.current() is not None
        assert placed.state(hands.app.now()).word in ("WET", "FLASH")

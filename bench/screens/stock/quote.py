"""A quote by keypad: lot by lot, then what all of them take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.plan.answers import WhenAnswer, when_words
from bench.process.refusals.refusal import Refusal
from bench.records.blocks import Page
from bench.records.quote_page import quote_page
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import PagedScreen
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_numbers, choose, show
from bench.screens.parts.record_pages import WrittenPage
from bench.shop.plan.asking import when_question
from bench.shop.plan.planner_process import Ended, PlannerProcess
from bench.shop.stock.quote import AskedItem, quote

if TYPE_CHECKING:
    from bench.app import Paintbench

TITLE = "A quote, before the work"


async def ask_quote(bench: Paintbench) -> None:
    """Ask for one lot after the other, then show what they take."""
    lots: list[AskedItem] = []
    while True:
        lot = await ask_lot(bench, f"{TITLE}: lot {len(lots) + 1}")
        if lot is None:
            return
        lots.append(lot)
        more = await choose(bench, TITLE, {"what it takes": False, "another lot": True})
        if more is None:
            return
        if not more:
            await show(bench, QuoteScreen(lots))
            return


async def ask_lot(bench: Paintbench, title: str) -> AskedItem | None:
    """Ask for the route, shape, pieces and area of a lot; None for back."""
    view = bench.view
    route = await choose(bench, title, [(r.name, r.key) for r in view.routes.values()])
    if route is None:
        return None
    shape = await choose(bench, title, [(s.name, s.key) for s in view.shapes.values()])
    if shape is None:
        return None
    typical = view.shapes[shape].area_m2
    empty = "not counted" if typical is None else "what is typical of its shape"
    questions = [
        NumberQuestion("how many pieces", start=1.0, whole=True),
        NumberQuestion("area of one piece", "m2", must=False, such_as=0.6, empty=empty),
    ]
    numbers = await ask_numbers(bench, title, questions)
    if numbers is None:
        return None
    return AskedItem(route, shape, numbers[1], int(numbers[0] or 0))


class QuoteScreen(WrittenPage):
    """What some lots take: paint, tins and hours, and by when where that is asked."""

    def __init__(self, lots: list[AskedItem]) -> None:
        super().__init__()
        self.lots = lots
        self.days: tuple[str, ...] = ()
        self.process: PlannerProcess | None = None

    def named(self) -> str:
        """Say what it is."""
        return TITLE

    def written(self) -> Page | Refusal:
        """The whole quote."""
        found = quote(self.bench.shop, self.lots)
        return found if isinstance(found, Refusal) else quote_page(found, self._days())

    def _days(self) -> tuple[str, ...]:
        """Say when it could be ready, once the planner's process answered."""
        for answer in self.process.come() if self.process is not None else ():
            if isinstance(answer, WhenAnswer):
                self.days = when_words(answer, self.bench.now())
            elif isinstance(answer, Ended):
                self.process = None
                self.days = (f"No day: {answer.fault}",) if answer.fault else self.days
        return ("Working it out ..",) if self.process is not None else self.days

    def ask_when(self) -> None:
        """Ask for the earliest day beside what is planned."""
        if self.process is not None:
            return
        question = self.bench.data.read(lambda: when_question(self.bench.shop, self.lots))
        if isinstance(question, Refusal):
            self.bench.tell(question)
        elif question is not None:
            self.process = PlannerProcess(question)
            self.page = 0

    def on_unmount(self) -> None:
        """End the planner with the page."""
        if self.process is not None:
            self.process.end()

    KEYS = (
        KeyWord(("1",), "1", "when?", ask_when),
        KeyWord(("9", "enter"), "9", "more", PagedScreen.turn),
        KeyWord(("-",), "-", "page before", PagedScreen.turn_back),
        KeyWord(("/",), "/", "back", PagedScreen.back),
        KeyWord(("0",), "0", "home", PagedScreen.home),
    )

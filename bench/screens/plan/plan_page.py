"""The plan, a day a page: lanes, the next things of each painter, and planning again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import ClassVar

from bench.process.ahead.attendance import Stay
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.answers import (
    RiskAnswer,
    WhenAnswer,
    WhyAnswer,
    risk_words,
    when_words,
    why_words,
)
from bench.process.plan.day_page import (
    begin_by_words,
    begun_by,
    days_of,
    first_of,
    hours_of,
    in_hand_words,
    is_over,
    next_of,
    step_words,
    who_words,
)
from bench.process.plan.drafting import Draft
from bench.process.plan.late_steps import move_words, moves
from bench.process.plan.plan_words import count_words, worth_words
from bench.process.plan.promises import Promised
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_clock
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, Method, active_keys
from bench.screens.core.pages import PageRow, chunks
from bench.screens.dialogs.days import ask_day
from bench.screens.parts.part_flows import ask_tag
from bench.screens.stock.quote import ask_lot
from bench.shop.core.transaction import no_tag
from bench.shop.plan import agreeing
from bench.shop.plan.asking import risk_question, when_question, why_question
from bench.shop.plan.planner_process import Ended, PlannerProcess, Question
from bench.shop.plan.planning import NotProven, plan_question
from bench.shop.plan.step_needs import day_lanes
from bench.widgets.lines import Line, line, wrapped
from bench.widgets.plan_lanes import lane_lines

THE_PLAN = "a plan"
"""What `*` sets the planner to; everything else is a question beside it."""

AT_LEAST = 3
"""Lines of the list below the lanes, whatever there is above."""


class PlanPage(BenchScreen[None]):
    """The agreed plan, or a draft that is not agreed yet, which is only at this terminal."""

    HELP_KEY = KeyWord(("8", "?"), "8", "help")
    SHOWS_THE_BENCH = True
    ANSWER_LINES = 2

    def __init__(self) -> None:
        super().__init__()
        self.day = self.page = self.pages = 0
        self.days: Sequence[date] = ()
        self.draft: Draft | None = None
        self.note = ""
        self.told: tuple[str, ...] = ()
        self.asked_of = ("", date.max)
        self.process: PlannerProcess | None = None
        self.busy_with = self.part = ""

    # -- what is shown ---------------------------------------------------------

    @property
    def plan(self) -> WorkPlan | None:
        """The draft where there is one, else the agreed plan."""
        return self.draft.plan if self.draft is not None else self.bench.view.plan

    def body(self, width: int, height: int) -> list[Line]:
        """The day's lanes, then as much of the list as there is room for."""
        self._take_in()
        plan, now = self.plan, self.bench.now()
        if plan is None:
            self.days, self.pages = (), 1
            rows = wrapped([*self._status(), "No plan is agreed. * makes one."], width - 2)
            return [line(" Plan", width, "head"), line("", width)] + [
                line(f" {row}", width) for row in rows
            ]
        self.days = days_of(plan, now)
        self.day = min(self.day, len(self.days) - 1)
        shown = hours_of(self.days[self.day], self.bench.view.house.hours, plan)
        above = [
            line(self._title(plan, now), width, "head"),
            *lane_lines(
                day_lanes(self.bench.view, plan, shown),
                shown,
                now,
                width,
                ascii_only=self.bench.ascii_only,
            ),
        ]
        room = max(height - len(above) - 1, AT_LEAST)
        pages = chunks(self._broken(self._rows(plan, shown, now), width), room)
        self.pages, self.page = len(pages), self.page % len(pages)
        listed = [line(f" {text}", width, style) for text, style in pages[self.page]]
        return [*above, line("", width), *listed]

    def _title(self, plan: WorkPlan, now: datetime) -> str:
        day = f"{self.days[self.day]:%a %d %b}, day {self.day + 1} of {len(self.days)}"
        kind = "NOT AGREED YET" if self.draft is not None else "agreed"
        made = format_clock(plan.made_at, now)
        page = f", page {self.page + 1} of {self.pages}" if self.pages > 1 else ""
        return f" Plan {kind}: {day} (planned {made}){page}"

    def _rows(self, plan: WorkPlan, shown: Stay, now: datetime) -> Iterator[PageRow]:
        for text in self._status():
            yield text, "bold"
        if self.part:
            yield from self._of_part(plan, now)
            return
        is_today, draft = shown[0].date() == now.date(), self.draft
        if draft is not None and is_today:
            yield from self._of_draft(draft, now)
        elif draft is None:
            if is_over(plan, now):
                yield "All of this plan is over: * plans again", "refused"
            for task in self.bench.view.late(now):
                yield task.text, "refused"
            yield from _promised(self.bench.view.promised(now))
        yield from self._next(plan, now) if is_today else self._of_day(plan, shown)
        closing = begun_by(plan, (shown[0], shown[1] + timedelta(hours=6)))
        for step in closing:
            yield begin_by_words(step, now), ""
        if self.day + 1 < len(self.days):
            after = hours_of(self.days[self.day + 1], self.bench.view.house.hours, plan)
            firsts = first_of(plan, (after[0], after[0] + timedelta(days=1)))
            for step in firsts:
                yield f"then {who_words(step, now)}", "dim"
        if draft is not None and is_today:
            yield from self._not_in(draft)

    def _of_draft(self, draft: Draft, now: datetime) -> Iterator[PageRow]:
        for words in worth_words(draft):
            yield words, "bold"
        yield from _promised(draft.promised)
        moved = moves(self.bench.view.plan, draft.plan)
        if self.bench.view.plan is not None:
            yield f"{count_words(len(moved), 'step')} moved{':' if moved else ''}", "bold"
        for each in moved:
            yield f"  {move_words(each, now)}", ""

    @staticmethod
    def _not_in(draft: Draft) -> Iterator[PageRow]:
        for left in draft.left_out:
            yield f"not planned: tag {left.tag}: {left.reason}", "dim"
        if draft.assumed:
            count = len(draft.assumed)
            yield f"{count_words(count, 'figure')} that nobody typed (?): / then set-up", "dim"

    def _of_part(self, plan: WorkPlan, now: datetime) -> Iterator[PageRow]:
        """Everything that is planned of the part that was asked for, whatever the day."""
        steps, draft = plan.of_part(self.part), self.draft
        promised = draft.promised if draft is not None else self.bench.view.promised(now)
        yield f"tag {self.part}, step by step:" if steps else f"tag {self.part}: no step", "bold"
        yield from _promised([each for each in promised if each.tag == self.part])
        yield from (
            (f"not planned: {left.reason}", "")
            for left in (draft.left_out if draft is not None else ())
            if left.tag == self.part
        )
        for step in steps:
            yield f"  {self._step_words(step, now, who_words)}", ""
            if step.closes is not None:
                yield f"    begin by {format_clock(step.closes, now)}", ""

    def _step_words(
        self, step: AgreedStep, now: datetime, words: Callable[[AgreedStep, datetime], str]
    ) -> str:
        """Say when a step begins, or until when it takes where it is in hand."""
        placed = self.bench.view.find(step.tag)
        current = placed.part.current() if placed is not None else None
        if current is None or current.status != "in hand" or current.number != step.number:
            return words(step, now)
        return in_hand_words(step, now)

    def _next(self, plan: WorkPlan, now: datetime) -> Iterator[PageRow]:
        for name in self.bench.view.painters:
            steps = next_of(plan, name, now)
            if steps:
                yield f"{name} next:", "bold"
            for step in steps:
                yield f"  {self._step_words(step, now, step_words)}", ""

    def _of_day(self, plan: WorkPlan, shown: Stay) -> Iterator[PageRow]:
        """Everything that a day to come begins, painter by painter."""
        there = [step for step in plan.steps if shown[0] <= step.starts < shown[1]]
        for name in self.bench.view.painters:
            mine = [step for step in there if name in step.painters]
            if mine:
                yield f"{name}:", "bold"
            for step in sorted(mine, key=lambda each: each.starts):
                yield f"  {step_words(step, shown[0])}", ""

    def _broken(self, rows: Iterator[PageRow], width: int) -> list[PageRow]:
        return [
            (part, style)
            for text, style in rows
            for part in wrapped([text.lstrip()], width - 2, " " * (len(text) - len(text.lstrip())))
        ]

    # -- planning --------------------------------------------------------------

    def _status(self) -> list[str]:
        is_busy = self.process is not None
        busy = f"Working out {self.busy_with}{self._best_words()} * stops it" if is_busy else ""
        return [words for words in (busy, *self.told, self.note) if words]

    def _best_words(self) -> str:
        """Say what becomes of a plan that is not worked out to its end."""
        is_there = self.busy_with == THE_PLAN and self.draft is not None
        return ". The best so far is shown." if is_there else "."

    def _take_in(self) -> None:
        """Take what the planner answered since the last picture."""
        for answer in self.process.come() if self.process is not None else ():
            if isinstance(answer, Draft):
                self.draft = answer
            elif isinstance(answer, Refusal):
                self.bench.tell(answer)
            elif isinstance(answer, NotProven):
                self.note = answer.reason
            elif words := self._answer_words(answer):
                self.told = words
            elif isinstance(answer, Ended):
                self.process = None
                if answer.fault:
                    self.note = f"{answer.fault[0].upper()}{answer.fault[1:]}{self._best_words()}"

    def plan_again(self) -> None:
        """Make a plan of the bench as it is now. While anything is worked out: stop that."""
        self.bench.said = None
        if self.process is not None:
            self._stop()
            return
        self.draft, self.day = None, 0
        self._put(THE_PLAN, lambda: plan_question(self.bench.shop))

    def _stop(self) -> None:
        """End what is worked out, and say what that was."""
        if self.process is not None:
            self._take_in()
        if self.process is not None:
            self.process.end()
            self.process = None
            self.note = f"Stopped working out {self.busy_with}{self._best_words()}"

    def agree(self) -> None:
        """Make the draft the plan of the bench; it is then no longer made better."""
        self._stop()
        if (
            self.draft is not None
            and self.draft.plan.steps
            and self.tell(self.bench.do(agreeing.agree, self.bench.painter, self.draft.plan))
        ):
            self.draft, self.told = None, ()
            if self.busy_with == THE_PLAN:
                self.note = ""

    def on_unmount(self) -> None:
        """End the planner with the page."""
        if self.process is not None:
            self.process.end()

    # -- asking ----------------------------------------------------------------

    async def ask_when(self) -> None:
        """Ask when a new part could be ready."""
        lot = await ask_lot(self.bench, "When can it be ready?")
        if lot is not None:
            name = self.bench.view.shapes[lot.shape].name
            about = f"when {lot.count} x {name} can be ready"
            self._put(about, lambda: when_question(self.bench.shop, [lot]))

    async def ask_why(self) -> None:
        """Ask why a part cannot be ready by a day."""
        tag = await ask_tag(self.bench, "Why can it not be ready by a day? Type its tag")
        day = await ask_day(self.bench, f"Tag {tag}: by which day?") if tag else None
        if tag and day:
            self.asked_of = tag, day
            about = f"why tag {tag} cannot be ready by {day:%a %d %b}"
            self._put(about, lambda: why_question(self.bench.shop, tag, day))

    def ask_risk(self) -> None:
        """Ask how likely windows are missed by the plan that is shown."""
        self._put("the risk", lambda: risk_question(self.bench.shop, self.plan))

    def _put(self, what: str, read: Callable[[], Question | Refusal]) -> None:
        """Put a question to the planner. what: is worked out. What it was busy with is stopped."""
        self.note, self.page = "", 0
        self._stop()
        if what == THE_PLAN:
            self.told = ()
        question = self.bench.data.read(read)
        if isinstance(question, Refusal):
            self.bench.tell(question)
        elif question is not None:
            self.process, self.busy_with = PlannerProcess(question), what

    def _answer_words(self, answer: object) -> tuple[str, ...]:
        """Say what was answered to a question besides a plan."""
        if isinstance(answer, WhenAnswer):
            about = f"{self.busy_with[0].upper()}{self.busy_with[1:]}:"
            return about, *when_words(answer, self.bench.now())
        if isinstance(answer, WhyAnswer):
            return tuple(why_words(answer, *self.asked_of))
        return tuple(risk_words(answer)) if isinstance(answer, RiskAnswer) else ()

    # -- turning ---------------------------------------------------------------

    def turn_day(self, pressed: str) -> None:
        """Show the day before, 4, or after, 6: its list, and no answer any more."""
        last = max(len(self.days) - 1, 0)
        self.day, self.page = min(max(self.day + (-1 if pressed == "4" else 1), 0), last), 0
        self.part, self.told = "", ()

    async def choose_part(self) -> None:
        """Show what is planned of one part; pressed again, the day."""
        tag = "" if self.part else await ask_tag(self.bench, "What is planned of which tag?")
        if tag and self.bench.view.find(tag) is None:
            self.bench.tell(no_tag(tag))
        else:
            self.part, self.page = tag or "", 0

    def more(self) -> None:
        """Show the rest of the list."""
        self.page += 1

    def keys_now(self) -> Sequence[KeyWord]:
        """Those that do something just now."""
        idle: set[Method] = set()
        if self.draft is None or not self.draft.plan.steps:
            idle.add(PlanPage.agree)
        if self.plan is None or not self.plan.steps:
            idle |= {PlanPage.ask_risk, PlanPage.choose_part}
        if self.pages < 2:
            idle.add(PlanPage.more)
        if len(self.days) < 2:
            idle.add(PlanPage.turn_day)
        words: dict[Method, str] = {}
        if self.process is not None:
            words[PlanPage.plan_again] = "stop"
        if self.part:
            words[PlanPage.choose_part] = "all"
        return [
            replace(key, word=words.get(key.do, key.word)) if key.do is not None else key
            for key in active_keys(self.KEYS, idle)
        ]

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("4", "6"), "4 6", "days", each=turn_day),
        KeyWord(("+",), "+", "agree", agree),
        KeyWord(("*",), "*", "plan", plan_again),
        KeyWord(("9",), "9", "more", more),
        KeyWord(("5",), "5", "part", choose_part),
        KeyWord(("1",), "1", "when?", ask_when),
        KeyWord((".",), ".", "why?", ask_why),
        KeyWord(("7",), "7", "risk", ask_risk),
        KeyWord(("0", "/"), "0", "back", BenchScreen.back),
    )


def _promised(promised: Sequence[Promised]) -> Iterator[PageRow]:
    for each in promised:
        yield each.words, "refused" if each.days < 0 else ""

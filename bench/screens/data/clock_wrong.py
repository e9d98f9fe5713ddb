"""CLOCK WRONG: the one question before anything else, and the same question when a painter asks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.choices import date_questions
from bench.screens.dialogs.pin import do_signed
from bench.screens.dialogs.questions import ask_whole, choose_text, is_sure
from bench.shop.clock import timekeeping
from bench.shop.clock.clock_fault import SET_REASONS
from bench.shop.clock.timekeeping import instant_typed, set_clock
from bench.shop.core.transaction import Outcome
from bench.widgets.lines import Line, line, text_lines, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

BIG = (
    " ####  #      ####   ####  #   #    #   #  ####   ####  #   #  #### ",
    "#      #     #    # #      #  #     #   #  #   # #    # ##  # #     ",
    "#      #     #    # #      ###      # # #  ####  #    # # # # #  ## ",
    "#      #     #    # #      #  #     ## ##  #  #  #    # #  ## #   # ",
    " ####  #####  ####   ####  #   #    #   #  #   #  ####  #   #  #### ",
)
"""To be read from the doorway, in plain ASCII."""


class ClockWrong(BenchScreen[None]):
    """Is it this hour on this day? Yes, another time, or later.

    While the clock is wrong it closes by itself when the clock comes right, by the network or by an
    answer at the other terminal.
    """

    BARS_SCANS = True

    def __init__(self) -> None:
        super().__init__()
        self._wrong: bool | None = None

    @property
    def proposed(self) -> datetime | None:
        """The hour that is asked about, None when there is none to go by."""
        state, clock = self.bench.view.clock, self.bench.shop.clock
        if state.nothing_known:
            return None
        return self.bench.view.local((state.proposed or state.started) + clock.up())

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to say yes to where no hour can be proposed."""
        return self.KEYS if self.proposed else self.KEYS[1:]

    def redraw(self) -> None:
        """Over as soon as the clock is right again."""
        if self._wrong is None:
            self._wrong = self.bench.view.doubtful
        if self._wrong and not self.bench.view.doubtful and self.on_top and not self.asking:
            self.dismiss(None)
            return
        super().redraw()

    def body(self, width: int, height: int) -> list[Line]:
        """What the clock says and why it is not believed, and the question."""
        view = self.bench.view
        lines = self._title(width, height)
        lines += [*text_lines(self._clock_notes(), width), line("", width)]
        hour = self.proposed
        question = f"Is it {day_words(hour)}?" if hour else "What time is it?"
        lines += [line(f"   {question}", width, "bold"), line("", width)]
        if hour:
            lines.append(line("   Enter   yes", width, "bold"))
        lines += [
            line("   1       type the day and the hour", width, "bold"),
            line("   0       later", width, "bold"),
        ]
        if view.doubtful:
            later = (
                "Until you answer, times are minimums (>) or maximums (<). What you do "
                "meanwhile is marked in the log. Once you answer, running clocks show the time "
                "since they really began; what was logged since the start moves to its true hour."
            )
            lines += [line("", width), *text_lines([later], width)]
        return lines

    def _title(self, width: int, height: int) -> list[Line]:
        if not self.bench.view.doubtful:
            return title_lines("The clock", width)
        if width < len(BIG[0]) + 2 or height < 20:
            return [line(" CLOCK WRONG", width, "ruined"), line("", width)]
        rows = ("", *BIG, "")
        return [*(line(f"  {row}", width, "ruined") for row in rows), line("", width)]

    def _clock_notes(self) -> list[str]:
        view, clock = self.bench.view, self.bench.shop.clock
        says = view.local(view.clock.by_computer + clock.up())
        notes = [f"The computer's clock says {day_words(says)}."]
        if view.clock.why:
            notes.append(f"Clock rejected: {view.clock.why}.")
        if not view.clock.nothing_known:
            least = "at least " if view.doubtful else ""
            notes.append(f"The bench goes by {least}{day_words(self.bench.now())}.")
        return notes

    # -- keys ------------------------------------------------------------------

    async def yes(self) -> None:
        """Set the shop's time to the hour that is proposed."""
        if (hour := self.proposed) is not None:
            await self._set(hour)

    async def another(self) -> None:
        """Ask for the day and hour, and set them."""
        start = self.proposed or self.bench.now()
        questions = date_questions(start, "day", "month", "year", "hour", "minute")
        notes = ["The computer's own clock is left as it is."]
        numbers = await ask_whole(self.bench, "What time is it?", questions, notes)
        if numbers is None:
            return
        day, month, year, hour, minute = numbers
        zone, least = self.bench.view.house.hours.zone, self.bench.now()
        at = instant_typed(day, month, year, hour, minute, zone, least)
        if isinstance(at, Refusal):
            self.tell(at)
            return
        title = f"{day_words(self.bench.view.local(at))}?"
        if await is_sure(self.bench, title, self._meaning(at)):
            await self._set(at)

    def _meaning(self, at: datetime) -> list[str]:
        """What it does to the clocks; the day of the week in the title tells a wrong figure."""
        since = self.bench.view.clock.since
        notes = ["The shop goes by this time until the computer's clock is set right."]
        if since is not None and at < since:
            written = day_words(self.bench.view.local(since))
            notes.append(f"It is before {written}, when the last line was written: that clock was")
            notes.append("wrong too, and all running clocks are put back with it.")
        return notes

    async def _set(self, at: datetime) -> None:
        """Nothing to set when the clock came right while the painter typed.

        A clock that is believed is set with a reason, signed where the painter has a PIN.
        """
        if self._wrong and not self.bench.view.doubtful:
            self.tell(Outcome("the clock has come right by itself"))
            self.redraw()
            return
        by, answer = self.bench.painter, None
        if self.bench.view.doubtful:
            answer = self.bench.do(set_clock, by, at)
        else:
            notes = ["The computer's clock is believed. The reason stays in the log."]
            reason = await choose_text(self.bench, "Why set the clock?", SET_REASONS, notes)
            if reason is not None:
                answer = await do_signed(self.bench, set_clock, by, at, reason=reason)
        if isinstance(answer, Outcome):
            self.dismiss(None)

    KEYS = (
        KeyWord(("enter",), "Enter", "yes", yes),
        KeyWord(("1",), "1", "another time", another),
        KeyWord(("0", "escape"), "0", "later", BenchScreen.back),
    )


class ClockWatch:
    """Writes down a clock that was set, and asks once about one that cannot be right."""

    def __init__(self, bench: Paintbench) -> None:
        self._bench = bench
        self._asked = False

    def begin(self, go_on: Callable[[], None]) -> None:
        """Start the shop's time, and go on once it was asked for where it cannot be right."""
        bench, text = self._bench, timekeeping.start_clock(self._bench.shop)
        if timekeeping.state_in_use(bench.shop).doubtful:
            self._asked = True
            bench.push_screen(ClockWrong(), lambda _: go_on())
        else:
            bench.said = Outcome(text) if text else None
            go_on()

    def tick(self) -> None:
        """Once a second: look whether it was set, and ask as soon as no key is being pressed."""
        bench = self._bench
        if timekeeping.was_stepped(bench.shop):
            text = timekeeping.move_running_clocks(bench.shop)
            bench.look_again()
            bench.said = Outcome(text) if text else bench.said
        if not bench.has_view or not bench.view.doubtful:
            self._asked = False
        elif not self._asked and bench.at_home:
            self._asked = True
            bench.push_screen(ClockWrong())

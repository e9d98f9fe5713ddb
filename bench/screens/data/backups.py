"""The copies of the data: where they are, how old the newest is, and one more now."""

from __future__ import annotations

import queue

from bench.process.refusals.refusal import Refusal
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_numbers, ask_text
from bench.shop.core.transaction import Outcome
from bench.shop.data.backups import back_up
from bench.shop.settings.setting_list import BY_KEY
from bench.shop.settings.settings_change import set_settings
from bench.widgets.lines import Line, line, text_lines, title_lines, wrapped

RULE = (
    "One is made every hour that somebody works, and one on every other day. All of the last day "
    "stay, of the last month the last of each day, and the last of each month for good, as long as "
    "there is room: past it the oldest go first.",
    "To put one back: paintbench backups, on the command line, says how.",
)


class BackupsPage(BenchScreen[None]):
    """Both places, and the rule."""

    ANSWER_LINES = 4

    def __init__(self) -> None:
        super().__init__()
        self._answers: queue.SimpleQueue[Outcome | Refusal] = queue.SimpleQueue()

    def redraw(self) -> None:
        """Take in how a backup went: a slow stick holds up no key."""
        while not self._answers.empty():
            self.tell(self._answers.get())
        super().redraw()

    def body(self, width: int, height: int) -> list[Line]:
        """Where, how they stand, and which stay."""
        lines = title_lines("Backups", width)
        places = self.bench.data.keeping.places(self.bench.shop.clock.now())
        for name, (folder, text, room) in zip(
            ("beside the data", "second place"), places, strict=False
        ):
            lines.append(line(f"   {name}: {text}", width, "bold"))
            where = [folder, room] if room else [folder]
            lines += [line(f"     {row}", width) for row in wrapped(where, width - 8)]
            lines.append(line("", width))
        if not places:
            lines += [line("   beside the data: not looked at yet", width, "bold"), line("", width)]
        if self.bench.view.house.second_place is None:
            text = "no second place; a USB stick keeps them when this computer is gone"
            lines += [line(f"   {text}", width, "bold"), line("", width)]
        return lines + text_lines(RULE, width, "dim")

    def back_up(self) -> None:
        """Write one more backup now."""
        shop, second = self.bench.shop, self.bench.view.house.second_place
        self.tell(Outcome("a backup is being made ..."))
        self.bench.data.in_background(lambda: self._answers.put(back_up(shop, "", second)))

    async def another(self) -> None:
        """A folder typed on a keyboard; nothing typed: none."""
        second = self.bench.view.house.second_place
        notes = ["A folder of this shop's own on another disk, as /media/stick. Nothing: none."]
        old = second.path if second else ""
        typed = await ask_text(self.bench, "Second place for backups", old, notes)
        if typed is not None:
            self.bench.do(set_settings, self.bench.painter, backup_to=typed.strip())

    async def room(self) -> None:
        """How many MB the backups in each place may take."""
        setting, now = BY_KEY["backup_mb"], self.bench.view.house.stored["backup_mb"]
        questions = [NumberQuestion(setting.asks, setting.unit, start=now)]
        numbers = await ask_numbers(self.bench, "Room for backups", questions, setting.notes)
        if numbers is not None:
            self.bench.do(set_settings, self.bench.painter, backup_mb=numbers[0])

    KEYS = (
        KeyWord(("1",), "1", "back up now", back_up),
        KeyWord(("2",), "2", "another second place", another),
        KeyWord(("3",), "3", "room for them", room),
        KeyWord(("0", "/", "enter"), "0", "back", BenchScreen.back),
    )

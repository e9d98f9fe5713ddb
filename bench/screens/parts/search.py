"""Finding a part among all that ever stood here, by keypad figures or by letters."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.refusals.refusal import Refusal
from bench.records.record_text import hour
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, active_keys
from bench.screens.core.pages import ON_A_PAGE, LongList
from bench.screens.dialogs.number_input import LETTERS
from bench.screens.dialogs.questions import show
from bench.screens.parts.record_pages import RecordPage
from bench.shop.queries.search import FoundPart, SearchPage, find_parts
from bench.widgets.lines import Line, ends, line, text_lines, title_lines

MOST_TYPED = 60


class FindPart(BenchScreen[None]):
    """Type what is known of it: tag, job, owner, name, or a day."""

    FROM_A_KEYBOARD = LETTERS

    def __init__(self) -> None:
        super().__init__()
        self.typed = ""
        self.answer_text = ""

    def body(self, width: int, height: int) -> list[Line]:
        """What is typed so far, and what may be."""
        lines = title_lines("Find a part, on the bench or long gone", width)
        lines += [line(f"   looking for   {self.typed}_", width, "bold"), line("", width)]
        lines += text_lines([self.answer_text], width, "bold")
        notes = [
            "Figures or letters of its tag, job, owner or name; more words make it narrower.",
            "A day or a month as 12.5.2019, 5.2019 or 2019: work was begun on it then.",
            "Enter alone shows all, the newest first.",
        ]
        return [*lines, line("", width), *text_lines(notes, width, "dim")]

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to rub out of an empty line."""
        return active_keys(self.KEYS, () if self.typed else (FindPart.rub_out,))

    def press(self, pressed: str) -> None:
        """Any letter of any keyboard is typed."""
        self.bench.said = None
        if len(pressed) == 1 and pressed.isprintable() and pressed not in "*?-/":
            self.write(pressed)
        else:
            super().press(pressed)

    def write(self, sign: str) -> None:
        """Add a figure or a letter."""
        if len(self.typed) < MOST_TYPED and (self.typed or sign != " "):
            self.typed += sign
        self.answer_text = ""

    def rub_out(self) -> None:
        """Take the last sign away."""
        self.typed, self.answer_text = self.typed[:-1], ""

    def find(self) -> None:
        """Its sheet where only one fits, else a list of those that do."""
        matches = find_parts(self.bench.shop, self.typed, most=ON_A_PAGE)
        if isinstance(matches, Refusal):
            self.answer_text = str(matches)
        elif not matches.total:
            self.answer_text = f"nothing fits {self.typed}: fewer words, or part of one"
        elif matches.total == 1:
            self.open(RecordPage(matches.parts[0].tag))
        else:
            self.open(FoundParts(self.typed, matches))

    KEYS = (
        KeyWord(tuple("0123456789."), "0-9 .", "type", each=write),
        KeyWord(LETTERS, "a-z", "", each=write),
        KeyWord(("-", "backspace"), "-", "rub out", rub_out),
        KeyWord(("enter",), "Enter", "find", find),
        KeyWord(("/",), "/", "back", BenchScreen.back),
    )


class FoundParts(LongList):
    """Those that fit, eight to a page, two rows each."""

    def __init__(self, words: str, matches: SearchPage) -> None:
        super().__init__()
        self.words, self.matches = words, matches

    def body(self, width: int, height: int) -> list[Line]:
        """Tag, name and where it is; job, owner and when."""
        shown = self.matches.parts[: max(min((height - 2) // 2, ON_A_PAGE), 1)]
        skip = self.starts[self.page] or 0
        last, total = skip + len(shown), self.matches.total
        self.goes_on(last if last < total else None, after=len(shown))
        where = f"{skip + 1} to {last} of {total} "
        title = f" Parts that fit {self.words}" if self.words else " All parts, the newest first"
        lines = [line(ends(title, where, width), width, "head"), line("", width)]
        for digit, part in enumerate(shown, start=1):
            many = f" x{part.count}" if part.count > 1 else ""
            text = f" {digit}  tag {part.tag}  {part.name}{many}"
            lines.append(line(ends(text, f"{_place(part)} ", width), width, "bold"))
            whose = ", ".join(text for text in (part.job, part.owner) if text)
            lines.append(line(ends(f"    {whose}", f"{_when(part)} ", width), width, "dim"))
        return lines

    async def picked(self, place: int) -> None:
        """The sheet of the one beside the digit."""
        await show(self.bench, RecordPage(self.matches.parts[place].tag))
        self.turn_to(self.page)

    def turn_to(self, page: int) -> None:
        """Read the parts of that page; where there are none any more it stays as it was."""
        skip = self.starts[page] or 0
        matches = find_parts(self.bench.shop, self.words, most=ON_A_PAGE, skip=skip)
        if isinstance(matches, SearchPage) and matches.parts:
            self.page, self.matches = page, matches

    KEYS = (
        KeyWord(tuple("12345678"), "1-8", "its sheet", each=LongList.pick),
        KeyWord(("9", "enter"), "9", "more", LongList.turn),
        KeyWord(("-",), "-", "page before", LongList.turn_back),
        KeyWord(("0", "/"), "0", "back", LongList.back),
    )


def _place(part: FoundPart) -> str:
    if part.stand is not None:
        return f"stand {part.stand}"
    return f"left {hour(part.left_at)[:10]}".strip() if part.away else "no stand"


def _when(part: FoundPart) -> str:
    first, last = hour(part.begun_at)[:10], hour(part.ended_at)[:10]
    return f"{first} to {last}" if last and last != first else first

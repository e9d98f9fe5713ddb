"""A part's whole sheet, page by page: what is on it, who, when, with what; nothing is cut."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from bench.process.refusals.refusal import Refusal
from bench.records.as_text import lines as text_lines
from bench.records.blocks import Page
from bench.records.forms import write_all
from bench.records.job_record import sheet_page
from bench.screens.core.keys import KeyWord, Method
from bench.screens.core.pages import PagedScreen
from bench.screens.dialogs.questions import is_sure, show
from bench.screens.parts.corrections import correct_one_of
from bench.screens.parts.log import JournalPage
from bench.screens.parts.part_flows import move
from bench.settings import sheets_folder
from bench.shop.core.transaction import Outcome
from bench.shop.corrections.fact_table import part_menu
from bench.shop.data.opening import data_file
from bench.shop.data.output_files import ProtectedFiles
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.widgets.lines import Line, ends, line

HEAD_ROWS = 4
"""A heading with the head of its table and a first row is not left alone at the foot of a page."""


Writer = Callable[[Path, ProtectedFiles], tuple[Path, ...] | Refusal]
"""Writes files into a folder, over nothing that is protected."""


class WrittenPage(PagedScreen[None]):
    """A page for people on the screen, as it would be printed."""

    ROUND = False
    ANSWER_UNTIL_A_KEY = True

    def __init__(self) -> None:
        super().__init__()
        self._pages_of: tuple[object, int, int] | None = None
        self._laid_out: list[list[str]] = []

    def source(self) -> object:
        """Give what it is written of; it is written again only from another object."""
        return object()

    def written(self) -> Page | Refusal:
        """Give the page to read, its own title first."""
        raise NotImplementedError

    def _rows(self, width: int) -> list[str]:
        page = self.written()
        if isinstance(page, Refusal):
            return [str(page)]
        return list(text_lines(page, width))[2:]

    def _pages(self, width: int, height: int) -> list[list[str]]:
        """The pages as they were laid out last, if it would come to the same."""
        source = self.source()
        last = self._pages_of
        if last is None or last[0] is not source or last[1:] != (width, height):
            self._pages_of = source, width, height
            self._laid_out = self._lay_out(width, height)
        return self._laid_out

    def _lay_out(self, width: int, height: int) -> list[list[str]]:
        """Full pages; a heading at the foot of one goes to the head of the next."""
        rows, room = self._rows(width - 2), max(height - 1, 2)
        pages: list[list[str]] = []
        while rows:
            end = room if len(rows) > room else len(rows)
            heads = [n for n in range(max(end - HEAD_ROWS, 1), end) if rows[n].isupper()]
            if len(rows) > room and heads:
                end = heads[0]
            pages.append(rows[:end])
            rows = rows[end:]
            while rows and not rows[0]:
                rows = rows[1:]
        return pages or [[]]

    def named(self) -> str:
        """Say whose page it is."""
        raise NotImplementedError

    def body(self, width: int, height: int) -> list[Line]:
        """Show one page of it."""
        rows = self.page_of(self._pages(width, height))
        title = ends(f" {self.named()}", f"{self.page_words()} ", width)
        shown = [line(f" {row}", width, "bold" if row.isupper() else "") for row in rows]
        return [line(title, width, "head"), *shown]

    def write_files(self, write: Writer) -> None:
        """Ask first, then write every form of it into the folder beside the data, and say where."""
        self.ask(self._write_if_sure(write))

    async def _write_if_sure(self, write: Writer) -> None:
        data = data_file(self.bench.shop)
        protected = ProtectedFiles(data, self.bench.view.house.second_place)
        folder = sheets_folder(data, os.environ)
        notes = [
            f"Its page, table, label, calendar and the like, in {folder}. Older files of its name "
            "there are replaced."
        ]
        if not await is_sure(self.bench, "Write its files?", notes):
            return
        written = write(folder, protected)
        if isinstance(written, Refusal):
            self.tell(written)
        else:
            self.tell(Outcome(f"{len(written)} files {written[0].name} .. written into {folder}"))


class RecordPage(WrittenPage):
    """One part, wherever it is and however long it has been gone."""

    def __init__(self, tag: str) -> None:
        super().__init__()
        self.tag = tag
        self._sheet: Sheet | Refusal | None = None

    @property
    def sheet(self) -> Sheet | Refusal:
        """As it was when the page was opened, or something was corrected here."""
        if self._sheet is None:
            self._sheet = sheet_of(self.bench.shop, self.tag)
        return self._sheet

    def named(self) -> str:
        """Name the part."""
        return f"The sheet of tag {self.tag}"

    def source(self) -> Sheet | Refusal:
        """Its sheet."""
        return self.sheet

    def written(self) -> Page | Refusal:
        """Its whole record."""
        sheet = self.sheet
        return sheet if isinstance(sheet, Refusal) else sheet_page(sheet)

    def idle(self) -> set[Method]:
        """Files only where somebody can fetch them; a part that is here is not put back."""
        idle = super().idle()
        if not (isinstance(self.sheet, Sheet) and self.sheet.can_come_back):
            idle.add(RecordPage.put_back)
        if self.bench.kiosk:
            idle.add(RecordPage.write)
        return idle

    async def journal(self) -> None:
        """Its log entries, to look at one or undo it."""
        await show(self.bench, JournalPage(self.tag))
        self._sheet = None

    async def correct(self) -> None:
        """Correct what is wrong on it."""
        if isinstance(self.sheet, Sheet):
            facts = part_menu(self.bench.shop, self.bench.view, self.sheet)
            self.tag = await correct_one_of(self.bench, facts, self.sheet.part.tag)
            self._sheet = None

    async def put_back(self) -> None:
        """On a stand again, with its route and its record."""
        if isinstance(self.sheet, Sheet) and self.sheet.can_come_back:
            await move(self.bench, self.sheet.part)
            self._sheet = None

    def write(self) -> None:
        """Every form of it into the folder beside the data."""
        sheet = self.sheet
        if self.bench.kiosk or isinstance(sheet, Refusal):
            return
        paper = self.bench.view.house.paper
        self.write_files(lambda folder, protected: write_all(folder, sheet, protected, paper))

    KEYS = (
        KeyWord(("1",), "1", "correct", correct),
        KeyWord(("2",), "2", "its files", write),
        KeyWord(("3",), "3", "its log", journal),
        KeyWord(("4",), "4", "put back", put_back),
        KeyWord(("9", "enter"), "9", "more", PagedScreen.turn),
        KeyWord(("-",), "-", "page before", PagedScreen.turn_back),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )

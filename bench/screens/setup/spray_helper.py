"""The spray helper: set-up of every tool, the order of faces, and what is seen -> the next pass."""

from __future__ import annotations

from bench.process.parts.spray_guidance import ORDER, SYMPTOM_PASSES, tool_lines
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import PagedScreen
from bench.widgets.lines import Line, line, title_lines, wrapped

CAUTION = "Starting points: the gun's card and the data sheet decide."


class SprayHelper(PagedScreen[None]):
    """Three subjects, each in as many pages as it needs; Enter turns them."""

    def body(self, width: int, height: int) -> list[Line]:
        """Show one page."""
        title, rows = self.page_of(self._pages(width, height - 2))
        lines = title_lines(self.numbered(title), width)
        return lines + [
            line(f" {row}", width, "" if row.startswith(" ") else "bold") for row in rows
        ]

    def foot(self, width: int) -> list[Line]:
        """Say on every page what decides."""
        return [line(f" {CAUTION}", width, "dim"), *super().foot(width)]

    def _pages(self, width: int, most: int) -> list[tuple[str, list[str]]]:
        """Every page that there is, as large as the screen allows; a subject starts a new one."""
        view = self.bench.view
        tools = [tool_lines(tool, view.house.units) for tool in view.tools.values()]
        faces = [(f"{shape.name}: {' '.join(shape.faces)}",) for shape in view.shapes.values()]
        subjects = [
            ("Set-up by tool", tools),
            ("Order of faces", [ORDER, *faces]),
            ("Seen on the part: the next pass", SYMPTOM_PASSES),
        ]
        pages: list[tuple[str, list[str]]] = []
        for title, blocks in subjects:
            rows: list[str] = []
            for first, *more in blocks:
                block = [*wrapped([first], width - 2), *wrapped(more, width - 4, "  ")]
                if len(rows) + len(block) > most:
                    pages.append((title, rows))
                    rows = []
                rows += block
            pages.append((title, rows))
        return pages

    KEYS = (
        KeyWord(("enter", "9"), "Enter", "next page", PagedScreen.turn),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )

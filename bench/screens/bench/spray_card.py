"""The moment the trigger is pulled: distance, wet film and the order of faces, big. Then gone."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.parts.film_thickness import FilmAhead, film_ahead
from bench.process.parts.part import Part
from bench.process.parts.spray_guidance import dry_words, next_faces
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool
from bench.process.wording.display_units import convert_figures, format_figures, shop_unit
from bench.screens.bench.cautions import step_rows
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.widgets.digits import big
from bench.widgets.lines import Line, fit, line, text_lines
from bench.widgets.status_lines import header, task_lines

SHOWN_S = 30.0
"""Nobody reads once the trigger is pulled: it goes by itself."""


class SprayCard(BenchScreen[None]):
    """Three numbers for the gun hand. Any key takes it away, and does no more."""

    ANSWER_LINES = 0

    def __init__(self, part: Part, product: Product, tool: SprayTool, notes: Sequence[str]) -> None:
        super().__init__()
        self.part, self.product, self.tool, self.notes = part, product, tool, list(notes)
        self._since_s: float | None = None

    def body(self, width: int, height: int) -> list[Line]:
        """Room and alarms stay in sight; then what, the numbers, what could hurt, faces, notes."""
        bench, now = self.bench, self.bench.now()
        view = bench.view
        lines = [
            header(now, view.room(now), bench.painter, bench.demo_mark, width),
            *task_lines(view.wants(now), 2, width),
        ]
        record = self.part.current()
        name = record.step.name if record else ""
        lines.append(line(f" tag {self.part.tag} {self.part.name}: {name}", width, "head"))
        lines += self._one_above_another(width) if height >= 29 else self._side_by_side(width)
        hurts = step_rows(bench, self.part, record, width - 2)
        lines += [line(f" {text}", width, style) for text, style in hurts]
        if record is not None and record.marks:
            lines.append(line(f" faces in order: {next_faces(record)}", width, "bold"))
        return lines + text_lines(self.notes, width, indent=1)

    def _one_above_another(self, width: int) -> list[Line]:
        """Five rows a number, its words beside it."""
        lines = []
        for number, text in self._numbers():
            for y, row in enumerate(big(number, 5, 52, ascii_only=self.bench.ascii_only)):
                lines.append(line(f"  {row} {text if y == 2 else ''}", width, "bold"))
        return lines

    def _side_by_side(self, width: int) -> list[Line]:
        """Three rows for all numbers, the words of each below it: the cautions need the room."""
        numbers = self._numbers()
        wide = (width - 2) // max(len(numbers), 1)
        drawn = [big(number, 3, wide, ascii_only=self.bench.ascii_only) for number, _ in numbers]
        below = "".join(fit(text, wide) for _, text in numbers)
        rows = ["".join(fit(row, wide) for row in each) for each in zip(*drawn, strict=True)]
        return [line(f"  {row}", width, "bold") for row in (*rows, below)]

    def _numbers(self) -> list[tuple[str, str]]:
        """What is drawn big, each with its words."""
        mark = self.product.doubt
        units = self.bench.view.house.units
        numbers = []
        if self.tool.distance_cm is not None:
            near, far = self.tool.distance_cm
            off = convert_figures(f"{near:g}-{far:g}", "cm", units)
            numbers.append((off, f"{shop_unit('cm', units)} off, {self.tool.name}"))
        record = self.part.current()
        film = film_ahead(self.part, record, self.product, units) if record else FilmAhead("")
        if film.wet_um:
            wet = format_figures(film.wet_um, "um", units, ".0f")
            mist = ", with its mist" if record is not None and record.step.continues else ""
            words = f"{dry_words(film.dry_um, self.product, units)}{mist}"
            numbers.append((f"{wet}{mark}", words))
        elif film.words:
            numbers.append(("", film.words))
        return numbers

    def redraw(self) -> None:
        """Draw it, or go when it has been there long enough."""
        at = self.bench.shop.clock.monotonic()
        self._since_s = at if self._since_s is None else self._since_s
        if at - self._since_s >= SHOWN_S and self.on_top:
            self.dismiss(None)
        else:
            super().redraw()

    def press(self, pressed: str) -> None:
        """Close, unless it is the key for help."""
        if pressed in (*self.HELP_KEY.caps, "escape"):
            super().press(pressed)
        else:
            self.back()

    KEYS = (KeyWord(("0",), "any key", "takes it away", BenchScreen.back),)

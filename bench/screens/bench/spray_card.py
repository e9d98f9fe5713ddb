"""The moment the trigger is pulled: distance and wet film, big; what could hurt; the faces."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bench.process.parts.film_thickness import FilmAhead, film_ahead
from bench.process.parts.part import Part
from bench.process.parts.spray_guidance import dry_words, next_faces
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool
from bench.process.wording.display_units import convert_figures, format_figures, shop_unit
from bench.screens.bench.cautions import step_rows
from bench.screens.bench.step_details import step_notes
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.widgets.digits import TALL, TALL_FROM, big
from bench.widgets.lines import Line, fit, line, text_lines
from bench.widgets.status_lines import header, task_lines

SHOWN_S = 120.0
"""Time to read all of it slowly; it says when it goes."""


class SprayCard(BenchScreen[None]):
    """Three numbers for the gun hand. Any key takes it away, and does no more."""

    def __init__(self, part: Part, product: Product, tool: SprayTool, notes: Sequence[str]) -> None:
        super().__init__()
        self.part, self.product, self.tool, self.notes = part, product, tool, list(notes)
        self._since_s: float | None = None

    def body(self, width: int, height: int) -> list[Line]:
        """Room and alarms stay in sight; then what, the numbers, what could hurt, faces, notes.

        A large terminal has room for how the step is done as well.
        """
        bench, now = self.bench, self.bench.now()
        view, record = bench.view, self.part.current()
        wants = view.wants(now)
        roomy = height >= TALL_FROM
        between = [line("", width)] * roomy
        name = record.step.name if record else ""
        lines = [
            header(now, view.room(now), bench.painter, bench.demo_mark, width),
            *task_lines(wants, 2 if wants else 1, width),
            line(f" tag {self.part.tag} {self.part.name}: {name}", width, "head"),
            *between,
            *self._drawn(width, TALL if roomy else 3),
            *between,
        ]
        hurts = step_rows(bench, self.part, record, width - 2)
        lines += [line(f" {text}", width, style) for text, style in hurts] + between
        if record is not None and record.marks:
            lines.append(line(f" faces in order: {next_faces(record)}", width, "bold"))
        lines += text_lines(self.notes, width, indent=1)
        return lines + self._how(width, height - len(lines)) if roomy else lines

    def _how(self, width: int, room: int) -> list[Line]:
        """How the step is done, as far as whole sayings have room."""
        placed = self.bench.view.find(self.part.tag)
        record = placed.part.current() if placed else None
        lines: list[Line] = []
        if placed is not None and record is not None:
            for bullet, text in step_notes(self.bench, placed, record):
                said = text_lines([text], width, indent=1, bullet=bullet)
                lines += said if len(lines) + len(said) < room else []
        return [line("", width), *lines]

    def _drawn(self, width: int, rows: int) -> list[Line]:
        """The numbers side by side, the words of each below it."""
        numbers = self._numbers()
        wide = (width - 2) // max(len(numbers), 1)
        drawn = [big(number, rows, wide, ascii_only=self.bench.ascii_only) for number, _ in numbers]
        below = "".join(fit(text, wide) for _, text in numbers)
        lines = ["".join(each) for each in zip(*drawn, strict=True)]
        return [line(f"  {text}", width, "bold") for text in (*lines, below)]

    def _numbers(self) -> list[tuple[str, str]]:
        """What is drawn big, each with its words."""
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
            numbers.append((f"{wet}{self.product.doubt_of('film', 'volume_solids_pct')}", words))
        elif film.words:
            numbers.append(("", film.words))
        return numbers

    def foot(self, width: int) -> list[Line]:
        """When it goes by itself."""
        return [line(f" goes by itself in {math.ceil(self._left_s())} s", width, "dim")]

    def _left_s(self) -> float:
        at_s = self.bench.shop.clock.monotonic()
        self._since_s = at_s if self._since_s is None else self._since_s
        return max(SHOWN_S - (at_s - self._since_s), 0.0)

    def redraw(self) -> None:
        """Draw it, or go when it has been there long enough."""
        if self._left_s() == 0 and self.on_top:
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

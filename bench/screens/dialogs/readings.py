"""Type one reading after another: Enter keeps each, Enter alone ends."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.process.sheets.measurement_kinds import MeasurementKind
from bench.process.wording.display_units import convert_units, format_figures, shop_unit
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.number_input import is_written
from bench.screens.dialogs.typed_line import TypedLine
from bench.widgets.lines import Line, line, text_lines, title_lines, wrapped

Sets = dict[str, list[float]]
"""Readings by faces, those of the whole part under ""."""

Says = Callable[[Sequence[float]], Sequence[str]]
"""What readings come to, in lines."""


class ReadingsPage(TypedLine[Sets]):
    """Answers the readings by faces, None for back."""

    def __init__(
        self,
        title: str,
        kind: MeasurementKind,
        says: Says,
        faces: Sequence[str] = (),
        notes: Sequence[str] = (),
    ) -> None:
        super().__init__()
        self.heading, self.kind, self.says, self.notes = title, kind, says, list(notes)
        self.faces, self.face = ["", *faces], ""
        self.sets: Sets = {}
        self.question = NumberQuestion(kind.name, kind.unit)

    def keys_now(self) -> Sequence[KeyWord]:
        """No face where there is none, nothing to rub out on an empty page."""
        idle = [] if len(self.faces) > 1 else [ReadingsPage.next_face]
        idle += [] if self.typed or self.sets.get(self.face) else [ReadingsPage.rub_out]
        return self.keys_for(idle, self.kind.unit)

    def body(self, width: int, height: int) -> list[Line]:
        """The readings so far, the one that is typed, and what they come to."""
        lines = title_lines(self.heading, width) + text_lines(self.notes, width, indent=2)
        lines.append(line("", width))
        if len(self.faces) > 1:
            lines.append(line(f"   on      {self.face or 'the whole part'}", width))
        shown = [
            format_figures(each, self.kind.unit, self._units)
            for each in self.sets.get(self.face, ())
        ]
        lines += [
            line(f"   {row}", width) for row in wrapped([" ".join(shown)], width - 14, "read    ")
        ]
        unit = "" if is_written(self.typed) else shop_unit(self.kind.unit, self._units)
        asked = f"   {self.kind.name:<8}{self.typed}_ {unit}".rstrip()
        lines += [line(asked, width, "bold"), line("", width)]
        said = [self.wrong] if self.wrong else self._come_to()
        return lines + text_lines(said, width, "bold", indent=3)

    def _come_to(self) -> list[str]:
        """What all readings come to, of every face together."""
        values = [each for figures in self.sets.values() for each in figures]
        return [convert_units(each, self._units) for each in self.says(values)] if values else []

    def next_face(self) -> None:
        """Go on with the next face, and after the last with the whole part."""
        self.face = self.faces[(self.faces.index(self.face) + 1) % len(self.faces)]

    def rub_out(self) -> None:
        """One sign less; on an empty line the last reading of this face."""
        self.wrong = ""
        if self.typed:
            self.typed = self.typed[:-1]
        elif figures := self.sets.get(self.face):
            figures.pop()

    def take(self) -> None:
        """Keep this reading; without one, answer all of them."""
        text = self.typed.strip()
        if text in ("", "."):
            sets = {face: figures for face, figures in self.sets.items() if figures}
            self.dismiss(sets or None)
            return
        try:
            reading = self.kind.check(self.question.read(text, self._units))
        except ValueError as fault:
            self.wrong = convert_units(str(fault), self._units)
            return
        self.sets.setdefault(self.face, []).append(reading)
        self.typed, self.wrong = "", ""

    KEYS = (
        *TypedLine.SIGNS,
        KeyWord(("+",), "+", "next face", next_face),
        KeyWord(("-", "backspace"), "-", "rub out", rub_out),
        KeyWord(("enter",), "Enter", "keep; alone: end", take),
        TypedLine.LEAVE,
    )

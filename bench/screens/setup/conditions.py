"""The air: what was read last, how it went, and how near the metal came to the dew point."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from bench.process.sheets.product import Limits
from bench.process.wording.display_units import format_figures, shop_unit
from bench.process.wording.time_text import format_clock
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, active_keys
from bench.screens.parts import part_flows
from bench.widgets.lines import Line, line, text_lines
from bench.widgets.trend import Moment, nearest_to_dew, trend, trend_lines

STRETCHES = (timedelta(days=1), timedelta(days=3), timedelta(days=7))
USUAL_MARGIN_C = Limits().dew_margin_c
"""What a product asks for whose sheet says nothing else."""


class ConditionsPage(BenchScreen[None]):
    """Air, metal and dew point over a day, three days or a week."""

    def __init__(self) -> None:
        super().__init__()
        self.span = STRETCHES[0]

    def body(self, width: int, height: int) -> list[Line]:
        """The last reading, the nearest it came to the dew point, the lines."""
        view, now = self.bench.view, self.bench.now()
        since = now - self.span
        moments = trend(view.around.readings, since, now)
        lines = [line(" The air", width, "head")]
        lines.append(self.air_line(width))
        lines += text_lines(self.bench.probes.remedies(), width, "urgent", indent=1)
        lines += text_lines(self._nearest(moments), width, "bold", indent=1)
        text = " a air   m surface (metal)   d dew point"
        lines.append(line(text, width, "dim"))
        room = height - len(lines)
        size, units = (width - 1, room), view.house.units
        drawn = trend_lines(moments, since, now, size, units) if room >= 5 else []
        lines += [line(row, width) for row in drawn]
        if not drawn:
            lines += [line("", width), line("   no reading in this time: + writes one", width)]
        return lines

    def _nearest(self, moments: Sequence[Moment]) -> list[str]:
        """The least margin of the stretch, and whether that was under the usual one."""
        nearest = nearest_to_dew(moments)
        if nearest is None or nearest.margin_c is None:
            return ["dew point not known: read the humidity too"]
        units, now = self.bench.view.house.units, self.bench.now()
        margin = format_figures(nearest.margin_c, "C", units, ".1f", difference=True)
        usual = format_figures(USUAL_MARGIN_C, "C", units, difference=True)
        what = "surface" if nearest.metal_c is not None else "air (surface not read)"
        unit, hour = shop_unit("C", units), format_clock(nearest.at, now)
        text = f"{what} nearest to dew point {hour}: {margin} {unit} above it"
        under = nearest.margin_c < USUAL_MARGIN_C
        text += (
            f", UNDER the usual {usual} {unit}" if under else f" (usual: {usual} {unit} or more)"
        )
        return [text]

    def keys_now(self) -> Sequence[KeyWord]:
        """About a probe only where somebody is asked."""
        asked = self.bench.view.house.hours.unanswered
        return active_keys(self.KEYS, () if asked else (ConditionsPage.jump,))

    def stretch(self) -> None:
        """Show a day, three days or a week, one after the other."""
        self.span = STRETCHES[(STRETCHES.index(self.span) + 1) % len(STRETCHES)]

    def type_reading(self, figure: str) -> None:
        """Write a reading down that begins with this figure."""
        self.bench.ahead.append(figure)
        self.reading()

    def reading(self) -> None:
        """Write a reading down."""
        self.ask(part_flows.take_reading(self.bench))

    def jump(self) -> None:
        """Answer whether a probe's jump is right."""
        self.ask(part_flows.answer_jump(self.bench))

    KEYS = (
        KeyWord(tuple("123456789"), "1-9", "reading", each=type_reading),
        KeyWord(("+", "r"), "+", "write one", reading),
        KeyWord(("-",), "-", "day, 3 days, week", stretch),
        KeyWord((".",), ".", "is the probe right?", jump),
        KeyWord(("0", "/"), "0", "back", BenchScreen.back),
    )

"""The far view: for reading from the doorway, or from where the part is."""

from __future__ import annotations

from datetime import datetime

from bench.process.attention.alarms import RUINING
from bench.process.attention.todo_list import Task, task_of
from bench.process.clocks.stand_state import StandState
from bench.process.parts.part import Part
from bench.process.wording.time_text import short_countdown
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.shop.core.bench_view import BenchView
from bench.widgets.far_view import BLOCK, MOST, FarLook, far_lines, room_lines
from bench.widgets.lines import Line
from bench.widgets.stand import names_on_it, short_number
from bench.widgets.status_lines import header, task_lines

STANDS_STILL = ("EMPTY", "HOLD", "CURE", "CURED")
"""Nothing comes of these that is worth a look from afar."""


class FarView(BenchScreen[None]):
    """The room and the most urgent few. Any key leads back to what lay under it, and does no more:
    who presses it has not read the stands yet."""

    ANSWER_LINES = 0

    def body(self, width: int, height: int) -> list[Line]:
        """Header, room, a block for each, what there is besides."""
        bench, now = self.bench, self.bench.now()
        view, ascii_only = bench.view, bench.ascii_only
        air, who = view.room(now), bench.painter
        lines = [header(now, air, who, bench.demo_mark, width, doubtful=view.doubtful)]
        lines += room_lines(air, now, width, ascii_only=ascii_only)
        room = height - len(lines)
        looks = urgent(view, now)[: min(room // BLOCK, MOST)]
        lines += far_lines(looks, width, ascii_only=ascii_only)
        rest = view.wants(now)[len(looks) :]
        room = height - len(lines)
        more = task_lines(rest, min(room, len(rest)), width) if rest and room > 0 else []
        return lines + more

    def press(self, pressed: str) -> None:
        """Back; help comes first."""
        if pressed in (*self.HELP_KEY.caps, "escape"):
            super().press(pressed)
        else:
            self.back()

    KEYS = (KeyWord(("0",), "any key", "back to the bench", BenchScreen.back),)


def urgent(view: BenchView, now: datetime) -> list[FarLook]:
    """What to do, most harm first; then what comes next on the stands, the soonest first."""
    wants = view.wants(now)
    looks = [_of_want(view, want, now) for want in wants]
    notes = {want.tag for want in wants if want.stand is not None}
    coming = []
    for number, placed in view.stands:
        if placed is None or placed.part.tag in notes:
            continue
        state = placed.state(now)
        left = state.seconds_left(now)
        if left is not None and state.word not in STANDS_STILL:
            text = task_of(placed.part, state, now).text
            look = _of_state(str(number), state, text, now, placed.part)
            coming.append((state.counts == "up", left, look))
    return looks + [look for *_, look in sorted(coming, key=lambda entry: entry[:2])]


def _of_want(view: BenchView, want: Task, now: datetime) -> FarLook:
    placed = view.find(want.tag)
    if want.stand is not None:
        part = placed.part if placed else None
        return _of_state(str(want.stand), view.state(want.stand, now), want.text, now, part)
    harm = want.word in RUINING
    ends = {
        "BIN": {pot.letter: pot.end for pot in view.pots},
        "GUN": {gun.letter: gun.end for gun in view.guns},
    }
    if want.word in ends:
        end = ends[want.word].get(want.tag)
        left_s = (end.at - now).total_seconds() if end else 0.0
        number = f"{short_countdown(left_s)}{end.doubt}" if end else ""
        # A letter alone would look like a stand.
        place, word = ("POT", f"{want.tag} BIN") if want.word == "BIN" else ("GUN", want.tag)
        return FarLook(place, word, number, want.text, harm)
    state = placed.state(now) if placed else StandState(want.word)
    return _of_state("-", state, want.text, now, placed.part if placed else None)


def _of_state(
    place: str, state: StandState, words: str, now: datetime, part: Part | None
) -> FarLook:
    """Whose it is stands before what to do: a long sentence is cut at its end."""
    who = names_on_it(part) if part else ""
    text = " ".join(filter(None, (state.shape, who and f"{who} |", words)))
    return FarLook(place, state.word, short_number(state, now), text, state.word in RUINING)

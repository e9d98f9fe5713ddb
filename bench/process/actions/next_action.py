"""The one thing a painter most likely wants to do with a stand next."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from bench.process.clocks.stand_state import StandState
from bench.process.parts.part import Part

NextAction = Literal[
    "place", "begin", "finish", "faces", "test", "take off", "release", "wait", "closed"
]

CLOSED = ("WET", "FLASH", "DRYING", "WAIT", "KEEP OFF")
"""Words under which the next step would be refused: it is not named as something to begin."""


def next_action(part: Part | None, state: StandState) -> NextAction:
    """Return what ``+`` does to a stand."""
    if part is None:
        return "place"
    if state.word == "HOLD":
        return "release"
    if state.word == "CURED":
        return "take off"
    if state.test and state.word in ("TEST", "CLOSING"):
        return "test"
    record = part.current()
    if record is None or record.step.kind == "cure":
        return "wait"
    if record.status != "in hand":
        wet_on_wet = record.step.wet_on_wet and state.word in ("WET", "FLASH")
        return "closed" if state.word in CLOSED and not wet_on_wet else "begin"
    if record.step.kind == "dwell":
        unwetted = any(mark.begun_at is None for mark in record.marks)
        return "begin" if unwetted and state.word in ("SOAK", "WORKING") else "finish"
    return "faces" if record.open_marks() else "finish"


def action_word(action: NextAction) -> str:
    """Return what ``+`` would do, in one word for the legend; none where it would do nothing."""
    return {"begin": "start", "wait": "", "closed": ""}.get(action, action)


def action_line(action: NextAction, part: Part | None, state: StandState, now: datetime) -> str:
    """Return what ``+`` would do, behind its key; without the key where it would do nothing.

    now: the present in the shop's zone.
    """
    if action == "closed":
        return (
            f"too soon: opens {state.opens.words(now)}"
            if state.opens
            else "too soon: does not open at these temperatures"
        )
    words = _action_words(action, part, state)
    return words if action == "wait" else f"+ {words}"


def _action_words(action: NextAction, part: Part | None, state: StandState) -> str:
    """Say what ``+`` would do, in words."""
    record = part.current() if part else None
    step = record.step.name if record else ""
    if record is not None and record.step.kind == "dwell":
        unwetted = [mark.name for mark in record.marks if mark.begun_at is None]
        if action == "begin" and unwetted:
            return f"brush {unwetted[0]}"
        if action == "finish":
            return f"rinse {state.zone}{' early' if state.word == 'SOAK' else ''}"
    if action == "begin" and state.word == "ABRADE":
        return "abrade"
    return {
        "place": "place a part",
        "begin": f"start {step}",
        "finish": f"finish {step}",
        "faces": "faces sprayed",
        "test": "test it",
        "take off": "take it off",
        "release": "release the hold",
        "wait": "nothing to start: it cures by itself (/ for one more coat)",
    }[action]

"""The clock on the command line: whether it is believed, and saying what time it is."""

from __future__ import annotations

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.reports.bench_data import iso
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.shop.clock import timekeeping
from bench.shop.clock.clock_fault import ClockState
from bench.shop.clock.timekeeping import instant_typed, set_clock
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop


def clock(call: Call) -> Report:
    """Report what the shop goes by, and why not by the computer's clock."""
    shop, view = call.shop, read_bench(call.shop)
    state, now = view.clock, view.local(call.shop.clock.now())
    says = view.local(state.by_computer + shop.clock.up())
    proposed = state.proposed + shop.clock.up() if state.proposed else None
    data = {"clock": word(state), "now": iso(now), "by_computer": iso(says)}
    least = "at least " if state.doubtful else ""
    return Report(
        {**data, "why": state.why or None, "asked": iso(proposed)},
        [
            f"the shop goes by {least}{day_words(now)}",
            f"the computer's clock says {day_words(says)}",
        ],
    )


def set_the_clock(call: Call, by: str) -> Outcome | Refusal:
    """Set the shop's time to what a painter says."""
    year, month, day, hour, minute = call.args.time
    zone = read_bench(call.shop).house.hours.zone
    at = instant_typed(day, month, year, hour, minute, zone, call.shop.clock.now())
    if isinstance(at, Refusal):
        return at
    return set_clock(call.shop, by, at, reason=call.args.reason or "")


def word(state: ClockState) -> str:
    """Return the word of the clock's state that a program reads."""
    return "wrong" if state.doubtful else "ok"


def warning(shop: Shop) -> str:
    """Return what is said beside an answer; empty when the clock is believed."""
    state = timekeeping.state_in_use(shop)
    if not state.doubtful:
        return ""
    return f'CLOCK WRONG: {_computer_words(shop, state)}; every time is "at least"'


def refused(shop: Shop, *, doubtful: bool) -> Refusal | None:
    """Say why nothing is written down just now; else look at the clock for the command."""
    state = timekeeping.state_in_use(shop)
    if not state.doubtful or doubtful:
        timekeeping.move_running_clocks(shop)
        return None
    return Refusal(
        "CLOCK WRONG",
        _computer_words(shop, state),
        "answer the bench's question, or say the time: paintbench set-clock "
        "'2026-03-12 14:30'; --doubtful writes it down all the same, marked",
    )


def _computer_words(shop: Shop, state: ClockState) -> str:
    says = read_bench(shop).local(state.by_computer + shop.clock.up())
    return f"the computer's clock says {day_words(says)}; {state.why}"

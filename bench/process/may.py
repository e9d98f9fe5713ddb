"""May this step begin? Every rule in one place; the first that says no is the answer."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from bench.process.part import Part
from bench.process.pots import Pot, pot_word
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.spoken import clock_words, span_words
from bench.process.state import StandState

MOST_NAME = 60
"""Longest name or reason kept; longer ones do not fit a stand."""


def may_begin(
    part: Part,
    state: StandState,
    product: Product | None,
    pots: Iterable[Pot],
    at: datetime,
    now: datetime,
) -> Refusal | None:
    """Whether the part's next step may begin at ``at``, when its stand shows ``state``."""
    record = part.current()
    if record is None:
        return Refusal("everything on its route is done", state.word, "take it off the stand")
    if record.step.kind == "cure":
        return Refusal("curing runs by itself", state.word, "wait, then test it")
    if part.hold:
        return Refusal("it is on hold", part.hold, "release it first")
    if record.status == "in hand" and record.step.kind != "dwell":
        return Refusal(f"{record.step.name} is begun already", "", "finish it")
    if record.status == "todo":
        refused = _window(part, state, at, now)
        if refused is not None:
            return refused
    if record.step.kind == "coat":
        return _coat(part, product, pots, at)
    return None


def _window(part: Part, state: StandState, at: datetime, now: datetime) -> Refusal | None:
    opens = clock_words(state.opens_at, now) if state.opens_at else "not at these temperatures"
    if state.word in ("WET", "FLASH", "DRYING", "WAIT"):
        left = f", in {span_words((state.opens_at - at).total_seconds())}" if state.opens_at else ""
        return Refusal("too soon", f"opens {opens}{left}", "wait, then test it", may_override=True)
    if state.word == "SHUT":
        return Refusal(
            "the window is shut: the coat below would lift",
            f"opens again {opens}",
            "wait",
            may_override=True,
        )
    if state.test:
        return Refusal(
            "nobody has passed the test", state.test, "test it, then say passed", may_override=True
        )
    return None


def _coat(part: Part, product: Product | None, pots: Iterable[Pot], at: datetime) -> Refusal | None:
    if not part.substrate:
        return Refusal(
            "its substrate is not named", part.tag, "name the substrate before the first coat"
        )
    if product is None or not product.keeps_a_pot_clock:
        return None
    own = [pot for pot in pots if pot.product == product.key and pot.mixed_at <= at]
    words = {pot_word(pot, at) for pot in own}
    if words & {"USE", "BIN BY"}:
        return None
    if "REST" in words:
        return Refusal(
            f"the pot of {product.name} still rests",
            "",
            "wait for its rest to end",
            may_override=True,
        )
    if "BIN" in words:
        return Refusal(
            f"the pot of {product.name} is past its life",
            "BIN",
            "bin it and mix fresh",
            may_override=True,
        )
    return Refusal(f"no pot of {product.name}", "none open", "mix one first (*)", may_override=True)


def clean_name(text: str, what: str) -> str | Refusal:
    """The text without stray spaces, or why not: empty, too long, control characters."""
    name = " ".join(word for word in text.split(" ") if word)
    if not name:
        return Refusal(f"{what} is empty", "", "type at least one letter")
    if len(name) > MOST_NAME:
        return Refusal(f"{what} is too long", f"{len(name)} characters", f"at most {MOST_NAME}")
    odd = [c for c in name if not c.isprintable()]
    if odd:
        return Refusal(
            f"{what} has a control character", repr(odd[0]), "use letters and figures only"
        )
    return name

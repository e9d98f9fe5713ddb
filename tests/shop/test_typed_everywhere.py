"""Whatever is typed into any field, what would disturb a terminal is refused and nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.part_facts import Naming
from bench.shop.corrections.pot_facts import FiguresOfReading, HourOfMix, PoursOfPot
from bench.shop.corrections.step_facts import HourOfMark, HourOfStep, PaintersOfStep
from bench.shop.environment import readings
from bench.shop.parts import (
    assignment,
    equipment,
    holds_and_rework,
    lots,
    notes,
    placement,
    steps,
    testing,
)
from bench.shop.queries.log import log_page
from bench.shop.settings import settings_change
from bench.shop.stock import pots, tins

from .doing import begin_over, done, refused, state

pytestmark = pytest.mark.sqlite

DISTURBING = (
    "\x1b[31mred",
    "a\nb",
    "Z" + "\u0335\u0321\u0327\u0328" * 9,
    "a" * 1000,
    *(pytest.param(text, marks=pytest.mark.long) for text in ("a\x00b", "\u202eelxa", "\u200bb")),
)
"""Escape sequences, line ends, bidi overrides (Unicode UAX 9), letters that climb, no end of them."""

Answers = Iterator[Callable[[], Outcome | Refusal]]


def fields(shop: Shop, text: str) -> Answers:
    """Every text that a painter can type, beside a part's own names and reasons of trouble."""
    now = shop.clock.now()
    line = next(row.number for row in log_page(shop) if row.action == "reading")
    mixed = next(row.number for row in log_page(shop) if row.action == "mix")
    known = MixStart(need_ml=100)
    yield lambda: notes.write_note(shop, "Kit", text)
    yield lambda: notes.write_note(shop, "Kit", text, target=1)
    yield lambda: equipment.write_down(shop, "Kit", name=text)
    yield lambda: equipment.write_down(shop, "Kit", name="Hoist", kind=text)
    yield lambda: equipment.take(shop, text, "Kit")
    yield lambda: tins.record_tin(shop, "gloss", "Kit", role="base", batch=text, size_ml=500)
    yield lambda: tins.record_tin(shop, "gloss", "Kit", role=text, size_ml=500)
    yield lambda: tins.correct_tin(shop, 1, "Kit", batch=text)
    yield lambda: correct(shop, 1, "Kit", text, Naming(name="Beam"))
    for right in (Naming(tag=text), Naming(name=text), Naming(job=text), Naming(owner=text)):
        yield lambda right=right: correct(shop, 1, "Kit", "mistyped", right)  # type: ignore[misc]
    yield lambda: correct(shop, 1, "Kit", text, PaintersOfStep(step=1, painters=["Mo"]))
    yield lambda: correct(shop, 1, "Kit", "other", PaintersOfStep(step=1, painters=[text]))
    yield lambda: correct(shop, 1, "Kit", text, HourOfStep(step=1, edge="last", at=now))
    yield lambda: correct(
        shop, 1, "Kit", "other", HourOfMark(step=1, mark=text, edge="last", at=now)
    )
    yield lambda: correct(shop, "", "Kit", text, HourOfMix(mixed, now))
    yield lambda: correct(shop, "", "Kit", text, FiguresOfReading(line, {"air_c": 19.0}))
    yield lambda: correct(shop, "", "Kit", text, PoursOfPot(mixed, {0: 90.0}))
    yield lambda: begin_over(shop, 1, "Kit", text)
    yield lambda: steps.begin(shop, 1, "Kit", zone=text)
    yield lambda: pots.mix(shop, text, "Kit", known=known)
    yield lambda: pots.top_up(shop, text, "Kit", known=known)
    yield lambda: pots.bin_pot(shop, text, "Kit")
    yield lambda: assignment.hand_to(shop, 1, "Kit", text)
    yield lambda: assignment.share_faces(shop, 1, "Kit", {text: ["A"]})
    yield lambda: holds_and_rework.hold(shop, 1, "Kit", text)
    yield lambda: lots.merge(shop, 1, "Kit", text)
    yield lambda: testing.pass_test(shop, text, "Kit")
    yield lambda: settings_change.set_settings(shop, "Kit", units=text)
    yield lambda: settings_change.set_settings(shop, "Kit", zone=text)
    yield lambda: settings_change.set_settings(shop, "Kit", probe={"air_path": text + "\n"})
    yield lambda: settings_change.set_alarm(shop, "Kit", command=[text + "\n"])
    yield lambda: placement.place(shop, 2, "Kit", route=text, shape="axle")


@pytest.mark.sqlite  # refused before any database is asked
@pytest.mark.parametrize("text", DISTURBING, ids=lambda text: ascii(text)[:20])
def test_what_would_disturb_a_terminal_is_refused_in_every_field(shop: Shop, text: str) -> None:
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=55))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="axle"))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(tins.record_tin(shop, "gloss", "Kit", role="base", size_ml=500))
    before = state(shop)
    for number, deed in enumerate(fields(shop, text)):
        told = str(refused(deed()))
        assert len(told) < 400, number
        assert state(shop) == before, number

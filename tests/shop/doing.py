"""Small help for the tests of what painters do."""

from __future__ import annotations

from collections.abc import Callable

from sqlmodel import col, select

from bench.process.clocks.stand_state import StandState
from bench.process.parts.part import Part
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.settings import settings_change
from bench.store.log import journal
from bench.store.schema.tables import JournalRow
from tests.living import done_once


def done(answer: Outcome | Refusal) -> Outcome:
    """The answer, which has to be that it was done."""
    assert isinstance(answer, Outcome), answer
    return answer


def refused(answer: Outcome | Refusal) -> Refusal:
    """The answer, which has to be that a rule said no."""
    assert isinstance(answer, Refusal), answer
    return answer


def part(shop: Shop, tag: str = "1") -> Part:
    """A part as it is now."""
    found = bench_view.read_bench(shop).find(tag)
    assert found is not None
    return found.part


def stand(shop: Shop, number: int = 1) -> StandState:
    """What a stand shows now."""
    return bench_view.read_bench(shop).state(number, shop.clock.now())


def state(shop: Shop) -> object:
    """Everything the tables hold."""
    with shop.store.reading() as session:
        return journal.present(session)


def told(shop: Shop) -> object:
    """The same as the journal alone tells it."""
    with shop.store.reading() as session:
        lines = session.exec(select(JournalRow).order_by(col(JournalRow.id))).all()
        return journal.replay(lines)


def read_20c(shop: Shop) -> None:
    """A wash may be begun: the surface was read just now, at 20 C."""
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=60, metal_c=20))


@done_once
def before_the_coat(shop: Shop, number: int = 1) -> None:
    """A bracket of zinc on a stand, all before its etch mist already done."""
    done(placement.place(shop, number, "Kit", route="zinc-new", shape="bracket"))
    skip_to_coat(shop, number)


def skip_to_coat(shop: Shop, number: int) -> None:
    """What is before the first coat on a stand came done already."""
    while part(shop, str(number)).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, number, "Kit", "already done"))


@done_once
def in_the_cold(shop: Shop) -> None:
    """12 C by day, read just now, and 6 C by night: the etch, 24 h at 20 C and over after 48 h
    (a house rule, no source), leaves no window. A bracket waits for it on stand 1."""
    done(settings_change.set_settings(shop, "Kit", day_c=12, night_c=6))
    done(readings.take_reading(shop, "Kit", air_c=12, rh_pct=60, metal_c=12))
    before_the_coat(shop)


def begin_over(shop: Shop, target: int | str, by: str, reason: str = "other") -> Outcome | Refusal:
    """Begin over whatever is in the way: the same reason typed for each rule."""
    second = "Kit" if by == "Mo" else "Mo"
    return over(lambda override: steps.begin(shop, target, by, override=override), reason, second)


def over(
    act: Callable[[Override | None], Outcome | Refusal], reason: str = "other", second: str = "Mo"
) -> Outcome | Refusal:
    """Do it with the same reason typed for each rule in the way; without one, over none."""
    if not reason:
        return act(None)
    listed = act(Override())
    if isinstance(listed, Outcome) or listed.rule == "no rule is in the way":
        return act(None)
    rules = (listed, *listed.also)
    reasons = {rule.name: reason for rule in rules if rule.override == "reason"}
    if all(rule.override != "air supply" for rule in rules):
        return act(Override(reasons))
    return act(Override(reasons, "cylinder set 2", second))

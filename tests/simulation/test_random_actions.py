"""Two painters press anything in any order; whatever they do, the bench keeps its own rules.

Three parts are brought some way along their routes first, as the bench asks; then anything is
pressed. In the normal run three sequences, of thirty actions each, the same ones every time. All ten
thousand, of twenty actions, in forty numbered batches, so that a run can be cut short or split with
``-k``:

    scripts/test --long tests/simulation/test_random_actions.py

Nothing here has a source but the house rules themselves.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule

from bench.process.clocks.stand_state import StandState
from bench.process.parts.film_thickness import coat_to_judge
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.bench_view import PlacedPart
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import (
    back_dating,
    film_thickness,
    holds_and_rework,
    placement,
    steps,
    testing,
)
from bench.shop.parts.route_exchange import change_route
from bench.shop.stock import pots, tins
from tests.shop.doing import over
from tests.simulation import LONG

from . import choices as c
from .holding import WAITING
from .painting import sequences
from .sharing import Sharing

BATCHES, A_BATCH, STEPS, MOST_PRESSES = (40, 250, 20, 10) if LONG else (1, 3, 30, 25)
THREE = {"min_size": 3, "max_size": 3}

Whom = tuple[int, bool]


def in_hand(placed: PlacedPart) -> bool:
    """Somebody is on it."""
    record = placed.part.current()
    return record is not None and record.status == "in hand"


def curing(placed: PlacedPart) -> bool:
    """Only its cure is left."""
    record = placed.part.current()
    return record is not None and record.step.kind == "cure"


def has_a_coat_to_judge(placed: PlacedPart) -> bool:
    """Its last coat waits, and may be said to be heavy or thin."""
    return not isinstance(coat_to_judge(placed.part), Refusal)


def held(placed: PlacedPart) -> bool:
    """It was put aside."""
    return bool(placed.part.hold)


class Presses(Sharing):
    """Everything that can be pressed."""

    @initialize(
        routes=st.lists(c.ROUTES, **THREE),
        shapes=st.lists(c.SHAPES, **THREE),
        counts=st.lists(c.COUNTS, **THREE),
        skipped=st.lists(st.integers(0, 7), **THREE),
        presses=st.lists(st.integers(0, MOST_PRESSES), **THREE),
    )
    def the_bench_in_the_morning(
        self,
        routes: list[str],
        shapes: list[str],
        counts: list[int],
        skipped: list[int],
        presses: list[int],
    ) -> None:
        """Three parts on their stands, each some way along its route."""
        for number in range(3):
            stand = number + 1
            self.place(stand, "Kit", routes[number], shapes[number], counts[number], "", "")
            for _ in range(skipped[number]):
                self._already_done(stand)
            self.as_the_bench_asks(stand, "Kit", presses[number])

    def _already_done(self, stand: int) -> None:
        self.do(lambda: holds_and_rework.skip(self.shop, stand, "Mo", "already done"))

    @rule(stand=st.integers(1, 6), by=st.sampled_from(["Kit", "Mo"]), presses=st.integers(1, 9))
    def as_the_bench_asks(self, stand: int, by: str, presses: int) -> None:
        """A painter who does the obvious thing, so that parts get to the ends of their routes."""
        for _ in range(presses):
            self.obvious(stand, by)

    and_then_goes_on_so = as_the_bench_asks

    @rule(minutes=c.WAITS)
    def nobody_is_in(self, minutes: int) -> None:
        self.wait(minutes)

    @rule(cut=st.sampled_from([False, False, False, True]))
    def the_power_is_cut(self, cut: bool) -> None:
        if cut:
            self.start_again()

    @rule(
        stand=c.STANDS,
        by=c.PAINTERS,
        route=c.ROUTES,
        shape=c.SHAPES,
        count=c.COUNTS,
        tag=c.TAGS,
        name=c.NAMES,
    )
    def place(
        self, stand: int, by: str, route: str, shape: str, count: int, tag: str, name: str
    ) -> None:
        done = self.do(
            lambda: placement.place(
                self.shop, stand, by, route=route, shape=shape, count=count, tag=tag, name=name
            )
        )
        if done is not None:
            self.placed[done.tag] = count

    @rule(
        part=c.PARTS, by=c.PAINTERS, ago=c.AGO, zone=c.MARKS, helper=c.HELPERS, reason=c.OVERRIDES
    )
    def begin(
        self, part: Whom, by: str, ago: int | None, zone: int, helper: str, reason: str
    ) -> None:
        whom = self.whom(part)
        was = self._state_of(whom, ago)
        done = self.do(
            lambda: over(
                lambda override: steps.begin(
                    self.shop,
                    whom,
                    by,
                    at=self.at(ago),
                    zone=self.mark_of(whom, zone),
                    helper=helper,
                    override=override,
                ),
                reason,
            )
        )
        if done is not None and not reason:
            assert was is not None
            assert was.word not in (*WAITING, "HOLD", "CURE", "CURED"), was
            assert not was.test, "begun though nobody had passed the test"

    def _state_of(self, whom: int | str, ago: int | None) -> StandState | None:
        placed = self.view.on(whom) if isinstance(whom, int) else self.view.find(whom.strip())
        return placed.state(self.at(ago) or self.clock.now()) if placed is not None else None

    @rule(part=c.PARTS, by=c.PAINTERS, ago=c.AGO, mark=c.MARKS, all_faces=st.booleans())
    def finish(self, part: Whom, by: str, ago: int | None, mark: int, all_faces: bool) -> None:
        whom = self.whom(part, in_hand)
        self.do(
            lambda: steps.finish(
                self.shop,
                whom,
                by,
                at=self.at(ago),
                mark=self.mark_of(whom, mark),
                all_faces=all_faces,
            )
        )

    @rule(part=c.PARTS, by=c.PAINTERS, ago=c.AGO)
    def passed(self, part: Whom, by: str, ago: int | None) -> None:
        whom = self.whom(part, self._to_test)
        self.do(lambda: testing.pass_test(self.shop, whom, by, at=self.at(ago)))

    @rule(part=c.PARTS, by=c.PAINTERS, weight=c.WEIGHTS, wet_um=c.FILM_UM, dry_um=c.FILM_UM)
    def how_thick(
        self, part: Whom, by: str, weight: Any, wet_um: float | None, dry_um: float | None
    ) -> None:
        whom = self.whom(part, has_a_coat_to_judge)
        self.do(
            lambda: film_thickness.record_thickness(
                self.shop, whom, by, weight=weight, wet_um=wet_um, dry_um=dry_um
            )
        )

    @rule(part=c.PARTS, by=c.PAINTERS, minutes=c.NOT_YET, ago=c.AGO)
    def not_yet(self, part: Whom, by: str, minutes: int, ago: int | None) -> None:
        whom = self.whom(part, self._to_test)
        self.do(lambda: testing.put_test_off(self.shop, whom, by, minutes=minutes, at=self.at(ago)))

    def _to_test(self, placed: PlacedPart) -> bool:
        return bool(placed.state(self.clock.now()).test)

    @rule(part=c.PARTS, by=c.PAINTERS, to=c.STANDS, swap=st.booleans())
    def move(self, part: Whom, by: str, to: int, swap: bool) -> None:
        whom = self.whom(part)
        self.do(lambda: placement.move(self.shop, whom, by, to=to, swap=swap), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS)
    def take_off(self, part: Whom, by: str) -> None:
        whom = self.whom(part)
        self.do(lambda: placement.take_off(self.shop, whom, by), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS, reason=c.REASONS)
    def hold(self, part: Whom, by: str, reason: str) -> None:
        whom = self.whom(part)
        self.do(lambda: holds_and_rework.hold(self.shop, whom, by, reason), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS)
    def release(self, part: Whom, by: str) -> None:
        whom = self.whom(part, held)
        self.do(lambda: holds_and_rework.release(self.shop, whom, by), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS, reason=c.REASONS)
    def skip(self, part: Whom, by: str, reason: str) -> None:
        whom = self.whom(part)
        self.do(lambda: holds_and_rework.skip(self.shop, whom, by, reason))

    @rule(
        part=c.PARTS,
        by=c.PAINTERS,
        defect=c.REASONS,
        count=c.PIECES,
        back_to=c.BACK_TO,
        stand=c.FREE_STANDS,
    )
    def rework(
        self,
        part: Whom,
        by: str,
        defect: str,
        count: int | None,
        back_to: int | None,
        stand: int | None,
    ) -> None:
        whom = self.whom(part)
        self.do(
            lambda: holds_and_rework.rework(
                self.shop, whom, by, defect, count=count, back_to=back_to, stand=stand
            )
        )

    @rule(part=c.PARTS, by=c.PAINTERS)
    def join(self, part: Whom, by: str) -> None:
        whom = self.whom(part, in_hand)
        self.do(lambda: holds_and_rework.join_step(self.shop, whom, by), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS)
    def another_coat(self, part: Whom, by: str) -> None:
        whom = self.whom(part, curing)
        self.do(lambda: holds_and_rework.another_coat(self.shop, whom, by))

    @rule(part=c.PARTS, by=c.PAINTERS, route=c.ROUTES)
    def change_route(self, part: Whom, by: str, route: str) -> None:
        whom = self.whom(part)
        self.do(lambda: change_route(self.shop, whom, by, route=route), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS, minutes=c.EARLIER)
    def back_date(self, part: Whom, by: str, minutes: int) -> None:
        whom = self.whom(part)
        self.do(lambda: back_dating.back_date(self.shop, whom, by, minutes))

    @rule(
        product=c.PRODUCTS,
        by=c.PAINTERS,
        known=c.KNOWN,
        ago=c.AGO,
        named=c.NAMED,
        reason=c.OVERRIDES,
    )
    def mix(
        self,
        product: str,
        by: str,
        known: MixStart | None,
        ago: int | None,
        named: tuple[int, ...],
        reason: str,
    ) -> None:
        at = self.at(ago)
        self.do(
            lambda: over(
                lambda override: pots.mix(
                    self.shop, product, by, known=known, at=at, tins=named, override=override
                ),
                reason,
            ),
            moves_clocks=False,
        )

    @rule(
        part=c.TIN_PARTS,
        by=c.PAINTERS,
        batch=c.BATCHES,
        ml=c.TIN_ML,
        use_by=c.USE_BY,
    )
    def tin_came(
        self, part: tuple[str, str], by: str, batch: str, ml: float, use_by: date | None
    ) -> None:
        product, role = part
        self.do(
            lambda: tins.record_tin(
                self.shop, product, by, role=role, batch=batch, size_ml=ml, use_by=use_by
            ),
            moves_clocks=False,
        )

    @rule(number=c.TINS, by=c.PAINTERS, left_ml=c.LEFT_ML, batch=c.BATCHES, deed=st.integers(0, 3))
    def to_a_tin(self, number: int, by: str, left_ml: float, batch: str, deed: int) -> None:
        shop = self.shop
        deeds = (
            lambda: tins.open_tin(shop, number, by),
            lambda: tins.count_tin(shop, number, by, left_ml=left_ml),
            lambda: tins.bin_tin(shop, number, by),
            lambda: tins.correct_tin(shop, number, by, batch=batch, not_opened=True),
        )
        self.do(deeds[deed], moves_clocks=False)

    @rule(letter=c.POTS, by=c.PAINTERS, known=c.KNOWN, reason=c.OVERRIDES)
    def top_up(self, letter: str, by: str, known: MixStart | None, reason: str) -> None:
        wanted, fresh = self.pot(letter), known or MixStart(need_ml=100)
        before = {pot.letter: pot.bin_by for pot in self.view.pots}
        done = self.do(
            lambda: over(
                lambda override: pots.top_up(self.shop, wanted, by, known=fresh, override=override),
                reason,
            ),
            moves_clocks=False,
        )
        for pot in self.view.pots if done is not None else ():
            old = before[pot.letter]
            assert old is None or (pot.bin_by is not None and pot.bin_by <= old), "made younger"

    @rule(letter=c.POTS, by=c.PAINTERS)
    def bin(self, letter: str, by: str) -> None:
        wanted = self.pot(letter)
        self.do(lambda: pots.bin_pot(self.shop, wanted, by), moves_clocks=False)

    @rule(letter=c.POTS, by=c.PAINTERS)
    def flush(self, letter: str, by: str) -> None:
        wanted = self.pot(letter)
        self.do(lambda: pots.flush(self.shop, wanted, by), moves_clocks=False)

    @rule(by=c.PAINTERS, air_c=c.AIR_C, rh_pct=c.RH_PCT, metal_c=c.METAL_C, ago=c.LONG_AGO)
    def reading(
        self, by: str, air_c: float, rh_pct: float | None, metal_c: float | None, ago: int | None
    ) -> None:
        self.do(
            lambda: readings.take_reading(
                self.shop, by, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c, at=self.at(ago)
            )
        )

    @rule(by=c.PAINTERS)
    def undo(self, by: str) -> None:
        self.undone(undo.undo(self.shop, by), nobody=by in ("nobody", ""))


@pytest.mark.parametrize("batch", range(BATCHES), ids=lambda n: f"batch{n:02}")
def test_whatever_two_painters_press_the_bench_keeps_its_rules(batch: int, template: Path) -> None:
    sequences(Presses, template, batch, examples=A_BATCH, steps=STEPS)

"""A hold point: work does not go over it before all is measured there and within its limits."""

from __future__ import annotations

import pytest

from bench.process.refusals.overrides import Override
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.parts.measuring import Readings, record_readings
from bench.shop.queries.lookahead import PartAhead, ahead_of
from bench.shop.records.deviations import deviations
from bench.shop.records.gathering import sheet_of
from bench.shop.records.hold_points import hold_points
from bench.shop.records.job_record import Sheet
from bench.shop.seeds.sheet_editing import set_route
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import done, part, refused, state

pytestmark = pytest.mark.sqlite

BLAST = """
[[step]]
name = "Blast"
kind = "work"
measure = ["profile"]
accept = { profile = ["40 um", "75 um"] }
hold_point = true

[[step]]
name = "Blow off"
kind = "work"

[[step]]
name = "Wipe"
kind = "work"
"""
ROUTE = f"""
name = "Inspected steel"
substrate = "steel"
{BLAST}
[[step]]
name = "Primer"
kind = "coat"
product = "epoxy-primer"

[[step]]
name = "Cure"
kind = "cure"
"""


@done_once
def blasted(shop: Shop) -> None:
    """A part whose first step is done, at which work is held for its profile."""
    done(set_route(shop, "Kit", "inspected", ROUTE))
    done(placement.place(shop, 1, "Kit", route="inspected", shape="bracket"))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))


def profile(shop: Shop, *readings: float) -> None:
    done(record_readings(shop, 1, "Mo", Readings("profile", {"": readings})))


def against(shop: Shop) -> list[str]:
    """What the stand's page says beforehand against beginning."""
    ahead = ahead_of(shop, 1)
    assert isinstance(ahead, PartAhead)
    return [str(rule) for rule in ahead.against]


def test_the_next_step_waits_until_all_is_measured(shop: Shop, clock: ManualClock) -> None:
    blasted(shop)
    before, answer = state(shop), refused(steps.begin(shop, 1, "Kit"))
    assert str(answer) == (
        "hold point: Blast is not released (not measured: profile Rz, 5 readings): "
        "measure it; rework what is outside limits"
    )
    assert (answer.name, answer.override) == ("hold-point", "reason")
    assert against(shop) == [str(answer)]
    assert state(shop) == before
    profile(shop, 55, 60, 58, 52)
    assert "profile Rz, 1 more reading" in str(refused(steps.begin(shop, 1, "Kit")))
    profile(shop, 61)
    assert against(shop) == []
    done(steps.begin(shop, 1, "Kit"))


def test_what_is_outside_its_limits_holds_and_an_override_has_reason_and_name(shop: Shop) -> None:
    blasted(shop)
    profile(shop, 55, 60, 58, 52, 90)
    assert "outside its limits: 90, wanted 40 to 75 um" in str(refused(steps.begin(shop, 1, "Mo")))
    over = Override({"hold-point": "released by the inspector"})
    assert ": released by the inspector" in done(steps.begin(shop, 1, "Mo", override=over)).text
    done(steps.finish(shop, 1, "Mo"))
    # It is the next step that was held: what comes after it goes on.
    done(steps.begin(shop, 1, "Kit"))
    record = sheet_of(shop, 1)
    assert isinstance(record, Sheet)
    (point,) = hold_points(record)
    assert (point.step, point.held_for) == ("Blast", "stops work; measured: profile Rz")
    words = " ".join(each.words for each in deviations(record))
    assert "hold point: Blast is not released" in words
    assert "released by the inspector" in words


def test_a_hold_point_that_was_skipped_holds_nothing(shop: Shop) -> None:
    done(set_route(shop, "Kit", "inspected", ROUTE))
    done(placement.place(shop, 1, "Kit", route="inspected", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "customer's choice"))
    done(steps.begin(shop, 1, "Kit"))
    assert part(shop).current().step.name == "Blow off"  # type: ignore[union-attr]


def test_a_step_without_a_hold_point_waits_for_no_reading(shop: Shop) -> None:
    done(set_route(shop, "Kit", "inspected", ROUTE.replace("hold_point = true", "")))
    done(placement.place(shop, 1, "Kit", route="inspected", shape="bracket"))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    done(steps.begin(shop, 1, "Kit"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('measure = ["profile"]\n', ""),
        ('kind = "cure"', 'kind = "cure"\nhold_point = true\ntest = "hard"'),
    ],
)
def test_a_hold_point_says_what_it_holds_for(shop: Shop, old: str, new: str) -> None:
    answer = refused(set_route(shop, "Kit", "inspected", ROUTE.replace(old, new)))
    assert "nothing says what it holds for" in str(answer)

"""When painters are away: recorded, taken back, undone."""

from __future__ import annotations

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.people.away import absences, away
from bench.shop.people.painters import set_trained
from bench.shop.plan.inputs import plan_inputs
from tests.shop.doing import done, refused, state, told

CHRISTMAS = "2025-12-24..2026-01-01"


def words(shop: Shop) -> list[str]:
    return [f"{each.painter} {each.words}" for each in absences(shop)]


def test_days_away_are_recorded_taken_back_and_both_undone(shop: Shop) -> None:
    before = state(shop)
    assert done(away(shop, "Mo", "kit", CHRISTMAS)).text == f"Kit is away {CHRISTMAS}"
    done(away(shop, "Mo", "Mo", "2025-06-10 13:00..17:30"))
    assert words(shop) == ["Mo 2025-06-10 13:00..17:30", f"Kit {CHRISTMAS}"]
    done(away(shop, "Mo", "Kit", CHRISTMAS, take_back=True))
    assert words(shop) == ["Mo 2025-06-10 13:00..17:30"]
    done(undo.undo(shop, "Mo"))
    assert words(shop) == ["Mo 2025-06-10 13:00..17:30", f"Kit {CHRISTMAS}"]
    for _ in range(2):
        done(undo.undo(shop, "Mo"))
    assert state(shop) == before == told(shop)
    assert check(shop).faults == ()


@pytest.mark.sqlite
@pytest.mark.parametrize(
    ("painter", "span", "take_back", "why"),
    [
        ("Una", CHRISTMAS, False, "no painter 'Una'"),
        ("Kit", "christmas", False, "read 'christmas'"),
        ("Kit", "2025-06-08", False, "that is over"),
        ("Kit", "2025-12-25", False, "is away then already"),
        ("Kit", "2025-12-25", True, f"one of {CHRISTMAS}"),
        ("Mo", CHRISTMAS, True, "Mo is not away"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    shop: Shop, painter: str, span: str, take_back: bool, why: str
) -> None:
    done(away(shop, "Mo", "Kit", CHRISTMAS))
    before = state(shop)
    assert why in str(refused(away(shop, "Mo", painter, span, take_back=take_back)))
    assert state(shop) == before


@pytest.mark.sqlite
def test_the_plan_counts_on_nobody_away_and_takes_who_nobody_recorded_as_not_trained(
    shop: Shop,
) -> None:
    done(away(shop, "Mo", "Kit", "2025-06-10"))
    done(set_trained(shop, "Kit", "Mo", True))
    kit, mo = plan_inputs(shop).painters
    assert (kit.name, kit.trained, mo.name, mo.trained) == ("Kit", False, "Mo", True)
    ((begins, ends),) = kit.away
    assert (begins.isoformat(), ends.isoformat()) == (
        "2025-06-10T00:00:00+01:00",
        "2025-06-11T00:00:00+01:00",
    )
    assert mo.away == ()

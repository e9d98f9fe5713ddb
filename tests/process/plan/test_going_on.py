"""What a plan cannot move, counted by hand: one pair of hands, slots of a morning.

Something goes on from slot 0 to 2; another task is agreed for slot 3, two slots long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from bench.process.plan.going_on import allow_what_goes_on, fix_agreed
from bench.process.plan.grid import Grid
from bench.process.plan.means import Means
from bench.process.plan.no_window import last_starts, starts_in_time
from bench.process.plan.problem import Air, Hold, OpenPot, Paint, Stage, Task, Wait
from bench.process.plan.slot_sets import between

from ..making import HOURS, MON

GRID = Grid.of(MON, 1, HOURS)
TABLE = range(GRID.horizon + 1)
ALL = between(0, GRID.horizon)
BY_HAND = (Hold(0, 1),)
NOW = Task(0, 0, 2, 1, fixed=0, holds=BY_HAND)
NEXT = Task(1, 0, 2, ALL, was=3, holds=BY_HAND)
COAT = replace(NEXT, paint=0, ml=300, opening_starts=ALL)


def means(hands: Sequence[int] = (1,)) -> Means:
    """Return so many pairs of hands, the last for all slots to come."""
    there = Means(GRID)
    there.add("hands", [*hands, *hands[-1:] * GRID.horizon][: GRID.horizon + 1])
    return there


def wait(opens: int, closes: int | None = None, *, abraded: bool = False) -> Wait:
    """Return the wait of what is agreed for what goes on, by slots that do not move."""
    shut = None if closes is None else [closes] * len(TABLE)
    return Wait(0, 0, 1, (Stage([opens] * len(TABLE), shut, abraded),))


def paint(empty_by: int) -> Paint:
    """Return a paint whose pot is empty by a slot, whenever it is mixed."""
    return Paint("paint", 1, 1, 1000, [empty_by] * len(TABLE), 0)


LONGER = replace(NOW, length=3)
STAYS: dict[str, tuple[bool, tuple[Task, Task], dict[str, object]]] = {
    "free hands": (True, (NOW, NEXT), {}),
    "just after what goes on": (True, (LONGER, NEXT), {}),
    "no hands yet": (False, (replace(NOW, length=4), NEXT), {}),
    "what goes on holds them longer": (
        False,
        (replace(LONGER, holds=(Hold(0, 1, after=1),)), NEXT),
        {},
    ),
    "it wants them before": (False, (LONGER, replace(NEXT, holds=(Hold(0, 1, before=1),))), {}),
    "two pairs are wanted": (False, (NOW, replace(NEXT, holds=(Hold(0, 2),))), {}),
    "nobody in at its end": (False, (NOW, NEXT), {"means": means((1, 1, 1, 1, 0))}),
    "it may not begin then": (False, (NOW, replace(NEXT, starts=ALL ^ 1 << 3)), {}),
    "in an hour": (False, (NOW, replace(NEXT, was=12)), {}),
    "in less than an hour": (True, (NOW, replace(NEXT, was=11)), {}),
    "open by then": (True, (NOW, NEXT), {"waits": (wait(3, 4),)}),
    "not open yet": (False, (NOW, NEXT), {"waits": (wait(4),)}),
    "closed by then": (False, (NOW, NEXT), {"waits": (wait(0, 3),)}),
    "it would be abraded": (False, (NOW, NEXT), {"waits": (wait(0, abraded=True),)}),
    "what comes before is not fixed": (
        False,
        (replace(NOW, fixed=None), NEXT),
        {"waits": (wait(0),)},
    ),
    "mixed for": (True, (NOW, COAT), {"paints": (paint(5),)}),
    "the pot does not last": (False, (NOW, COAT), {"paints": (paint(4),)}),
    "no time to mix": (False, (NOW, replace(COAT, opening_starts=ALL ^ 1 << 3)), {}),
    "a pot stands open": (
        True,
        (NOW, COAT),
        {"paints": (paint(4),), "pots": (OpenPot(0, 300, 5),)},
    ),
    "too little in it": (
        False,
        (NOW, COAT),
        {"paints": (paint(4),), "pots": (OpenPot(0, 299, 5),)},
    ),
    "it is binned before": (
        False,
        (NOW, COAT),
        {"paints": (paint(4),), "pots": (OpenPot(0, 300, 4),)},
    ),
    "air of its own side": (
        True,
        (replace(LONGER, airs=(Air(0, 1, after=1),)), replace(NEXT, airs=(Air(0, 1),))),
        {},
    ),
    "air just cleared": (
        True,
        (replace(NOW, airs=(Air(0, 0, after=1),)), replace(NEXT, airs=(Air(0, 1),))),
        {},
    ),
    "air not cleared": (
        False,
        (replace(LONGER, airs=(Air(0, 0, after=1),)), replace(NEXT, airs=(Air(0, 1),))),
        {},
    ),
    "air wanted before": (
        False,
        (replace(LONGER, airs=(Air(0, 0),)), replace(NEXT, airs=(Air(0, 1, before=1),))),
        {},
    ),
}


@pytest.mark.parametrize("name", STAYS)
def test_what_is_agreed_is_fixed_only_where_it_can_be_begun(name: str) -> None:
    stays, (now, following), more = STAYS[name]
    tasks = [now, following]
    there: dict[str, object] = {"waits": (), "paints": (paint(99),), "pots": (), "means": means()}
    fix_agreed(tasks, **(there | more), soon=12)  # type: ignore[arg-type]
    assert tasks == [now, replace(following, fixed=following.was) if stays else following]


def test_of_two_agreed_for_the_same_hands_the_first_is_fixed() -> None:
    tasks = [NOW, NEXT, replace(NEXT, was=4)]
    fix_agreed(tasks, (), (), (), means(), 12)
    assert [task.fixed for task in tasks] == [0, 3, None]


def test_what_goes_on_has_all_it_holds_and_nothing_more() -> None:
    both = [NOW, replace(NOW, length=1), NEXT]
    there = means((0, 0, 0, 1))
    allow_what_goes_on(both, there)
    assert there.capacities["hands"][:4] == [2, 1, 0, 1]


def test_two_things_that_go_on_do_not_ask_each_other_for_the_air() -> None:
    iso, bare = (Air(0, 0),), (Air(0, 1), Air(1, 0))
    tasks = [replace(NOW, airs=iso), replace(NOW, airs=bare), replace(NEXT, airs=bare)]
    allow_what_goes_on(tasks, means())
    assert [task.airs for task in tasks] == [(), (Air(1, 0),), bare]


def test_a_step_is_begun_where_the_next_opens_before_it_closes() -> None:
    """Three slots long. What ends by 9 opens two slots later, the rest at 25; closed after 12."""
    opens = [end + 2 if end < 10 else max(25, end + 2) for end in range(41)]
    closes = [min(41, begun + 12) for begun in range(41)]
    window = Stage(opens, closes)
    found = {}
    for slack_min in (0, 5):
        latest = last_starts(3, (window, Stage(opens, abraded=True)), slack_min)
        assert latest is not None
        found[slack_min] = starts_in_time(latest) & between(0, 38)
    assert found[0] == between(0, 7) | between(14, 38)
    assert found[5] == between(0, 7) | between(13, 38)
    assert last_starts(3, (replace(window, closes=None), window), 0) is None
    assert last_starts(3, (Stage(opens, abraded=True),), 0) is None

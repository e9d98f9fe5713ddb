"""What work a step is: its hands, minutes and place, as it was typed or as it is taken to be.

Until a shop types its own, the figures are the same for every product and tool, invented (common
practice, no source), and are shown with ``?``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bench.process.sheets.route import Route, Step, StepKind
from bench.process.wording.time_text import format_duration

UNKNOWN_AREA_M2 = 1.0
"""What a lot of unknown area is taken to have, so that it has a length at all (house rule)."""

MINUTES: Mapping[StepKind, tuple[float, float]] = {
    "work": (15.0, 6.0),
    "dwell": (5.0, 2.0),
    "coat": (10.0, 3.0),
    "cure": (0.0, 0.0),
}
"""Minutes for a lot and minutes a m2, by kind of step, until somebody types them."""

ABRADING_MIN = (10.0, 4.0)
"""The same for abrading below a coat whose window was missed."""

HANDS = 1

MUCH_LABOUR_S = 8 * 3600.0
MUCH_LABOUR_S_M2 = 3600.0
"""Over these a figure is more often a slip than true (common practice, no source)."""


@dataclass(frozen=True)
class Labour:
    """What work a step is.

    base_s, per_m2_s: for a lot and for each m2 of it; follow_s: the longest pause before the next
    step, None where it may wait; abrading: the same two figures as for the work. placeholder: the
    keys of a step's text that nobody typed, for which a figure of ``labour.py`` stands. hands: 1 or
    2; may_be_two: it is for one, and two who share it take half as long.
    """

    base_s: float
    per_m2_s: float
    hands: int
    follow_s: float | None
    abrading: tuple[float, float]
    spray_space: bool
    place: str
    placeholder: frozenset[str]
    may_be_two: bool = False

    def lasts_s(self, area_m2: float | None) -> float:
        """Return how long hands are busy. area_m2: of the whole lot, None where nobody knows it."""
        return self.base_s + self.per_m2_s * _known(area_m2)

    def abrading_s(self, area_m2: float | None) -> float:
        """Return how long the abrading takes where the window of the coat below was missed."""
        base_s, per_m2_s = self.abrading
        return base_s + per_m2_s * _known(area_m2)


def labour_of(step: Step, *, sprayed: bool) -> Labour:
    """Return what work a step is. sprayed: with a tool that sprays.

    A wash is rinsed at once where nothing else was typed.
    """
    base_min, per_m2_min = MINUTES[step.kind]
    if step.labour_s is not None:
        base_min, per_m2_min = step.labour_s / 60, (step.labour_s_m2 or 0.0) / 60
    elif step.labour_s_m2 is not None:
        per_m2_min = step.labour_s_m2 / 60
    typed = {
        "labour": step.labour_s is not None,
        "hands": step.hands is not None,
        "follow": step.follow_s is not None or step.kind != "dwell",
        "abrading": step.abrading_s is not None or step.kind != "coat",
    }
    follow_s = 0.0 if step.kind == "dwell" else None
    abrading_min = ABRADING_MIN if step.abrading_s is None else (step.abrading_s / 60, 0.0)
    is_sprayed = sprayed and step.kind == "coat"
    return Labour(
        base_s=60 * base_min,
        per_m2_s=60 * per_m2_min,
        hands=HANDS if step.hands is None or step.hands == "1-2" else step.hands,
        follow_s=follow_s if step.follow_s is None else step.follow_s,
        abrading=(60 * abrading_min[0], 60 * abrading_min[1]),
        spray_space=is_sprayed if step.spray_space is None else step.spray_space,
        place=step.place,
        placeholder=frozenset(key for key, is_typed in typed.items() if not is_typed),
        may_be_two=step.hands == "1-2",
    )


def _known(area_m2: float | None) -> float:
    return UNKNOWN_AREA_M2 if area_m2 is None else area_m2


def labour_notes(route: Route) -> tuple[str, ...]:
    """Say which figures of a route's work are hardly ever so, as they were read."""
    return tuple(
        f"{step.name}: {key} {format_duration(seconds)}{unit} is long: check it"
        for step in route.steps
        for key, seconds, most_s, unit in (
            ("labour", step.labour_s, MUCH_LABOUR_S, ""),
            ("labour_m2", step.labour_s_m2, MUCH_LABOUR_S_M2, " a m2"),
        )
        if seconds is not None and seconds > most_s
    )

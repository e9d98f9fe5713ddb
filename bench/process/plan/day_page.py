"""A day of a plan: who does what when, what comes next, and what has a latest hour."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bench.process.ahead.attendance import Stay
from bench.process.clocks.temperature import Hours
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.wording.time_text import format_clock

SPRAY_SPACE = "spray space"
NOBODY = "nobody free"
"""The lane of a step for which no painter was free for all of it."""

AT_A_TIME = 3
"""So many things each painter is shown: more nobody keeps in mind."""


@dataclass(frozen=True)
class Stretch:
    """What a lane shows from one instant to another: a tag, and the sign it is filled with."""

    since: datetime
    until: datetime
    tag: str
    sign: str


@dataclass(frozen=True)
class Lane:
    """A line of the day: a painter's, or the spray space's."""

    name: str
    stretches: tuple[Stretch, ...]


SIGNS = {"=": "work", "m": "mixing", "/": "abrading", "x": "masks on"}
"""What fills a lane: for a legend."""


def lanes(
    plan: WorkPlan,
    day: Stay,
    painters: Sequence[str],
    takes_space: Callable[[AgreedStep], bool],
    wears_mask: Callable[[AgreedStep], bool],
    clearance: timedelta = timedelta(0),
) -> tuple[Lane, ...]:
    """Return a lane for each painter, one for what nobody was given, one for the spray space.

    day: from when to when it is shown. clearance: so long masks stay on after isocyanate.
    """
    steps = [s for s in plan.steps if s.starts < day[1] and s.ends + clearance > day[0]]
    by_name = [
        Lane(name, _stretches(step for step in steps if name in step.painters)) for name in painters
    ]
    nobody = _stretches(step for step in steps if not step.painters)
    sprayed = [step for step in steps if takes_space(step)]
    masked = [step for step in sprayed if wears_mask(step)]
    space = (
        *(Stretch(step.ends, step.ends + clearance, "", "x") for step in masked if clearance),
        *(
            Stretch(step.begins, step.ends, step.tag, "x" if step in masked else "=")
            for step in sprayed
        ),
    )
    return (
        *by_name,
        *([Lane(NOBODY, nobody)] if nobody else []),
        *([Lane(SPRAY_SPACE, space)] if space else []),
    )


def _stretches(steps: Iterable[AgreedStep]) -> tuple[Stretch, ...]:
    """Return what fills a lane: abrading, mixing and the step, one behind the other."""
    stretches = []
    for step in steps:
        before = ((step.mixes_at, "m"), (step.abrading_from, "/"))
        phases = sorted((at, sign) for at, sign in before if at is not None)
        phases.append((step.begins, "="))
        ends = [*(at for at, _ in phases[1:]), step.ends]
        stretches += [
            Stretch(since, until, step.tag, sign)
            for (since, sign), until in zip(phases, ends, strict=True)
            if since < until
        ]
    return tuple(stretches)


def hours_of(day: date, hours: Hours, plan: WorkPlan) -> Stay:
    """Return what is shown of a day, in the shop's zone, from one full hour to another.

    That is its hours, or 06:00 to 20:00 where nobody is in or always somebody is, and what is
    planned beside them.
    """
    midnight = datetime.combine(day, time(), hours.zone)
    first, last = midnight + timedelta(hours=6), midnight + timedelta(hours=20)
    there = [span for span in hours.spans(midnight, 1) if span[0].date() == day]
    if there and not hours.always_in:
        first, last = there[0][0].replace(minute=0), there[-1][1]
    for step in plan.steps:
        begins, ends = (at.astimezone(hours.zone) for at in (step.starts, step.ends))
        if begins.date() == day:
            first = min(first, begins.replace(minute=0))
            last = max(last, min(ends, midnight + timedelta(days=1)))
    return first, last


def next_of(plan: WorkPlan, name: str, now: datetime) -> tuple[AgreedStep, ...]:
    """Return the next things a painter does: those that are not done, the late ones too."""
    mine = [step for step in plan.steps if name in step.painters]
    return tuple(sorted(mine, key=lambda step: step.starts)[:AT_A_TIME])


def begun_by(plan: WorkPlan, day: Stay) -> tuple[AgreedStep, ...]:
    """Return what a day has to begin by an hour of it, the soonest hour first."""
    closing = [s for s in plan.steps if s.closes is not None and day[0] <= s.closes < day[1]]
    return tuple(sorted(closing, key=lambda step: (step.closes or step.begins, step.starts)))


def first_of(plan: WorkPlan, day: Stay) -> tuple[AgreedStep, ...]:
    """Return what a day starts with: the first things of each painter, in order of their hours."""
    there = [step for step in plan.steps if day[0] <= step.starts < day[1]]
    names = {name for step in there for name in step.painters}
    firsts = {
        min((s for s in there if name in s.painters), key=lambda s: (s.starts, s.tag))
        for name in names
    }
    return tuple(sorted(firsts, key=lambda step: (step.starts, step.tag)))


def is_over(plan: WorkPlan, now: datetime) -> bool:
    """Say whether all that is planned should be done, and is not."""
    return bool(plan.steps) and max(step.ends for step in plan.steps) < now


def step_words(step: AgreedStep, now: datetime) -> str:
    """Say when a step begins: "10:45 tag 12 Gloss 1 (mix 10:25)". now: in the shop's zone."""
    told = [*hours_told(step, now)]
    before = f" ({', '.join(told)})" if told else ""
    return f"{format_clock(step.begins, now)} {_called(step)}{before}"


def hours_told(step: AgreedStep, now: datetime) -> Iterator[str]:
    """Say when it is abraded for, mixed for and moved: "mix 10:25". now: in the shop's zone."""
    hours = ("abrade", step.abrading_from), ("mix", step.mixes_at), ("move", step.moved_at)
    yield from (f"{what} {format_clock(at, now)}" for what, at in hours if at is not None)
    if step.open_pot:
        yield f"pot {step.open_pot}"


def in_hand_words(step: AgreedStep, now: datetime) -> str:
    """Say until when a step takes that is begun: "in hand until 09:20: tag 12 Mordant wash"."""
    return f"in hand until {format_clock(step.ends, now)}: {_called(step)}"


def _called(step: AgreedStep) -> str:
    share = f" {step.share[0]}/{step.share[1]}" if step.share[1] > 1 else ""
    return f"tag {step.tag} {step.name}{share}"


def who_words(step: AgreedStep, now: datetime) -> str:
    """Say when a step begins and who begins it: "07:50 tag 2 Etch primer, mist: Una"."""
    who = f": {' and '.join(step.painters)}" if step.painters else ""
    return f"{step_words(step, now)}{who}"


def begin_by_words(step: AgreedStep, now: datetime) -> str:
    """Say by when a step begins at the latest: "begin by 14:05: tag 12 Gloss 1"."""
    closes = step.closes or step.begins
    return f"begin by {format_clock(closes, now)}: tag {step.tag} {step.name}"


def planned_words(plan: WorkPlan | None, tag: str, now: datetime) -> str:
    """Say when a part's next step is planned, for its stand: "plan 10:45"; else nothing."""
    steps = plan.of_part(tag) if plan is not None else ()
    if not steps:
        return ""
    at = steps[0].starts
    is_late = at < now - LATE_AFTER
    return f"plan {format_clock(at, now, weekday=False)}{' LATE' if is_late else ''}"


LATE_AFTER = timedelta(minutes=10)
"""Two slots: less nobody calls late (house rule)."""


def days_of(plan: WorkPlan, now: datetime) -> tuple[date, ...]:
    """Return the days on which something is planned, today first. now: in the shop's zone."""
    days = {step.starts.astimezone(now.tzinfo).date() for step in plan.steps}
    return tuple(sorted({now.date(), *(day for day in days if day >= now.date())}))

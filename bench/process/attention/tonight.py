"""What somebody may miss before the shop opens again: washes, windows, work in hand, pots, guns."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay
from bench.process.ahead.unattended import missed_between
from bench.process.attention.standing import Standing, place_words
from bench.process.attention.todo_list import cold_tasks
from bench.process.clocks.edges import next_edge
from bench.process.clocks.pots import Gun, Pot, gun_left_s, pot_word
from bench.process.clocks.temperature import Hours
from bench.process.parts.part import StepRecord, wet_zones
from bench.process.wording.time_text import join_names

RUINED_NOW, BY_THEN, ANY_HOUR, LOST = range(4)
"""What is being ruined now, what can be saved by an hour, what has none, what is lost already."""

Ranked = tuple[int, float, str]
"""A line with what it is sorted by: one of those four, then the seconds left."""


def night_lines(
    parts: Sequence[Standing],
    pots: Iterable[Pot],
    guns: Iterable[Gun],
    night: Stay,
    hours: Hours,
    now: datetime,
) -> tuple[str, ...]:
    """Return only what somebody may miss, what can still be saved above what is lost already.

    A part that waits, or that can start and loses nothing by waiting, is left out; a later window
    that opens and closes with the shop closed is not. night: from now to when somebody is in again;
    now: in the shop's zone.
    """
    pots, guns = tuple(pots), tuple(guns)
    with_pot = {gun.letter for gun in guns if any(_ends_with(gun, pot, night, now) for pot in pots)}
    lines = [
        *(line for standing in parts for line in _in_hand(standing, night, now)),
        *_closing(parts, night, hours, now),
        *_cold(parts, now),
        *_guns((gun for gun in guns if gun.letter not in with_pot), now),
        *_pots(pots, with_pot, night, now),
    ]
    return tuple(text for _, _, text in sorted(lines))


def _in_hand(standing: Standing, night: Stay, now: datetime) -> Iterator[Ranked]:
    record = standing.part.current()
    if record is None or record.status != "in hand":
        return
    if wet := wet_zones(record):
        for mark in wet:
            if mark.begun_at is not None:
                yield _wash(standing, record, mark.name, mark.begun_at, now)
        return
    closes = standing.state.closes
    is_close = closes is not None and closes.at < night[1]
    when = f"by {closes.words(now)} " if is_close and closes else ""
    faces = len(record.open_marks())
    left = f", {faces} face{'s' * (faces > 1)} left" if faces else ""
    text = f"{when}WORKING {standing.place}: {record.step.name}{left}"
    rank, left_s = (BY_THEN, closes.left_s(now)) if is_close and closes else (ANY_HOUR, 0.0)
    yield rank, left_s, f"{text}{standing.had_by}"


def _wash(
    standing: Standing, record: StepRecord, zone: str, begun_at: datetime, now: datetime
) -> Ranked:
    least, most = (
        begun_at + timedelta(seconds=s) for s in (record.step.least_s, record.step.most_s)
    )
    fixed = standing.clocks.fixed
    opens, closes = fixed(least, "opening"), fixed(most, "closing")
    left_s = closes.left_s(now)
    if most <= now:
        text = f"RINSE NOW {standing.place}: rinse {zone}, it was due {closes.words(now)}"
        return RUINED_NOW, left_s, f"{text}{standing.had_by}"
    word, since = ("RINSE", "") if least <= now else ("SOAK", f", not before {opens.words(now)}")
    text = f"by {closes.words(now)} {word} {standing.place}: rinse {zone}{since}"
    return BY_THEN, left_s, f"{text}{standing.had_by}"


def _closing(
    parts: Sequence[Standing], night: Stay, hours: Hours, now: datetime
) -> Iterator[Ranked]:
    """Yield each window that closes before somebody can use it, of a part on hold too."""
    by_tag = {standing.part.tag: standing for standing in parts}
    clocks = [(s.part, s.clocks) for s in parts if _is_next(s)]
    for event in missed_between(clocks, (), night, hours, now):
        standing = by_tag[event.tag]
        record = standing.part.current()
        step = record.step.name if record is not None else ""
        opens = event.opens or next_edge(standing.coat_turns(now), "opening", now)
        is_before = opens is not None and opens.at < event.closes.at
        opening = f", opens {opens.words(now)}" if is_before and opens else ""
        opening += " with the shop closed" if event.opens else ""
        text = f"by {event.closes.words(now)} {standing.place}: {step}{opening}, or {event.word}"
        yield BY_THEN, event.closes.left_s(now), f"{text}{standing.aside}{standing.had_by}"


def _is_next(standing: Standing) -> bool:
    record = standing.part.current()
    return record is not None and record.status == "todo"


def _cold(parts: Sequence[Standing], now: datetime) -> Iterator[Ranked]:
    for task in cold_tasks(((s.part, s.cold) for s in parts), now):
        yield ANY_HOUR, 1.0, f"COLD {place_words(task.stand, task.tag)}: {task.text}"


def _guns(guns: Iterable[Gun], now: datetime) -> Iterator[Ranked]:
    for gun in guns:
        left_s, what = gun_left_s(gun, now), f"FLUSH every gun of pot {gun.letter} {gun.name}"
        if left_s is None or gun.end is None:
            yield ANY_HOUR, 2.0, f"{what} when you stop"
        elif left_s > 0:
            yield BY_THEN, left_s, f"by {gun.end.words(now)} {what}"
        else:
            yield LOST, 0.0, f"NOW {what}: it was due {gun.end.words(now)}"


def _ends_with(gun: Gun, pot: Pot, night: Stay, now: datetime) -> bool:
    """Return whether a gun is flushed by the hour at which its pot is binned tonight."""
    ends = pot.bin_by
    return (gun.letter, gun.flush_by) == (pot.letter, ends) and _is_tonight(ends, night, now)


def _is_tonight(ends: datetime | None, night: Stay, now: datetime) -> bool:
    return ends is not None and now < ends < night[1]


def _pots(
    pots: Iterable[Pot], with_gun: Collection[str], night: Stay, now: datetime
) -> Iterator[Ranked]:
    """Yield one line for the pots whose life ends, the first one first, and one for those past.

    with_gun: the pots whose gun is flushed by the same hour.
    """
    ending = [(p.end, p.letter) for p in pots if p.end and _is_tonight(p.bin_by, night, now)]
    ending.sort(key=lambda entry: entry[0].at)
    if ending:
        gun = dict.fromkeys(with_gun, " and FLUSH its gun")
        each = ", ".join(f"pot {x}{gun.get(x, '')} by {end.words(now)}" for end, x in ending)
        yield BY_THEN, ending[0][0].left_s(now), f"BIN {each}"
    lost: dict[str, list[str]] = {}
    for pot in pots:
        if pot_word(pot, now) == "BIN":
            lost.setdefault(pot.off or "past its life", []).append(f"pot {pot.letter} {pot.name}")
    for why, names in lost.items():
        yield LOST, 1.0, f"NOW BIN {join_names(names)}: {why}"

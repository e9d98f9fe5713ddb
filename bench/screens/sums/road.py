"""A sum as a road of questions that ends in an answer.

A road is a generator: it yields what it asks, gets each answer, and returns what it tells. So a
later question may hang on an earlier answer, and question and use of a figure stand side by side.
A road is pure: the same facts and answers give the same end, which is why a screen may walk it
anew after every answer. It raises ValueError where the numbers do not go together.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from bench.process.conditions import is_old
from bench.process.product import Product
from bench.process.spoken import clock_words
from bench.screens.ask import Asked
from bench.screens.sums.told import Refused, Told
from bench.shop.sight import BenchView

T = TypeVar("T")

Asking = Generator[Asked, float | None, T]
"""Some questions, and what is made of their answers."""

Road = Asking[Told]

MOST_ASKED = 60
"""No sum asks more; a set of readings may be as long."""

USUAL = "usual"
"""Where a value comes from that no sheet and no reading gives: common practice, no source."""


@dataclass(frozen=True)
class Facts:
    """What is known when a sum is asked for. product: the next coat's on the chosen stand."""

    view: BenchView
    now: datetime
    product: str = ""


@dataclass(frozen=True)
class Sum:
    """One sum. told: what it is and what to mind, in a line or two above its numbers."""

    title: str
    told: tuple[str, ...]
    road: Callable[[Facts], Road]


@dataclass(frozen=True)
class Group:
    """Sums that are looked for together."""

    title: str
    sums: tuple[Sum, ...]


@dataclass(frozen=True)
class Course:
    """How far answers lead: all that is asked on the way, and the end, None while it goes on."""

    asked: tuple[Asked, ...]
    end: Told | Refused | None


def follow(
    sum_: Sum, facts: Facts, answers: Sequence[float | None], *, ahead: bool = False
) -> Course:
    """Walk a sum's road with these answers. ahead: then on with what is usual, to its end."""
    asked: list[Asked] = []
    waiting = list(answers)
    road = sum_.road(facts)
    try:
        question = next(road)
        while waiting or (ahead and len(asked) < MOST_ASKED):
            answer = waiting.pop(0) if waiting else usual(question)
            asked.append(question)
            question = road.send(answer)
    except StopIteration as end:
        return Course(tuple(asked), end.value)
    except ValueError as fault:
        return Course(tuple(asked), Refused(str(fault)))
    return Course((*asked, question), None)


def asked_so_far(sum_: Sum, facts: Facts, answers: Sequence[float | None]) -> tuple[Asked, ...]:
    """What is asked, for the screen of numbers: no more than is answered once the road has ended.

    Questions ahead are those that would come if Enter were pressed from here on.
    """
    course = follow(sum_, facts, answers)
    return course.asked if course.end else follow(sum_, facts, answers, ahead=True).asked


def usual(asked: Asked) -> float | None:
    """What Enter would take, or the example where it takes nothing."""
    return asked.start if asked.start is not None or not asked.must else asked.such_as


# -- questions ----------------------------------------------------------------


def number(
    what: str,
    unit: str = "",
    start: float | None = None,
    known_from: str = "",
    *,
    such_as: float | None = None,
    whole: bool = False,
) -> Asking[float]:
    """A number that there must be."""
    answer = yield Asked(what, unit, start, known_from=known_from, such_as=such_as, whole=whole)
    assert answer is not None, "a number that must be given cannot be left empty"
    return answer


def maybe(what: str, unit: str, such_as: float, empty: str) -> Asking[float | None]:
    """A number that may be left empty, and what that means."""
    return (yield Asked(what, unit, must=False, such_as=such_as, empty=empty))


def several(what: str, unit: str, such_as: float) -> Asking[tuple[float, ...]]:
    """One number after the other, until a line is left empty."""
    found = [(yield from number(f"{what} 1", unit, such_as=such_as))]
    while len(found) < MOST_ASKED // 2:
        more = yield from maybe(f"{what} {len(found) + 1}", unit, such_as, "no more")
        if more is None:
            break
        found.append(more)
    return tuple(found)


def pick(what: str, choices: Sequence[str], start: int = 0) -> Asking[int]:
    """One of these: its place in the list. start: the place that Enter takes."""
    answer = yield Asked(what, start=start + 1.0, choices=tuple(choices))
    assert answer is not None, "a choice always has one that Enter takes"
    return int(answer) - 1


def product(facts: Facts, fits: Callable[[Product], bool], without: str) -> Asking[Product | None]:
    """A product that fits, the chosen stand's if Enter is pressed, or none of them."""
    offered = [each for each in facts.view.products.values() if fits(each)]
    keys = [each.key for each in offered]
    start = keys.index(facts.product) if facts.product in keys else 0
    which = yield from pick("product", [*(each.name for each in offered), without], start)
    return offered[which] if which < len(offered) else None


def sheet_number(
    what: str, unit: str, value: float | None, from_product: Product | None, such_as: float
) -> Asking[float]:
    """A number that a product's sheet may give."""
    if value is None or from_product is None:
        return (yield from number(what, unit, such_as=such_as))
    return (yield from number(what, unit, value, from_product.source))


def air(facts: Facts) -> Asking[float]:
    """The air's temperature, as it was last read."""
    read = facts.view.reading()
    return (yield from _read_number(facts, "air", "C", read.air_c if read else None, 20))


def humidity(facts: Facts) -> Asking[float]:
    """The relative humidity, as it was last read."""
    read = facts.view.reading()
    return (yield from _read_number(facts, "humidity", "%", read.rh_pct if read else None, 65))


def metal(facts: Facts) -> Asking[float]:
    """The metal's temperature, as it was last read."""
    read = facts.view.reading()
    return (yield from _read_number(facts, "metal", "C", read.metal_c if read else None, 15))


def paint_temperature(facts: Facts, what: str) -> Asking[float]:
    """The temperature paint ages at, as it was last read: the metal's, else the air's."""
    read = facts.view.reading()
    return (yield from _read_number(facts, what, "C", read.paint_c if read else None, 20))


def _read_number(
    facts: Facts, what: str, unit: str, value: float | None, such_as: float
) -> Asking[float]:
    read = facts.view.reading()
    if read is None or value is None:
        return (yield from number(what, unit, such_as=such_as))
    old = "OLD, " if is_old(read.at, facts.now) else ""
    return (yield from number(what, unit, value, f"{old}read {clock_words(read.at, facts.now)}"))

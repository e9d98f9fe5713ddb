"""The questions that others are made of: one of these, a number, what is mixed, a piece."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar, get_args

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.mixing import ratio_with_thinner
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.sums.known_values import Fact
from bench.sums.checked_ratio import Blend
from bench.sums.inputs import DENSITY, THINNER_SHARE
from bench.sums.model import Input
from bench.trade import mixing
from bench.trade.film import TYPICAL_AREAS_M2
from bench.trade.mixing import MOST_PART, By, Of, Ratio, Share
from bench.trade.sections import (
    MOST_HOLES,
    MOST_SIZE_MM,
    Formed,
    SectionPiece,
    Shape,
    piece_of,
)

T = TypeVar("T")

Asking = Generator[NumberQuestion, float | None, T]
"""Some questions, and what is made of their answers."""

USUAL = "usual"
"""Where a value comes from that no sheet and no reading gives: common practice, no source."""


def pick(what: str, choices: Sequence[str], start: int = 0) -> Asking[int]:
    """One of these: its place in the list. start: the place that Enter takes."""
    answer = yield NumberQuestion(what, start=start + 1.0, choices=tuple(choices))
    assert answer is not None, "a choice always has one that Enter takes"
    return int(answer) - 1


def number(each: Input, fact: Fact | None = None, *_: Any, must: bool | None = None) -> Asking[Any]:
    """A number within its range, or None where it may be left out."""
    start = fact.value if fact else each.usual if each.usual is not None else each.offered
    source = fact.source if fact else "" if start in (None, 0) else USUAL
    optional = each.optional if must is None else not must
    answer = yield NumberQuestion(
        each.label, each.unit, start, not optional, source,
        each.example if isinstance(each.example, int | float) else None,
        whole=each.kind == "whole", empty=each.empty,
    )  # fmt: skip
    if answer is None:
        return None
    each.check(answer)
    return int(answer) if each.kind == "whole" else answer


# -- what is mixed: a product of the shop, or a ratio typed off another tin ------------------------

_OTHER_PARTS = ("hardener", "activator", "nothing: one part only")
OF_WORDS: dict[Of, str] = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}


def tin_in_hand(product: Asking[Product | None]) -> Asking[tuple[Blend, Product | None]]:
    """A product of the shop, or a ratio typed off another tin. product: the question for it."""
    known = yield from product
    ratio = (yield from _ratio()) if known is None else (yield from _thinned(known))
    blend = Blend(ratio, known.densities or None if known else None)
    return (yield from with_densities(blend, known)) if ratio.by == "weight" else blend, known


def _thinned(known: Product) -> Asking[Ratio]:
    thinner_pct = None
    if known.thinner is not None:
        question = replace(THINNER_SHARE, label=f"thinner, of {OF_WORDS[known.thinner.of]}")
        thinner_pct = yield from number(
            question, Fact(known.thinner.least_pct, known.source_of("thinner")), must=True
        )
    allowed = ratio_with_thinner(known, thinner_pct)
    if isinstance(allowed, Refusal):
        raise ValueError(str(allowed))
    return allowed


def _parts_of(role: str, example: float) -> Input:
    return Input(role, f"parts of {role}", over=0, most=MOST_PART, example=example)


def _ratio() -> Asking[Ratio]:
    shares = [Share("base", (yield from number(_parts_of("base", 4))))]
    other = yield from pick("the other part", _OTHER_PARTS)
    if other < 2:
        role = _OTHER_PARTS[other]
        shares.append(Share(role, (yield from number(_parts_of(role, 1)))))
    by = get_args(By)[(yield from pick("the ratio is by", get_args(By)))]
    thinner_pct = yield from number(replace(THINNER_SHARE, usual=0), must=True)
    of: Of = "mixed"
    if thinner_pct:
        of = get_args(Of)[(yield from pick("percent of", tuple(OF_WORDS.values()), 1))]
    ratio = Ratio(tuple(shares), by, thinner_pct, of)
    mixing.check_ratio(ratio)
    return ratio


def with_densities(blend: Blend, known: Product | None) -> Asking[Blend]:
    """It with grams a millilitre of each part: a scale and a cup meet nowhere else."""
    densities = {}
    for role in blend.roles:
        value = known.densities.get(role) if known else None
        question = replace(DENSITY, label=f"density of {role}", example=1.2)
        fact = Fact(value, known.source_of("densities")) if known and value is not None else None
        densities[role] = yield from number(question, fact)
    return replace(blend, densities=densities)


# -- a piece: from its sizes, one question a size, or a typical one -------------------------------

_FORMED: tuple[Formed, ...] = ("cold", "hot")
_FORMED_WORDS = ("cold formed: rounder corners", "hot formed")


@dataclass(frozen=True)
class _Kind:
    """A kind of piece: its sizes in mm, with an example of each, and its shape."""

    name: str
    sizes: tuple[tuple[str, float], ...]
    shape: Shape


_FLAT_SIDED = (
    _Kind("square or rectangular box", (("width", 100), ("height", 100), ("wall", 5)), "box"),
    _Kind("angle", (("leg", 60), ("other leg", 60), ("thickness", 6)), "angle"),
    _Kind(
        "channel",
        (("height", 100), ("flange", 50), ("web", 6), ("flange thickness", 8.5)),
        "channel",
    ),
    _Kind("flat bar", (("width", 50), ("thickness", 6)), "flat"),
)
_BY_SURFACE = (_Kind("round tube or rod", (("diameter", 48.3),), "rod"), *_FLAT_SIDED)
"""What a surface can be worked out of: that of a tube does not hang on its wall."""
_BY_MASS = (
    _Kind("round tube", (("diameter", 48.3), ("wall", 3.2)), "chs"),
    *_FLAT_SIDED,
    _Kind("rod", (("diameter", 20),), "rod"),
)
_PLATE, _TYPICAL = "plate, drilled or not", "a typical part"
_RADII = {"angle": (8.0, 4.0), "channel": (8.5, 4.0)}
"""Root and toe radius, as examples; without them the area is up to 4 % too much."""


def piece(*_: Any) -> Asking[SectionPiece | str]:
    """A piece whose sizes are asked for, or the name of a typical one."""
    found = yield from _sized(_BY_SURFACE, _TYPICAL)
    if found is not None:
        return found
    names = tuple(TYPICAL_AREAS_M2)
    return names[(yield from pick("which part", names))]


def section(*_: Any) -> Asking[SectionPiece | None]:
    """A piece whose sizes are asked for, those that its mass hangs on too."""
    return (yield from _sized(_BY_MASS))


def _sized(kinds: Sequence[_Kind], *others: str) -> Asking[SectionPiece | None]:
    """The piece of one of these kinds, or a plate; None where one of the others was chosen."""
    which = yield from pick("piece", [*(kind.name for kind in kinds), _PLATE, *others])
    if which > len(kinds):
        return None
    return (yield from _bar(kinds[which]) if which < len(kinds) else _plate())


def _size(what: str, example: float) -> Input:
    return Input(what, what, "mm", over=0, most=MOST_SIZE_MM, example=example)


def _bar(kind: _Kind) -> Asking[SectionPiece]:
    sizes: list[float] = []
    for what, example in kind.sizes:
        sizes.append((yield from number(_size(what, example))))
    formed: Formed = "cold"
    if kind.shape == "box":
        formed = _FORMED[(yield from pick("formed", _FORMED_WORDS))]
    if kind.name in _RADII:
        for what, example in zip(("root radius", "toe radius"), _RADII[kind.name], strict=True):
            radius = Input(what, what, "mm", least=0, most=MOST_SIZE_MM, usual=0, example=example)
            sizes.append((yield from number(radius)))
    return piece_of(kind.shape, tuple(sizes), kind.name, formed)


def _plate() -> Asking[SectionPiece]:
    sizes: list[Any] = []
    for what, example in (("length", 200), ("width", 120), ("thickness", 6)):
        sizes.append((yield from number(_size(what, example))))
    holes = Input("holes", "holes", "", "whole", least=0, most=MOST_HOLES, usual=0, example=4)
    count, hole_mm = (yield from number(holes)), 0.0
    if count:
        hole_mm = yield from number(_size("diameter of a hole", 13))
    return piece_of("plate", (*sizes, count, hole_mm), _PLATE)

"""What a calculation is made of: its inputs, its function, its results, an example."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any, Literal

from bench.trade import checked

InputKind = Literal[
    "number", "whole", "flag", "choice", "numbers", "pairs", "table", "amount", "by part",
    "ratio", "piece", "section", "moment", "log", "tool", "shop",
]  # fmt: skip
"""What a value is, and so how it is read and asked for; what compute() is then given:

number, whole: a float or an int within the input's range; flag: a bool; choice: what ``take`` makes
of its key; numbers: a tuple; pairs: a tuple of pairs; table: a TimeTable; amount: a Quantity; by
part: Quantities by part; ratio: a Blend; section: a SectionPiece; piece: one, or the name of a
typical one; moment: a datetime; log: a TemperatureLog; tool: a spray tool of the shop; shop: what
only a shop knows.
"""

RoundingSide = Literal["up", "down", "nearest", "wait", "progress"]
"""Where it is safe to round to. wait: up for a wait, down for a life; progress: the other way."""

Values = Mapping[str, Any]

InputNamespace = SimpleNamespace
"""The values of a calculation by the names of its inputs, as ``inputs.area``: Kind says what each
is. What was left out is None, or what is usual; so is all of the ways that were not taken."""


class UsageFault(ValueError):
    """Raised when inputs that are right one by one do not go together."""


@dataclass(frozen=True)
class Quantity:
    """A size with the unit it was given in."""

    size: float
    unit: str


@dataclass(frozen=True)
class Input:
    """One thing a calculation asks for.

    name: of its value in compute() and the option (``most_rh`` is ``--most-rh``); label: what the
    screen asks; help: what the command line adds; over, least, most: its range in ``unit``, of a
    list its length, and because: why; usual: taken where nothing is said; offered: taken by Enter
    on the screen, typed on the command line; optional: may be left out, and then is None (``empty``
    says what that means); example: in ``unit``, or as it is typed, or one for each in turn;
    choices: key to label; take: makes the value of a key, ValueError where it is none; of: the
    numbers a list, a pair or an amount is made of; asked: False where the screen does not ask;
    known: the fact of the shop that the screen starts from; when: whether it is asked at all, by
    the values before it.
    """

    name: str
    label: str
    unit: str = ""
    kind: InputKind = "number"
    help: str = ""
    over: float | None = None
    least: float | None = None
    most: float | None = None
    usual: Any = None
    offered: float | None = None
    optional: bool = False
    empty: str = "not known"
    example: Any = None
    choices: Mapping[str, str] = field(default_factory=dict)
    take: Callable[[str], Any] | None = None
    because: str = ""
    of: tuple[Input, ...] = ()
    bare: bool = False
    positional: bool = False
    asked: bool = True
    known: str = ""
    when: Callable[[Values], bool] | None = None

    @property
    def option(self) -> str:
        """Return the name as it is typed on the command line."""
        name = self.name.strip("_").replace("_", "-")
        return name.upper() if self.positional else f"--{name}"

    @property
    def required(self) -> bool:
        """Return whether the calculation cannot do without it."""
        return not self.optional and self.usual is None

    @property
    def such_as(self) -> str:
        """Return the example as a person types it."""
        if isinstance(self.example, str):
            return self.example
        example = self.example[-1] if isinstance(self.example, tuple) else self.example
        unit = {"degrees": "deg", "degrees C": "C"}.get(self.unit, self.unit)
        return "" if self.example is None else f"{example:g}{unit}"

    @property
    def range_words(self) -> str:
        """Return the range in words, empty where any number will do."""
        limits = checked.limits_in_words(self.over, self.least, self.most)
        return f"{limits} {self.unit}".strip() if limits else ""

    def check(self, value: float) -> float:
        """Return a number that is within the range.

        Raises ValueError: what was read, the range it is outside of, an example of what to type.
        """
        try:
            return checked.number(
                value, self.label, self.unit, over=self.over, least=self.least, most=self.most
            )
        except ValueError as fault:
            why = f": {self.because}" if self.because else ""
            raise ValueError(f"{fault}{why}; type e.g. {self.such_as}") from fault

    def chosen(self, key: str) -> Any:
        """Return the value of a choice's key. Raises ValueError naming the keys there are."""
        if self.take is not None:
            return self.take(key)
        if key not in self.choices:
            keys = ", ".join(self.choices)
            raise ValueError(f"read {key[:40]!r}, which is no {self.label}; type one of {keys}")
        return key


@dataclass(frozen=True)
class OneOf:
    """Several ways to say one thing: exactly one of them is taken, by its label."""

    label: str
    ways: Mapping[str, tuple[Input, ...]]
    optional: bool = False

    @property
    def asked(self) -> dict[str, tuple[Input, ...]]:
        """Return the ways that the screen offers."""
        return {label: way for label, way in self.ways.items() if way[0].asked}


@dataclass(frozen=True)
class Result:
    """One figure of an answer.

    key: its name in JSON; label: its name for people, which may name inputs and results in braces;
    empty for JSON alone. side, decimals: how it is rounded on every surface; without decimals to
    three figures. big: one of the few that matter. difference: degrees more or less. each: the
    figures of every row of a list, or of a group.
    """

    key: str
    label: str = ""
    unit: str = ""
    side: RoundingSide = "nearest"
    decimals: int | None = None
    kind: Literal["number", "text", "span", "moment", "basis", "list", "group"] = "number"
    big: bool = False
    difference: bool = False
    each: tuple[Result, ...] = ()


@dataclass(frozen=True)
class SumAnswer:
    """What a calculation gives: values by Result.key, a verdict in words, reasons, what to doubt.

    A value of None is null in JSON and no line for people. wait: the side of results that end a
    wait or a life.
    """

    values: Values
    verdict: str = ""
    good: bool = True
    why: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    wait: bool = True


@dataclass(frozen=True)
class Example:
    """A worked example: the line as it is typed, some of its results, where they are from."""

    line: str
    gives: Mapping[str, Any]
    source: str


@dataclass(frozen=True)
class Calculation:
    """One calculation. name: its word on the command line, which several may share; title: its own.

    compute: from every input's value to the results, which alone may be the answer; notes: what it
    is and what to mind, before its numbers; cautions: shown with every answer; product: what kind
    of product the screen offers first.
    """

    name: str
    title: str
    group: str
    inputs: tuple[Input | OneOf, ...]
    compute: Callable[[InputNamespace], SumAnswer | Values]
    results: tuple[Result, ...]
    example: Example
    source: str
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    product: str = ""

    def answer(self, values: Values) -> SumAnswer:
        """Return what comes of a value for every input. Raises ValueError."""
        answer = self.compute(InputNamespace(**values))
        return answer if isinstance(answer, SumAnswer) else SumAnswer(answer)

    def each_input(self) -> Iterator[Input]:
        """Yield every input, those of each way too."""
        for entry in self.inputs:
            if isinstance(entry, Input):
                yield entry
            else:
                for way in entry.ways.values():
                    yield from way

    @property
    def needs_a_shop(self) -> bool:
        """Return whether only a screen can answer it: the command line opens no shop."""
        return any(each.kind == "tool" for each in self.each_input())

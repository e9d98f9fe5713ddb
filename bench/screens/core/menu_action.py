"""What a painter can choose to do: an action is written once; menus, help and palette read it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from bench.process.refusals.refusal import Refusal
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import Flow, KeyWord
from bench.screens.dialogs.numbered import ChooseByNumber
from bench.screens.dialogs.questions import choose, show
from bench.shop.core.transaction import Outcome, Shop

if TYPE_CHECKING:
    from bench.app import Paintbench

P = ParamSpec("P")

BenchFlow = Callable[["Paintbench"], Flow]
"""Some questions that end in one function of shop, or a screen."""


def always(_: Paintbench) -> bool:
    """Say that there is something to do whatever the bench is like."""
    return True


@dataclass(frozen=True)
class Action:
    """An action: what menus and palette show, and the flow it begins.

    text: as it is shown, or what words it; group: the menu it stands in, by its title; letter: the
    key beside the keypad that begins it on the whole bench; word: what help says of that key, where
    it is not the text; when: whether there is something to do; number: its own in a menu where
    not every action is always there, 0 where its place is its number.
    """

    text: str | Callable[[Paintbench], str]
    flow: BenchFlow
    group: str = ""
    letter: str = ""
    word: str = ""
    when: Callable[[Paintbench], bool] = always
    number: int = 0

    @property
    def key(self) -> KeyWord:
        """Its letter, as the help lists it."""
        assert isinstance(self.text, str), "the words of a key stand still"
        return KeyWord((self.letter,), self.letter, self.word or self.text, beside=True)

    def words(self, bench: Paintbench) -> str:
        """Word it as it is now."""
        return self.text if isinstance(self.text, str) else self.text(bench)


async def menu(
    bench: Paintbench, title: str, actions: Iterable[Action], notes: Sequence[str] = ()
) -> bool:
    """Show some actions and begin the one that is chosen; False for back."""
    there = [action for action in actions if action.when(bench)]
    if all(action.number for action in there):
        flow = await _by_number(bench, title, there, notes)
    else:
        flow = await choose(bench, title, [(a.words(bench), a.flow) for a in there], notes)
    if flow is not None:
        await flow(bench)
    return flow is not None


async def _by_number(
    bench: Paintbench, title: str, actions: Sequence[Action], notes: Sequence[str]
) -> BenchFlow | None:
    texts = {action.number: action.words(bench) for action in actions}
    number = await bench.push_screen_wait(ChooseByNumber(title, texts, notes=notes))
    return next((action.flow for action in actions if action.number == number), None)


def doing(
    function: Callable[Concatenate[Shop, P], Outcome | Refusal], *args: P.args, **kwargs: P.kwargs
) -> BenchFlow:
    """Give the flow that asks nothing and only calls a function of shop."""

    async def flow(bench: Paintbench) -> None:
        bench.do(function, *args, **kwargs)

    return flow


def page(screen: type[BenchScreen[None]]) -> BenchFlow:
    """Give the flow that only shows a screen."""
    return lambda bench: show(bench, screen())

"""Overriding by keypad: every rule in the way is shown, and each has an answer of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from bench.process.attention.handover import HandoverBlock
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import AIR_SUPPLIES, OTHER
from bench.screens.core.keys import KeyWord, Method
from bench.screens.dialogs.pin import do_signed
from bench.screens.dialogs.questions import ask_text, choose_text
from bench.screens.setup.painters import Sections
from bench.shop.core.transaction import Outcome, Shop
from bench.widgets.lines import wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

NO_REASON = "Breathing: no reason overrides this, only another air supply and a second person."
STAYS = "The answer stays in the log. The data sheet decides, not the bench."


class RulesInTheWay(Sections):
    """Every rule in the way; on the last page Enter goes on to the answers."""

    def __init__(self, title: str, rules: Sequence[Refusal]) -> None:
        super().__init__()
        self.named, self.rules = title, rules

    def heading(self) -> tuple[str, list[str]]:
        """What must be done, and how many rules there are."""
        title = f"{self.named}: {len(self.rules)} rules in the way"
        return title, ["Each needs its own answer. Nothing is done until all have one."]

    def sections(self, width: int) -> list[HandoverBlock]:
        """Each rule whole: what was read, and what to do."""
        items = [
            wrapped([f"{number}  {_whole(rule)}"], width)
            for number, rule in enumerate(self.rules, start=1)
        ]
        return [("RULES", items)]

    def idle(self) -> set[Method]:
        """No answers before the last rule was shown."""
        return {RulesInTheWay.turn if self.on_the_last else RulesInTheWay.say}

    def say(self) -> None:
        """To the answers, once the last page was shown."""
        if self.on_the_last:
            self.dismiss(True)

    KEYS = (
        KeyWord(("9",), "9", "next page", Sections.turn),
        KeyWord(("enter",), "Enter", "answer each", say),
        KeyWord(("0", "/"), "0", "back", Sections.back),
    )


def _whole(rule: Refusal) -> str:
    return f"{rule}. {NO_REASON}" if rule.override == "air supply" else str(rule)


async def over_rules(
    bench: Paintbench, title: str, act: Callable[[Shop, str, Override | None], Outcome | Refusal]
) -> Outcome | Refusal:
    """Do something; where rules are in the way, show each, ask for each answer and do it with them.

    The answers are signed where the painter has a PIN. Gives what was said last.
    """
    answer = bench.do(act, bench.painter, None)
    if isinstance(answer, Outcome) or answer.override == "never":
        return answer
    bench.said = None  # the pages say it, rule by rule
    override = await _answers(bench, title, (answer, *answer.also))
    done = await do_signed(bench, act, bench.painter, override) if override is not None else None
    return done or bench.tell(bench.said or answer)


async def _answers(bench: Paintbench, title: str, rules: Sequence[Refusal]) -> Override | None:
    """An answer to every rule, those about breathing first; None for back."""
    if len(rules) > 1 and not await bench.push_screen_wait(RulesInTheWay(title, rules)):
        return None
    breathing = [rule for rule in rules if rule.override == "air supply"]
    supply, second = "", ""
    if breathing:
        supply = await _air_supply(bench, title, breathing)
        second = await _second(bench, supply) if supply else ""
        if not second:
            return None
    by_reason = [rule for rule in rules if rule.override == "reason"]
    reasons = await _reasons(bench, title, by_reason)
    return None if reasons is None else Override(reasons, supply, second)


async def _reasons(
    bench: Paintbench, title: str, rules: Sequence[Refusal]
) -> dict[str, str] | None:
    """Why each rule is overridden, by its name; None for back."""
    reasons = {}
    for number, rule in enumerate(rules, start=1):
        heading = f"{title}, reason {number} of {len(rules)}: why override this?"
        reason = await _chosen(bench, heading, rule.reasons, [str(rule), STAYS], OTHER)
        if not reason:
            return None
        reasons[rule.name] = reason
    return reasons


async def _chosen(
    bench: Paintbench, title: str, offered: Sequence[str], notes: Sequence[str], alone: str = ""
) -> str:
    """One of those offered, or what was typed; empty for back. alone: what Enter alone writes."""
    chosen = await choose_text(bench, title, [*offered, OTHER], notes)
    if chosen != OTHER:
        return chosen or ""
    ask = f"Type it. Enter alone writes: {alone}." if alone else "Type it."
    typed = await ask_text(bench, title, "", [*notes, ask])
    return "" if typed is None else typed.strip() or alone


async def _air_supply(bench: Paintbench, title: str, breathing: Sequence[Refusal]) -> str:
    """What the mask is fed from instead; empty for back."""
    notes = [*map(str, breathing), NO_REASON]
    return await _chosen(bench, f"{title}: what feeds the mask instead?", AIR_SUPPLIES, notes)


async def _second(bench: Paintbench, supply: str) -> str:
    """The painter who stays with the other air supply; empty for back."""
    others = [name for name in bench.view.painters if name != bench.painter]
    if not others:
        bench.tell(Refusal("there is no second person", bench.painter, "wait for one"))
        return ""
    title = f"Air supply, {supply}: who stays with it?"
    return await choose_text(bench, title, others, [NO_REASON]) or ""

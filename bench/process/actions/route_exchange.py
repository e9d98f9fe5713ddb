"""Another route for a part: which of its work counts on it, and what is then still to do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import zip_longest

from bench.process.actions.begin_rules import clashes_ahead
from bench.process.parts.part import ALREADY_DONE, REPAIRS, Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.layers import clashes_on_route
from bench.process.sheets.product import Product
from bench.process.sheets.route import ZINC, Route, Step
from bench.process.sheets.system_film import is_mist

OVER_IT = "a coat was on when the route was changed"
"""Why a step of the new route is left out: what it comes before is done."""

ROUTE_CHANGED = "route changed from"
"""How the log words it; records and traces give what stands from here on."""


@dataclass(frozen=True)
class RouteExchange:
    """What becomes of a part's work on another route.

    kept: finished work that counts on it; extra: finished work it has no step for, which stays in
    the part's record; left_out: its steps that came before a coat that is on; ahead: to do.
    """

    route: Route
    kept: tuple[StepRecord, ...]
    extra: tuple[StepRecord, ...]
    left_out: tuple[Step, ...]
    ahead: tuple[Step, ...]

    def lines(self) -> tuple[str, ...]:
        """Say it all, for who is asked whether it is meant."""
        return tuple(
            f"{what}: {'; '.join(names)}"
            for what, names in (
                ("done, stays", [_name(record) for record in self.kept]),
                ("done, stays as extra work", [record.step.name for record in self.extra]),
                ("left out, a coat lies over it", [step.name for step in self.left_out]),
                ("to do", [step.name for step in self.ahead]),
            )
            if names
        )

    def part(self, part: Part) -> Part:
        """Return the part as it is on the new route; faces and zones of what is to do left out."""
        behind = finished_of(part)
        first = first_free(part)
        left_out = [StepRecord(n, s, "skipped") for n, s in enumerate(self.left_out, first)]
        first += len(left_out)
        ahead = [StepRecord(n, s) for n, s in enumerate(self.ahead, first)]
        return replace(part, substrate=self.route.substrate, steps=(*behind, *left_out, *ahead))


def exchange_route(
    part: Part, route: Route, products: Mapping[str, Product]
) -> RouteExchange | Refusal:
    """Return what becomes of a part's work on another route, or why it cannot go on it now.

    Finished work stays as it is, with its clocks; it counts for a step of the same kind and
    product, of work without a product for one of the same name, in order. A step of the new route
    that comes before a coat that is on is left out. Before any coat nothing is left out: from the
    first step that was not done all is to do.
    """
    refused = _not_now(part) or _other_metal(part, route)
    if refused is not None:
        return refused
    done = _counting(finished_of(part))
    pairs = _matched([_key(r.step, after) for r, after in _with_next(done, part)], _keys(route))
    coats = [(d, n) for d, n in pairs if route.steps[n].kind == "coat"]
    last_done, place = coats[-1] if coats else (-1, -1)
    kept = {d: n for d, n in pairs if n <= place}
    counted = set(kept.values())
    for d, n in pairs:
        if d > last_done and n == place + 1:
            place, kept[d] = n, n
    exchange = RouteExchange(
        route,
        kept=tuple(record for d, record in enumerate(done) if d in kept),
        extra=tuple(r for d, r in enumerate(done) if d not in kept and r.status == "done"),
        left_out=tuple(
            step
            for n, step in enumerate(route.steps[: coats[-1][1] if coats else 0])
            if n not in counted
        ),
        ahead=route.steps[place + 1 :],
    )
    return _against(part, exchange, products) or exchange


def finished_of(part: Part) -> tuple[StepRecord, ...]:
    """Return the steps that are behind a part: done, skipped or struck."""
    return tuple(record for record in part.steps if record.status != "todo")


def first_free(part: Part) -> int:
    """Return the number of the first step behind the finished ones."""
    return max((record.number for record in finished_of(part)), default=0) + 1


def _not_now(part: Part) -> Refusal | None:
    """Say why the part cannot be given another route just now."""
    current = part.current()
    if current is None:
        right = "send it to rework, or take it off and place it again"
        return Refusal(f"tag {part.tag}: everything on its route is done", "", right)
    if current.status == "in hand":
        right = "finish it, or undo its beginning"
        return Refusal(f"{current.step.name} is begun", "its clock runs", right)
    if part.rework:
        return Refusal(f"tag {part.tag} is in rework", part.rework, "do the repair first")
    return None


def _other_metal(part: Part, route: Route) -> Refusal | None:
    """Say that a route is for another surface; one nothing was done on may have been a slip."""
    same = route.substrate == part.substrate or {route.substrate, part.substrate} <= {*ZINC}
    if same or not finished_of(part):
        return None
    on, other = (words.replace("-", " ") for words in (part.substrate, route.substrate))
    return Refusal(f"{route.name} is for {other}", f"tag {part.tag} is {on}", f"a route for {on}")


def _against(
    part: Part, exchange: RouteExchange, products: Mapping[str, Product]
) -> Refusal | None:
    """Say what speaks against it: nothing new, a mist without its build, a layer not allowed."""
    route = exchange.route
    todo = tuple(record.step for record in part.steps if record.status == "todo")
    if exchange.ahead == todo and not exchange.left_out:
        right = "nothing was changed"
        return Refusal(f"on {route.name} the same steps are still to do", "", right)
    after = exchange.part(part)
    coats = part.done_coats()
    if coats and part.is_mist(coats[-1]) and not after.is_mist(coats[-1]):
        name = coats[-1].step.name
        return Refusal(f"{name} waits for its build", "the two are one coat", "spray it first")
    known = {(clash.product.key, clash.below) for clash in clashes_on_route(route, products)}
    for clash in clashes_ahead(after, products):
        if (clash.product.key, clash.below) not in known:
            words = clash.words(products).partition(", ")[2]
            return Refusal(words, "that is what lies on it", "choose a route that goes over it")
    return None


def once_again(records: Sequence[StepRecord]) -> list[StepRecord]:
    """Return finished steps, each once: a rework began some of them again, and the last counts."""
    each: list[StepRecord] = []
    reworked = False
    for record in records:
        if record.step.name in REPAIRS:
            reworked = True
            continue
        step = named_step(record)
        steps = [named_step(other) for other in each]
        if reworked and step in steps:
            del each[len(steps) - 1 - steps[::-1].index(step) :]
        reworked = False
        each.append(record)
    return each


def named_step(record: StepRecord) -> tuple[Step, tuple[str, ...]]:
    """Return a step, and the names of its faces or zones."""
    return record.step, tuple(mark.name for mark in record.marks)


def _name(record: StepRecord) -> str:
    return record.step.name + (" (skipped)" if record.status == "skipped" else "")


def _counting(finished: Sequence[StepRecord]) -> list[StepRecord]:
    """Return the finished steps that count: what is on the part, and work somebody skipped.

    A coat that was skipped is not on it, unless it came with the part.
    """
    there = ("done", "skipped")
    return once_again(
        [
            record
            for record in finished
            if record.status in there
            and (
                record.status == "done"
                or record.step.kind != "coat"
                or record.reason == ALREADY_DONE
            )
        ]
    )


def _with_next(done: Sequence[StepRecord], part: Part) -> list[tuple[StepRecord, Step | None]]:
    """Pair each step with the one that follows it: the last one with what was still to do."""
    todo = next((r.step for r in part.steps if r.status == "todo"), None)
    return list(zip(done, [*(record.step for record in done[1:]), todo], strict=False))


_Key = tuple[str, str, bool, bool]


def _key(step: Step, after: Step | None) -> _Key:
    """Return what two steps have in common that count for each other."""
    what = step.product or step.name.casefold()
    return step.kind, what, step.continues, is_mist(step, after)


def _keys(route: Route) -> list[_Key]:
    return [_key(*pair) for pair in zip_longest(route.steps, route.steps[1:])]


def _matched(done: Sequence[_Key], wanted: Sequence[_Key]) -> list[tuple[int, int]]:
    """Return the most pairs of places that match, both in order, coats before all else.

    Where two steps of the route would do, the earlier is matched: more is then still to do.
    """

    @cache
    def best(d: int, n: int) -> tuple[int, int, tuple[tuple[int, int], ...]]:
        if d == len(done) or n == len(wanted):
            return 0, 0, ()
        found = [best(d, n + 1), best(d + 1, n)]
        if done[d] == wanted[n]:
            coats, steps, pairs = best(d + 1, n + 1)
            coat = wanted[n][0] == "coat"
            found.insert(0, (coats + coat, steps + 1, ((d, n), *pairs)))
        return max(found, key=lambda each: each[:2])

    return list(best(0, 0)[2])

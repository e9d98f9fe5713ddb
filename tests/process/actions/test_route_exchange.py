"""Which work counts on another route. Routes and parts are invented."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.actions.route_exchange import RouteExchange, exchange_route
from bench.process.parts.part import ALREADY_DONE, Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Step

from ..making import MON, after

OVER = {"etch": "zinc", "gloss": "etch", "epoxy": "zinc", "top": "epoxy"}
PRODUCTS = {key: Product(key, key, "primer", over=(over, key)) for key, over in OVER.items()} | {
    "soap": Product("soap", "soap", "cleaner")
}


def step(name: str) -> Step:
    """A step by its name: a coat is its product's, "+" goes on with the one before it."""
    product, _, more = name.partition(" ")
    if product in OVER:
        return Step(name, "coat", product, continues=more == "+")
    if name == "cure":
        return Step(name, "cure")
    return Step(name, "work", "soap" if name.startswith("wash") else "")


def route(names: str, substrate: str = "zinc") -> Route:
    return Route("other", "Other", substrate, tuple(map(step, names.split(", "))))


def part(done: str, todo: str, **more: str) -> Part:
    """Steps by their names; one with "-" behind it was skipped, with the reason after that."""
    steps = []
    for number, text in enumerate(filter(None, done.split(", ")), start=1):
        name, minus, reason = text.partition("-")
        status = "skipped" if minus else "done"
        steps.append(
            StepRecord(number, step(name), status, MON, after(number), reason=reason)  # type: ignore[arg-type]
        )
    for name in todo.split(", "):
        steps.append(StepRecord(len(steps) + 1, step(name)))
    return replace(Part("1", "axle", 1, "", "", "zinc", "axle", 1, 1, tuple(steps)), **more)  # type: ignore[arg-type]


def names(steps: object) -> str:
    return ", ".join(getattr(each, "step", each).name for each in steps)  # type: ignore[attr-defined]


REST = "polish, cure"


@pytest.mark.parametrize(
    ("done", "new", "kept", "extra", "left_out", "ahead"),
    [
        # The same beginning: what was done stays, by product or by name.
        ("file, wash", "file, wash it, epoxy, top, cure", "file, wash", "", "", "epoxy, top, cure"),
        # Before any coat nothing of the new route is left out; work without a step is kept beside.
        ("wash", "blast, wash, epoxy, cure", "", "wash", "", "blast, wash, epoxy, cure"),
        ("file, wash, acid", "wash, epoxy, cure", "wash", "file, acid", "", "epoxy, cure"),
        # Preparation that a coat lies over is not asked for any more.
        (
            *("file, wash, etch", "file, acid, wash, etch, gloss 2, gloss 2, cure"),
            *("file, wash, etch", "", "acid", "gloss 2, gloss 2, cure"),
        ),
        # Of two like coats the first one counts: one is still to do.
        ("etch, gloss 1", "etch, gloss 1, gloss 1, cure", "etch, gloss 1", "", "", "gloss 1, cure"),
        # Abraded first on the old route, later on the new one: the coats count, not the abrading.
        (
            "abrade, etch",
            "etch, abrade, gloss 1, cure",
            "etch",
            "abrade",
            "",
            "abrade, gloss 1, cure",
        ),
        # A mist and its build are no one coat; a coat that the new route has not is extra.
        ("etch mist, etch +", "etch, cure", "", "etch mist, etch +", "", "etch, cure"),
        # Done again in a rework, a coat counts once: the second is still to do.
        (
            *("etch, gloss 1, repair, gloss 1", "etch, gloss 1, gloss 1, cure"),
            *("etch, gloss 1", "", "", "gloss 1, cure"),
        ),
        # What somebody skipped stays skipped; a coat only where it came with the part.
        ("file-none, wash", "file, wash, epoxy, cure", "file, wash", "", "", "epoxy, cure"),
        (f"etch-{ALREADY_DONE}", "etch, gloss 2, cure", "etch", "", "", "gloss 2, cure"),
        ("etch-no need", "etch, gloss 2, cure", "", "", "", "etch, gloss 2, cure"),
    ],
)
def test_done_work_counts_in_order_and_the_rest_is_to_do(
    done: str, new: str, kept: str, extra: str, left_out: str, ahead: str
) -> None:
    found = exchange_route(part(done, REST), route(new), PRODUCTS)
    assert isinstance(found, RouteExchange), found
    lists = (found.kept, found.extra, found.left_out, found.ahead)
    assert tuple(map(names, lists)) == (kept, extra, left_out, ahead)
    before = part(done, REST)
    after_it = found.part(before)
    assert after_it.steps[: len(done.split(", "))] == before.steps[:-2], "nothing done is touched"
    assert after_it.clock_step() == before.clock_step()


@pytest.mark.parametrize(
    ("of", "new", "words"),
    [
        (
            part("etch", "gloss 1, cure"),
            route("etch, gloss 1, cure"),
            "the same steps are still to do",
        ),
        (part("etch", "epoxy, cure"), route("top, cure"), "top does not go over etch"),
        (part("etch", REST), route("epoxy, cure", "steel"), "Other is for steel (tag 1 is zinc)"),
        (part("etch mist", "etch +, cure"), route("etch, cure"), "etch mist waits for its build"),
        (part("etch", REST, rework="run"), route("etch, cure"), "tag 1 is in rework (run)"),
    ],
)
def test_a_route_that_does_not_fit_what_was_done_is_refused(
    of: Part, new: Route, words: str
) -> None:
    found = exchange_route(of, new, PRODUCTS)
    assert isinstance(found, Refusal)
    assert words in str(found)


def test_a_step_in_hand_and_a_route_that_is_done_are_refused() -> None:
    begun = part("etch", "gloss 1, cure")
    in_hand = replace(begun.steps[1], status="in hand")
    begun = replace(begun, steps=(begun.steps[0], in_hand, begun.steps[2]))
    over = replace(begun, steps=begun.steps[:1])
    for of, words in ((begun, "gloss 1 is begun (its clock runs)"), (over, "everything on its")):
        assert words in str(exchange_route(of, route("etch, cure"), PRODUCTS))


def test_a_part_on_which_nothing_was_done_goes_on_a_route_for_another_metal() -> None:
    found = exchange_route(part("", REST), route("wash, epoxy, cure", "steel"), PRODUCTS)
    assert "epoxy does not go over steel" not in str(found)
    assert isinstance(found, RouteExchange)
    assert found.part(part("", REST)).substrate == "steel"


def test_what_becomes_of_each_step_is_said() -> None:
    found = exchange_route(
        part("file, wash-already done, etch", REST),
        route("wash, acid, etch, gloss 2, cure"),
        PRODUCTS,
    )
    assert isinstance(found, RouteExchange)
    assert found.lines() == (
        "done, stays: wash (skipped); etch",
        "done, stays as extra work: file",
        "left out, a coat lies over it: acid",
        "to do: gloss 2; cure",
    )

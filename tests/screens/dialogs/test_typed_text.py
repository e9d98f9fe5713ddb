"""Whatever a person types is shown as plain text, and disturbs neither screen nor terminal."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, lots, placement, steps
from bench.testing import ManualClock
from tests.shop.doing import done, refused, state

from ..driving import at_the_bench

DISTURBING = (
    "\x1b[31mred",
    "\x1b]0;title\x07",
    "\x9b2J",
    "a\rb",
    "a\nb",
    "a\tb",
    "a\x00b",
    "a\x7fb",
    "\u202eelxa",
    "\u2066axle\u2069",
    "a\u200bb",
    "a\u2028b",
    "\ud800",
    "Z" + "\u0335\u0321\u0327\u0328" * 9,
)
"""Escape and control sequences, line ends, bidi overrides (Unicode UAX 9), and letters that climb."""

HARMLESS = (
    "[bold red]Axle[/bold red]",
    "[link=https://example.org]Axle",
    "{{Axle}} %s %(x)s {0}",
    "=1+1",
    "'; DROP TABLE part; --",
    "Ächse für Bö",
    "Achse Nr. 軸 三",
    "מוט",
    "e\u0301tape",
    "\U0001f6f6 canoe",
)
"""Markup, formats, formulas and SQL are only letters; so are those of any alphabet."""


def texts(shop: Shop, text: str) -> list[object]:
    """Every field that a painter types into, tried with the same text."""
    place = {"route": "zinc-new", "shape": "axle"}
    return [
        placement.place(shop, 2, "Kit", **place, name=text),
        placement.place(shop, 3, "Kit", **place, job=text),
        placement.place(shop, 4, "Kit", **place, owner=text),
        placement.place(shop, 5, "Kit", **place, tag=text),
        holds_and_rework.hold(shop, 1, "Kit", text),
        holds_and_rework.skip(shop, 1, "Kit", text),
        holds_and_rework.rework(shop, 1, "Kit", text),
    ]


@pytest.mark.parametrize("text", DISTURBING, ids=ascii)
def test_what_would_disturb_a_terminal_is_refused_everywhere(shop: Shop, text: str) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle"))
    before = state(shop)
    for answer in (*texts(shop, text), *texts(shop, f"Axle {text}")):
        told = str(refused(answer))  # type: ignore[arg-type]
        assert told.isprintable()
    for answer in (
        lots.merge(shop, 1, "Kit", text),
        steps.begin(shop, text, "Kit"),
        steps.begin(shop, 1, text),
        steps.begin(shop, 1, "Kit", helper=text),
    ):
        refused(answer)
    assert state(shop) == before


@pytest.mark.parametrize("text", HARMLESS, ids=ascii)
@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_what_is_only_letters_stands_there_as_it_was_typed(
    shop: Shop, clock: ManualClock, text: str, size: tuple[int, int]
) -> None:
    for answer in texts(shop, text):
        assert answer is not None
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle", name=text, job=text))
    width, height = size
    async with at_the_bench(shop, clock, size) as hands:
        for keys in ("", "1", "enter", "0", ".", "0", "1 /", "0", "/"):
            await hands.press(keys)
            rows = hands.app.screen.canvas.lines  # type: ignore[attr-defined]
            assert len(rows) == height
            assert {cell_len(row) for row in rows} == {width}
        await hands.press("0 1 enter")
        assert text.split()[0][:12].replace("e\u0301", "é") in hands.picture()
    placed = bench_view.read_bench(shop).on(1)
    assert placed is not None
    assert placed.part.name == text.replace("e\u0301", "é")


def test_a_name_of_a_thousand_letters_is_refused_with_its_length(shop: Shop) -> None:
    told = refused(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle", name="a" * 1000))
    assert str(told) == "the name is too long (1000 characters): at most 60"

"""MASKS ON wherever it is read, with its reason; and nowhere a word that one may come off."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from bench.__main__ import main
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.json_form import as_json
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data import backups
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.people import handover
from bench.shop.seeds.seed_files import Seeds
from bench.shop.settings import settings_change
from bench.shop.stock import pots
from bench.store.schema.tables import ProductRow
from bench.testing import ManualClock
from bench.widgets.digits import tall
from bench.widgets.status_lines import header
from tests.shop.doing import begin_over

from ..driving import Hands, at_the_bench
from ..pictures import GOLDEN

ROOT = Path(__file__).resolve().parents[3]
PERMISSION = re.compile(
    r"\bCLEAR\b|until the room is clear|may come off|may be taken off|masks? off|safe to (un|re)|unmask"
    r"|safe to breathe|no masks? needed|mask-free",
)
"""Words that would tell somebody to take a mask off."""


def ok(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


def gloss_begun(shop: Shop, seeds: Seeds, tool: str) -> None:
    """A bracket on stand 1 with isocyanate gloss under way, by a product with or without a tool."""
    with shop.store.writing() as session:
        row = session.get_one(ProductRow, "gloss")
        row.sheet = as_json(replace(seeds.products["gloss"], tool=tool))
        session.commit()
    ok(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(3):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(begin_over(shop, 1, "Kit"))


def ran(shop: Shop, data: Path, *words: str) -> str:
    out = io.StringIO()
    code = main(["--db", str(data), *words], clock=shop.clock, environment={}, out=out, err=out)
    assert code == 0, out.getvalue()
    return out.getvalue()


async def everywhere(shop: Shop, clock: ManualClock, data: Path) -> dict[str, str]:
    """What every place where the room is shown says of it."""
    found = {
        "hand-over": handover.handover(shop).room,
        "status": ran(shop, data, "status"),
        "status --json": ran(shop, data, "status", "--json"),
        "hand-over printed": ran(shop, data, "handover"),
        "hand-over --json": ran(shop, data, "handover", "--json"),
        "export": exported(shop),
    }
    async with at_the_bench(shop, clock) as hands:
        found["bench"] = hands.picture()
        await hands.press("1")
        found["stand"] = hands.picture()
        await hands.press("0 +")
        found["far view"] = hands.picture()
    return found


def exported(shop: Shop) -> str:
    out = io.StringIO()
    backups.export_shop(shop, out)
    return out.getvalue()


SHOW_THE_ROOM = ("hand-over", "status", "status --json", "hand-over printed", "bench", "far view")


def says(found: dict[str, str], what: str, large_too: str) -> None:
    """Every place that shows the room says it, and the far view has a word of it in large letters."""
    for where in SHOW_THE_ROOM:
        assert what in " ".join(found[where].split()), where
    assert large_too in large(found["far view"])


def permits_nothing(found: dict[str, str]) -> None:
    for where, text in found.items():
        assert not PERMISSION.search(text), (where, PERMISSION.search(text))
    assert '"masks_on": false' not in found["status --json"]


@pytest.mark.parametrize("tool", ["hvlp", ""])
async def test_every_surface_says_who_sprays_isocyanate_then_until_when_and_never_permits(
    shop: Shop, clock: ManualClock, data: Path, seeds: Seeds, tool: str
) -> None:
    gloss_begun(shop, seeds, tool)
    found = await everywhere(shop, clock, data)
    says(found, "MASKS ON: Kit sprays Two-pack gloss 2:1", "MASKS ON")
    permits_nothing(found)
    clock.advance(minutes=20)
    ok(steps.finish(shop, 1, "Kit", all_faces=True))
    found = await everywhere(shop, clock, data)
    says(found, "MASKS ON until 08:20?: Two-pack gloss 2:1 sprayed", "08:20?")
    permits_nothing(found)


def large(picture: str) -> str:
    """What stands in five-row letters, of those that are looked for here."""
    rows = picture.splitlines()
    return " ".join(
        text
        for text in ("MASKS ON", "08:20?")
        if any(
            all(part in row for part, row in zip(drawn, rows[start:], strict=False))
            for cells in (1, 2)
            if (drawn := [row.rstrip() for row in tall(text, cells)])
            for start in range(len(rows) - len(drawn))
        )
    )


async def test_no_surface_has_a_word_of_permission_before_or_after(
    shop: Shop, clock: ManualClock, data: Path, seeds: Seeds
) -> None:
    permits_nothing(await everywhere(shop, clock, data))
    gloss_begun(shop, seeds, "hvlp")
    ok(steps.finish(shop, 1, "Kit", all_faces=True))
    for minutes in (31, 24 * 60):
        clock.advance(minutes=minutes)
        permits_nothing(await everywhere(shop, clock, data))


async def test_a_plain_room_line_is_never_large_and_never_green(
    shop: Shop, clock: ManualClock
) -> None:
    now = bench_view.read_bench(shop).local(clock.now())
    room = bench_view.read_bench(shop).room(now)
    (piece, *_) = header(now, room, "Kit", "", 80)
    assert piece.text == " no spraying recorded since 07:30 "
    assert piece.style == "", "the plain colour, during an alarm too"
    async with at_the_bench(shop, clock) as hands:
        await hands.press("+")
        assert not large(hands.picture())


@pytest.mark.parametrize("doubtful", [False, True])
def test_while_masks_are_on_the_whole_first_row_is_the_warning(
    shop: Shop, clock: ManualClock, seeds: Seeds, doubtful: bool
) -> None:
    """A terminal of 24 rows has no room for large letters on the bench: it has a row as wide as it."""
    gloss_begun(shop, seeds, "hvlp")
    view = bench_view.read_bench(shop)
    row = header(view.local(clock.now()), view.room(clock.now()), "Kit", "", 80, doubtful=doubtful)
    assert sum(len(piece.text) for piece in row) == 80
    assert row[0].text.startswith(" MASKS ON: Kit sprays ")
    assert {piece.style for piece in row} == {"ruined"}


def test_no_picture_and_nothing_that_is_shipped_to_be_read_has_a_word_of_permission() -> None:
    pictures, seeds = list(GOLDEN.glob("*.txt")), list((ROOT / "seeds").rglob("*.toml"))
    topics = list((ROOT / "bench/help_topics").glob("*.md"))
    assert pictures
    assert seeds
    assert topics
    files = [ROOT / "README.md", *topics, *seeds, *pictures]
    found = {file.name: PERMISSION.search(file.read_text(encoding="utf-8")) for file in files}
    assert not {name: words for name, words in found.items() if words}


def test_no_command_has_one_in_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("--help",), ("shop", "--help"), ("flush", "--help"), ("status", "--help")):
        out = io.StringIO()
        main(list(words), environment={}, out=out, err=out)
        text = out.getvalue() + capsys.readouterr().out
        assert "usage" in text
        assert not PERMISSION.search(text), PERMISSION.search(text)


# --- flushing, and the clearance time ------------------------------------------------------------


def loaded(shop: Shop, clock: ManualClock, product: str, skipped: int) -> None:
    ok(pots.mix(shop, product, "Kit", known=MixStart(need_ml=300)))
    ok(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(skipped):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(begin_over(shop, 1, "Kit"))
    ok(steps.finish(shop, 1, "Kit", all_faces=True))


async def flush(hands: Hands, name: str) -> None:
    await hands.press("/ 3")
    digit = next(row.split()[0] for row in hands.picture().splitlines() if name in row)
    await hands.press(digit)


async def test_before_a_gun_of_isocyanate_is_flushed_the_screen_says_what_to_wear(
    shop: Shop, clock: ManualClock
) -> None:
    loaded(shop, clock, "gloss", 3)
    clock.advance(minutes=40)
    async with at_the_bench(shop, clock) as hands:
        await hands.answer_all()
        await flush(hands, "every gun of pot A Two-pack gloss 2:1 is flushed")
        told = hands.picture()
        assert "Air-fed mask on, extraction on, no spraying into the open." in told
        assert bench_view.read_bench(shop).guns
        await hands.press("enter")
        assert bench_view.read_bench(shop).guns == ()
        assert "MASKS ON until 08:40?: Two-pack gloss 2:1 gun flushed" in hands.picture()


async def test_a_gun_of_epoxy_is_flushed_with_one_key(shop: Shop, clock: ManualClock) -> None:
    loaded(shop, clock, "epoxy-primer", 2)
    async with at_the_bench(shop, clock) as hands:
        await flush(hands, "every gun of pot A Epoxy primer 4:1 is flushed")
        assert bench_view.read_bench(shop).guns == ()


def test_the_command_asks_for_who_measured_it_and_when(shop: Shop, data: Path) -> None:
    words = ("shop", "--clearance", "25min", "--by", "Kit")
    assert ran(shop, data, *words).endswith("(not measured)\n")
    measured = ("--measured-by", "Una", "--measured-on", "2025-03-03")
    assert ran(shop, data, *words, *measured).endswith("(measured 03 Mar 2025 by Una)\n")
    room: Any = bench_view.read_bench(shop).room(shop.clock.now())
    assert (room.measured.by, room.measured.on.isoformat()) == ("Una", "2025-03-03")


async def test_somebody_else_may_have_measured_it_on_another_day(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("set-up", "settings: hours, masks, cup, probes, bell")
        await hands.press("4 2 5 enter 4 enter 3 enter 3 enter enter")
        hands.app.screen.query_one(Input).value = "Una"
        await hands.press("enter")
        assert "masks on 25 min, measured 03 Mar 2025 by Una" in hands.picture()
        await hands.press("4 2 5 enter 2 enter 3 1 enter 2 enter enter")
        assert "no such day: 31.2.2025" in hands.said()


def test_a_measured_time_has_no_question_mark_and_an_old_one_does(
    shop: Shop, clock: ManualClock, seeds: Seeds
) -> None:
    ok(settings_change.set_settings(shop, "Kit", clearance_min=25, measured_by="Una"))
    gloss_begun(shop, seeds, "hvlp")
    ok(steps.finish(shop, 1, "Kit", all_faces=True))
    assert handover.handover(shop).room == "MASKS ON until 07:55: Two-pack gloss 2:1 sprayed"
    clock.advance(minutes=30)
    assert handover.handover(shop).room == "clearance time over at 07:55 (measured 9 Jun)"

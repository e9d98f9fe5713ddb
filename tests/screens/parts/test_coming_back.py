"""A part that left the bench comes back with its tag, its route and its record, by keypad."""

from __future__ import annotations

from functools import partial

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, lots, placement, steps, testing
from bench.shop.queries.search import SearchPage, find_parts
from bench.testing import ManualClock
from tests.shop.doing import done, part, refused

from ..driving import Gone, Said, at_the_bench
from .test_placement import route_and_shape


def left(shop: Shop, clock: ManualClock) -> None:
    """Tag 1, of which no step is left to do, left a month ago."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", name="Keel trolley"))
    while not isinstance(holds_and_rework.skip(shop, 1, "Kit", "already done"), Refusal):
        pass
    clock.advance(days=30)
    done(testing.pass_test(shop, "1", "Kit"))
    done(placement.take_off(shop, 1, "Kit"))
    clock.advance(days=30)


def found(shop: Shop, words: str) -> list[str]:
    page = find_parts(shop, words)
    assert isinstance(page, SearchPage)
    return [each.tag for each in page.parts]


async def test_a_disc_that_comes_back_is_its_part_or_another_one_and_no_form_is_lost(
    shop: Shop, clock: ManualClock
) -> None:
    left(shop, clock)
    async with at_the_bench(shop, clock) as hands:
        frame = route_and_shape(hands, "zinc-new", "frame")
        await hands.play(
            (f"2 + {frame} 3 enter 1 enter", "Tag 1 Keel trolley was here until 09 Jul 2025"),
            ("3", "Enter: 3, as before", "how many pieces"),
            ("enter enter", "What is this?"),
            ("2", Said("..tag 2 Frame, 3 pieces placed on stand 2..")),
        )
        await hands.home()
        await hands.play(
            (f"3 + {frame} 2 enter 2 enter", "NO: tag 2 is taken", "on stand 2", "Enter: 2, as"),
            ("enter 1 enter", "What is this?"),
            ("1", Said("tag 1 Keel trolley put back on stand 3")),
        )
    assert part(shop, "1").stand == 3
    assert {record.status for record in part(shop, "1").steps} == {"skipped", "done"}, (
        "its own record"
    )
    assert found(shop, "Keel") == ["1"]


async def test_the_sheet_of_a_part_that_left_puts_it_back_on_a_stand(
    shop: Shop, clock: ManualClock
) -> None:
    left(shop, clock)
    async with at_the_bench(shop, clock) as hands:
        await hands.scan("1")
        await hands.play(
            ("", "4 put back"),
            ("4 5 enter", Said("tag 1 Keel trolley put back on stand 5"), Gone("4 put back")),
            ("4", Gone("to which stand")),
        )


def test_a_taken_tag_says_where_its_part_is(shop: Shop, clock: ManualClock) -> None:
    left(shop, clock)
    again = partial(placement.place, by="Kit", route="zinc-new", shape="frame")
    done(again(shop, 2, count=2, tag="4"))
    done(lots.split(shop, "4", "Kit", 1))
    done(lots.merge(shop, "4", "Kit", "4b"))
    assert "left the bench" in str(refused(again(shop, 1, tag="1")))
    assert "put back with move" in str(refused(again(shop, 1, tag="1")))
    assert str(refused(again(shop, 1, tag="4b"))).endswith("put with tag 4): use a free tag")
    assert str(refused(placement.move(shop, "4b", "Kit", to=1))).startswith(
        "tag 4b was put with tag 4"
    )


async def test_pieces_sent_back_without_a_stand_are_found_and_put_on_one_by_keypad(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", count=5, tag="4"))
    done(steps.begin(shop, "4", "Kit"))
    done(steps.finish(shop, "4", "Kit"))
    done(holds_and_rework.rework(shop, "4", "Kit", "run", count=2, back_to=1))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("", "4b x2 REWORK"),
            ("2 enter", "tag 4b"),
            ("2", Said("tag 4b Frame moved to stand 2")),
        )
        done(placement.take_off(shop, "4b", "Kit"))
        hands.app.look_again()
        await hands.home()
        await hands.press("0 0 4 enter 2 /")
        digit = next(r.split()[0] for r in hands.picture().splitlines() if "move to another" in r)
        await hands.play((f"{digit} 3 enter", Said("tag 4b Frame moved to stand 3")))

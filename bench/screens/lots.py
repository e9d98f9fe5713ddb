"""Lots by keypad: pieces split off, two put together, bungs and contact points counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.part import Part
from bench.process.refusal import Refusal
from bench.screens.ask import Asked, Choose, Numbers, Sure
from bench.shop import lots
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


async def split(bench: Paintbench, part: Part) -> None:
    """How many leave the lot, and where they go."""
    if part.count < 2:
        bench.tell(Refusal(f"tag {part.tag} is one piece", "", "only a lot can be split"))
        return
    asked = [
        Asked(f"how many of {part.count} leave the lot", whole=True),
        Asked("to which stand", "", None, must=False, whole=True, empty="none"),
    ]
    told = ["They get a tag of their own and keep their clocks so far."]
    title = f"Split tag {part.tag} {part_words(part)}"
    numbers = await bench.push_screen_wait(Numbers(title, asked, told))
    if numbers is None:
        return
    count, stand = int(numbers[0] or 0), numbers[1]
    to = None if stand is None else int(stand)
    bench.do(lambda shop, by: lots.split(shop, part.tag, by, count, stand=to))


async def merge(bench: Paintbench, part: Part) -> None:
    """Which lot of the same shape comes to this one."""
    view = bench.view
    everything = [placed for _, placed in view.stands if placed] + list(view.off_stand)
    alike = [p.part for p in everything if p.part.shape == part.shape and p.part.tag != part.tag]
    if not alike:
        bench.tell(Refusal("no other lot of that shape is on the bench", part_words(part)))
        return
    names = [f"tag {other.tag} {part_words(other)}" for other in alike]
    which = await bench.push_screen_wait(Choose(f"What comes to tag {part.tag}?", names))
    if which is None:
        return
    other = alike[which]
    told = [
        f"{part.count + other.count} pieces will be tag {part.tag}, with the worse clock of both.",
        f"Tag {other.tag} is then on no stand: take its steel disc off.",
    ]
    if await bench.push_screen_wait(Sure(f"Put tag {other.tag} with tag {part.tag}?", told)):
        bench.do(lambda shop, by: lots.merge(shop, part.tag, by, other.tag))


async def points(bench: Paintbench, part: Part) -> None:
    """Bungs in and out, contact points there and touched up."""
    bungs, contacts = part.bungs, part.contacts
    asked = [
        Asked("bungs that went in", start=float(bungs[0]), whole=True),
        Asked("bungs that came out", start=float(bungs[1]), whole=True),
        Asked("contact points", start=float(contacts[0]), whole=True),
        Asked("contact points touched up", start=float(contacts[1]), whole=True),
    ]
    told = ["Count them in when it is hung, and out before it goes."]
    title = f"Tag {part.tag} {part_words(part)}: count"
    numbers = await bench.push_screen_wait(Numbers(title, asked, told))
    if numbers is None:
        return
    counts = [int(number or 0) for number in numbers]
    bench.do(
        lambda shop, by: lots.count_points(
            shop,
            part.tag,
            by,
            bungs_in=counts[0],
            bungs_out=counts[1],
            contacts=counts[2],
            contacts_done=counts[3],
        )
    )

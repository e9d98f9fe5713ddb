"""Short roads of questions, each ending in one function of shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.obvious import Deed
from bench.process.overriding import Override
from bench.process.part import Part, last_event_at
from bench.process.refusal import Refusal
from bench.process.reminders import DEFECTS
from bench.process.route import tool_key
from bench.screens import lots
from bench.screens.ask import Asked, Choose, Numbers, Sure
from bench.screens.base import BenchScreen
from bench.screens.earlier import Earlier
from bench.screens.onit import on_it
from bench.screens.overriding import over_rules
from bench.screens.spray import SprayCard
from bench.shop import parts, readings, steps
from bench.shop import trouble as troubles
from bench.shop.acting import Done, Shop
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


ALL_OF_IT = "all of this step"
"""Among the troubles of a part: what there was no room for on its page."""

LOTS = (lots.split, lots.merge, lots.points)


async def simple_deed(bench: Paintbench, deed: Deed, tag: str) -> None:
    """Begin, finish or release: one press, one action; a coat begins with its three numbers.

    What is closed says why not, and what would make it right.
    """
    if deed in ("begin", "closed"):
        await begun(bench, tag, bench.do(lambda shop, by: steps.begin(shop, tag, by)))
    elif deed == "finish":
        await finished(bench, tag)
    elif deed == "release":
        bench.do(lambda shop, by: troubles.release(shop, tag, by))


async def finished(bench: Paintbench, tag: str, zone: str = "") -> None:
    """Finish what is in hand; a zone that would be rinsed early is asked about first."""

    def finish(shop: Shop, by: str, override: Override | None = None) -> Done | Refusal:
        return steps.finish(shop, tag, by, mark=zone, override=override)

    answer = bench.do(lambda shop, by: finish(shop, by))
    await over_rules(bench, f"Rinse {zone}".strip(), answer, finish)


async def begun(bench: Paintbench, tag: str, answer: Done | Refusal) -> None:
    """Where a coat was begun with a spray tool: distance, wet film and faces, big."""
    placed = bench.view.find(tag)
    record = placed.part.current() if placed else None
    if placed is None or record is None or isinstance(answer, Refusal):
        return
    product = bench.view.products.get(record.step.product)
    tool = bench.view.tools.get(tool_key(record.step, product))
    if record.step.kind == "coat" and product is not None and tool is not None and tool.sprayed:
        notes = [*answer.notes[1:], *record.flags]
        await bench.push_screen_wait(SprayCard(placed.part, product, tool, notes))


async def show(bench: Paintbench, screen: BenchScreen[None]) -> None:
    """A screen that answers nothing, until it is left."""
    await bench.push_screen_wait(screen)


async def place(bench: Paintbench, stand: int) -> None:
    """Put something on an empty stand: a part that has none, or a new part or lot."""
    waiting = bench.view.off_stand
    if waiting:
        choices = [
            "a new part or lot",
            *(f"tag {p.part.tag} {part_words(p.part)}" for p in waiting),
        ]
        which = await bench.push_screen_wait(Choose(f"Stand {stand}: what goes on it?", choices))
        if which is None:
            return
        if which > 0:
            tag = waiting[which - 1].part.tag
            bench.do(lambda shop, by: parts.move(shop, tag, by, to=stand))
            return
    await _place_new(bench, stand)


async def _place_new(bench: Paintbench, stand: int) -> None:
    routes = list(bench.view.routes.values())
    shapes = list(bench.view.shapes.values())
    route = await bench.push_screen_wait(
        Choose(
            f"Stand {stand}: what is it made of, and which way does it go?",
            [f"{r.name} ({len(r.steps)} steps)" for r in routes],
        )
    )
    if route is None:
        return
    shape = await bench.push_screen_wait(
        Choose(
            f"Stand {stand}: what shape is it?", [f"{s.name}: {' '.join(s.faces)}" for s in shapes]
        )
    )
    if shape is None:
        return
    numbers = await bench.push_screen_wait(
        Numbers(
            f"Stand {stand}: how many, and which tag?",
            [
                Asked("how many pieces", "", 1.0),
                Asked("tag on its steel disc", "", None, must=False),
            ],
            ["Enter alone takes one piece, and the next free tag. A name can be typed later."],
        )
    )
    if numbers is None:
        return
    count, tag = int(numbers[0] or 0), numbers[1]
    bench.do(
        lambda shop, by: parts.place(
            shop,
            stand,
            by,
            route=routes[route].key,
            shape=shapes[shape].key,
            count=count,
            tag=f"{tag:g}" if tag is not None else "",
        )
    )


async def take_off(bench: Paintbench, part: Part) -> None:
    """Take a part off its stand, after a second key."""
    told = [
        "Its clocks run on without a stand." if part.current() else "It leaves the bench: CURED."
    ]
    if await bench.push_screen_wait(
        Sure(f"Take tag {part.tag} {part.name} off stand {part.stand}?", told)
    ):
        answer = bench.do(lambda shop, by: parts.take_off(shop, part.tag, by))
        await over_rules(
            bench,
            f"Take tag {part.tag} off",
            answer,
            lambda shop, by, override: parts.take_off(shop, part.tag, by, override=override),
        )


async def earlier(bench: Paintbench, part: Part) -> None:
    """The last event of a part, five minutes earlier with every press."""
    last = last_event_at(part)
    if last is None:
        bench.tell(Refusal(f"tag {part.tag}: nothing has happened to it yet"))
        return
    minutes = await bench.push_screen_wait(Earlier(part, last))
    if minutes:
        bench.do(lambda shop, by: troubles.back_date(shop, part.tag, by, minutes))


async def trouble(bench: Paintbench, part: Part) -> None:
    """Everything that is not the plain way on."""
    choices = [
        "release the hold" if part.hold else "hold it",
        "skip the next step",
        "rework: do it again",
    ]
    choices += [
        "move to another stand, or swap two",
        "take it off its stand",
        "who is on it: take, help, hand over; notes",
    ]
    choices += [
        "override a rule, with a reason",
        "its sheet and journal, to correct",
    ]
    choices += ["one more coat before the cure"]
    choices += ["split pieces off the lot", "put another lot with it", "bungs and contact points"]
    choices += [ALL_OF_IT]
    which = await bench.push_screen_wait(
        Choose(f"Tag {part.tag} {part_words(part)}: trouble", choices)
    )
    if which is None:
        return
    road = (
        _hold,
        _skip,
        _rework,
        _move,
        take_off,
        on_it,
        _override,
        sheet,
        _again,
        *LOTS,
        _all_of_it,
    )[which]
    await road(bench, part)


async def _all_of_it(bench: Paintbench, part: Part) -> None:
    from bench.screens.steptold import all_of_it  # it shows itself through these roads

    await all_of_it(bench, part)


async def sheet(bench: Paintbench, part: Part) -> None:
    """All that is known of it."""
    from bench.screens.paper import SheetPage  # it asks through these roads itself

    await show(bench, SheetPage(part.tag))


async def _hold(bench: Paintbench, part: Part) -> None:
    if part.hold:
        bench.do(lambda shop, by: troubles.release(shop, part.tag, by))
        return
    reason = await _reason(bench, f"Hold tag {part.tag}: why?", steps.HOLD_REASONS)
    if reason:
        bench.do(lambda shop, by: troubles.hold(shop, part.tag, by, reason))


async def _skip(bench: Paintbench, part: Part) -> None:
    current = part.current()
    name = current.step.name if current else ""
    reason = await _reason(bench, f"Skip {name}: why?", steps.SKIP_REASONS)
    if reason:
        bench.do(lambda shop, by: troubles.skip(shop, part.tag, by, reason))


async def _override(bench: Paintbench, part: Part) -> None:
    current = part.current()
    name = current.step.name if current else ""

    def begin(shop: Shop, by: str, override: Override) -> Done | Refusal:
        return steps.begin(shop, part.tag, by, override=override)

    listed = bench.do(lambda shop, by: begin(shop, by, Override()))
    answer = await over_rules(bench, f"Start {name}", listed, begin)
    if answer is not None:
        await begun(bench, part.tag, answer)


async def _again(bench: Paintbench, part: Part) -> None:
    bench.do(lambda shop, by: troubles.another_coat(shop, part.tag, by))


async def _reason(bench: Paintbench, title: str, reasons: tuple[str, ...]) -> str:
    place = await bench.push_screen_wait(Choose(title, reasons))
    return "" if place is None else reasons[place]


async def _rework(bench: Paintbench, part: Part) -> None:
    defect = await _reason(bench, f"Tag {part.tag}: what is wrong?", DEFECTS)
    if not defect:
        return
    count = part.count
    if part.count > 1:
        asked = Asked(f"how many of {part.count}", "", float(part.count))
        numbers = await bench.push_screen_wait(Numbers(f"Rework, {defect}", [asked]))
        if numbers is None:
            return
        count = int(numbers[0] or 0)
    done = [record for record in part.steps if record.status in ("done", "in hand")]
    back_to = None
    if done:
        names = ["the last coat", *(f"step {record.number} {record.step.name}" for record in done)]
        which = await bench.push_screen_wait(Choose("Rework: again from where?", names))
        if which is None:
            return
        back_to = done[which - 1].number if which else None
    bench.do(
        lambda shop, by: troubles.rework(shop, part.tag, by, defect, count=count, back_to=back_to)
    )


async def _move(bench: Paintbench, part: Part) -> None:
    numbers = await bench.push_screen_wait(
        Numbers(f"Tag {part.tag} {part.name}: to which stand?", [Asked("stand")])
    )
    if numbers is None or numbers[0] is None:
        return
    to = int(numbers[0])
    other = bench.view.on(to)
    swap = False
    if other is not None and part.stand is not None:
        told = [f"Stand {to} has tag {other.part.tag} {other.part.name}. Swap the two?"]
        if not await bench.push_screen_wait(Sure("That stand is occupied", told)):
            return
        swap = True
    bench.do(lambda shop, by: parts.move(shop, part.tag, by, to=to, swap=swap))


async def who(bench: Paintbench, title: str) -> str:
    """A painter's name, asked where a name must be given."""
    names = bench.view.painters
    which = await bench.push_screen_wait(Choose(title, names))
    return "" if which is None else names[which]


async def take_reading(bench: Paintbench) -> None:
    """Air, humidity, metal."""
    asked = [Asked("air", "C"), Asked("humidity", "%", must=False), Asked("metal", "C", must=False)]
    told = ["Enter alone: not read. Metal decides how paint ages; without it the air is taken."]
    numbers = await bench.push_screen_wait(Numbers("Write a reading down", asked, told))
    if numbers is None or numbers[0] is None:
        return
    air_c, (rh_pct, metal_c) = numbers[0], numbers[1:]
    bench.do(
        lambda shop, by: readings.take_reading(
            shop, by, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c
        )
    )

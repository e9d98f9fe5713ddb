"""What is done to one part: short flows of questions, each ending in one function of shop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from bench.process.actions.next_action import NextAction
from bench.process.clocks.reading_doubts import jump_words
from bench.process.parts.film_thickness import WEIGHTS, coat_to_judge
from bench.process.parts.part import Part, is_lot_of, last_event_at
from bench.process.parts.spray_guidance import DEFECTS
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import RINSED_EARLY
from bench.process.safety.hazards import lift_cautions
from bench.process.sheets.route import ZINC, tool_key
from bench.screens.bench.spray_card import SprayCard
from bench.screens.core.keys import Flow
from bench.screens.dialogs.batch_number import TagNumber
from bench.screens.dialogs.choices import NumberQuestion, Sure
from bench.screens.dialogs.earlier import Earlier
from bench.screens.dialogs.overrides import over_rules
from bench.screens.dialogs.pin import do_signed
from bench.screens.dialogs.questions import (
    ask_numbers,
    ask_whole,
    choose,
    choose_text,
    is_sure,
    show,
)
from bench.screens.parts.assignment import on_it
from bench.screens.parts.measuring import film_choices, measure, read_film
from bench.screens.parts.placement import ask_area, ask_zinc
from bench.screens.parts.route_exchange import exchange
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import back_dating, film_thickness, lots, placement, steps
from bench.shop.parts import holds_and_rework as troubles
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench

PartFlow = Callable[["Paintbench", Part], Flow]

ALL_OF_IT = "all of this step"
"""Among the troubles of a part: what there was no room for on its page."""


# --- the plain way on ----------------------------------------------------------------------------


async def begin(bench: Paintbench, part: Part) -> None:
    """Begin the next step; a coat begins with its three numbers."""
    await begun(bench, part.tag, bench.do(steps.begin, part.tag, bench.painter))


async def begun(bench: Paintbench, tag: str, answer: Outcome | Refusal) -> None:
    """Where a coat was begun with a spray tool: distance, wet film and faces, big."""
    placed = bench.view.find(tag)
    record = placed.part.current() if placed else None
    if placed is None or record is None or isinstance(answer, Refusal):
        return
    product = bench.view.products.get(record.step.product)
    tool = bench.view.tools.get(tool_key(record.step, product))
    if record.step.kind == "coat" and product is not None and tool is not None and tool.sprayed:
        notes = [*record.flags, *answer.notes[1:]]
        await show(bench, SprayCard(placed.part, product, tool, notes))


async def finish(bench: Paintbench, part: Part, zone: str = "") -> None:
    """Finish what is in hand; where it would be rinsed early, one key rinses it anyway.

    That is signed where the painter has a PIN. Left on, nothing is written.
    """

    def finished(shop: Shop, by: str, override: Override | None = None) -> Outcome | Refusal:
        return steps.finish(shop, part.tag, by, mark=zone, override=override)

    early = bench.do(finished, bench.painter)
    if isinstance(early, Outcome) or early.name != RINSED_EARLY.name:
        return
    bench.said = None  # the question says it
    notes = [f"tag {part.tag} {part.name}: {early.rule}; {early.remedy}."]
    choices = {"rinse it anyway": True, "leave it on": False}
    if not await choose(bench, f"{early.read}: rinse it anyway?", choices, notes):
        bench.tell(early)
        return
    answer = bench.do(finished, bench.painter)  # its minimum may be over by now
    if isinstance(answer, Refusal) and answer.name == RINSED_EARLY.name:
        anyway = Override({answer.name: RINSED_EARLY.reasons[0]})
        await do_signed(bench, finished, bench.painter, anyway)


async def all_faces(bench: Paintbench, part: Part, asked_by: type[Sure] = Sure) -> None:
    """Ask whether all open faces were sprayed just now, with how many they are."""
    record = part.current()
    left = [mark.name for mark in record.open_marks()] if record else []
    faces = "face" if len(left) == 1 else "faces"
    which = f"all {len(left)} {faces}"
    if record is not None and len(left) < len(record.marks):
        which = f"the other {len(left)} {faces}"
    title = f"Tag {part.tag}: {which} sprayed just now?"
    if await is_sure(bench, title, [f"Still open: {' '.join(left)}"], asked_by):
        bench.do(steps.finish, part.tag, bench.painter, all_faces=True)


async def how_thick(bench: Paintbench, part: Part) -> None:
    """Ask how the last coat came out; measured, its readings are typed."""
    record = coat_to_judge(part)
    if isinstance(record, Refusal):
        bench.tell(record)
        return
    title = f"Tag {part.tag}, {record.step.name}: how thick did it come out?"
    notes = ["Heavy waits half as long again. A measured film counts before this."]
    weights = [(weight, (weight, None)) for weight in WEIGHTS]
    films = [(text, (None, film)) for text, film in film_choices(bench, part)]
    choice = await choose(bench, title, [*weights, *films], notes)
    if choice is None:
        return
    weight, film = choice
    if film is not None:
        await read_film(bench, part, record, film)
    elif weight is not None:
        bench.do(film_thickness.record_thickness, part.tag, bench.painter, weight=weight)


async def take_off(bench: Paintbench, part: Part) -> None:
    """Take a part off its stand, after a second key."""
    notes = [
        *lift_cautions(bench.view.shapes.get(part.shape)),
        "Its clocks run on without a stand." if part.current() else "It leaves the bench: CURED.",
    ]
    if await is_sure(bench, f"Take tag {part.tag} {part.name} off stand {part.stand}?", notes):
        await over_rules(
            bench,
            f"Take tag {part.tag} off",
            lambda shop, by, override: placement.take_off(shop, part.tag, by, override=override),
        )


async def release(bench: Paintbench, part: Part) -> None:
    """Let its clocks count again."""
    bench.do(troubles.release, part.tag, bench.painter)


BY_ACTION: Mapping[NextAction, PartFlow] = {
    "begin": begin,
    "closed": begin,  # which says why not, and what would make it right
    "finish": finish,
    "faces": all_faces,
    "take off": take_off,
    "release": release,
}
"""What ``+`` begins, by the obvious action; with any other it begins nothing on a part."""


async def earlier(bench: Paintbench, part: Part) -> None:
    """The last event of a part, five minutes earlier with every press."""
    last = last_event_at(part)
    if last is None:
        bench.tell(Refusal(f"tag {part.tag}: nothing has happened to it yet"))
        return
    minutes = await bench.push_screen_wait(Earlier(part, last))
    if minutes:
        bench.do(back_dating.back_date, part.tag, bench.painter, minutes)


# --- trouble -------------------------------------------------------------------------------------


async def trouble(bench: Paintbench, part: Part) -> None:
    """Everything that is not the plain way on."""
    held = {"release the hold": release} if part.hold else {"hold it": _hold}
    flows: dict[str, PartFlow] = {
        **held,
        "skip the next step": _skip,
        "rework": _rework,
        "move to another stand, or swap two": move,
        "take it off its stand": take_off,
        "who has it: take, help, hand over; notes": on_it,
        "override a rule, with a reason": _override,
        "job record, log, corrections": sheet,
        "one more coat before the cure": _again,
        "split pieces off the lot": _split,
        "put another lot with it": _merge,
        "bungs and contact points": _points,
        ALL_OF_IT: _all_of_it,
        "its area, for the paint it takes": ask_area,
        "rework from an earlier step": partial(_rework, from_where=True),
        **({"its zinc: day galvanised, white rust": ask_zinc} if part.substrate in ZINC else {}),
        "readings: film, zinc, profile, salts ..": measure,
        "another route; what was done stays": exchange,
    }
    place = f"Stand {part.stand}" if part.stand else "No stand"
    flow = await choose(bench, f"{place}: tag {part.tag} {part_words(part)}", flows)
    if flow is not None:
        await flow(bench, part)


async def _hold(bench: Paintbench, part: Part) -> None:
    reason = await choose_text(bench, f"Hold tag {part.tag}: why?", steps.HOLD_REASONS)
    if reason:
        bench.do(troubles.hold, part.tag, bench.painter, reason)


async def _skip(bench: Paintbench, part: Part) -> None:
    reason = await choose_text(bench, f"Skip {_next_step(part)}: why?", steps.SKIP_REASONS)
    if reason:
        bench.do(troubles.skip, part.tag, bench.painter, reason)


def _next_step(part: Part) -> str:
    current = part.current()
    return current.step.name if current else ""


async def _rework(bench: Paintbench, part: Part, *, from_where: bool = False) -> None:
    """What went wrong on how many; again from the last coat, or from the step that is asked for."""
    defect = await choose_text(bench, f"Tag {part.tag}: what is wrong?", DEFECTS)
    if not defect:
        return
    count = part.count
    if part.count > 1:
        question = NumberQuestion(f"how many of {part.count}", "", float(part.count))
        numbers = await ask_whole(bench, f"Rework, {defect}", [question])
        if numbers is None:
            return
        (count,) = numbers
    back_to = None
    if from_where:
        done = [record for record in part.steps if record.status in ("done", "in hand")]
        froms = [(f"step {record.number} {record.step.name}", record.number) for record in done]
        back_to = await choose(bench, "Rework: again from where?", froms)
        if back_to is None:
            return
    bench.do(troubles.rework, part.tag, bench.painter, defect, count=count, back_to=back_to)


async def move(bench: Paintbench, part: Part) -> None:
    """Ask for the stand it goes to; where something is on it, whether the two are swapped."""
    title = f"Tag {part.tag} {part.name}: to which stand?"
    numbers = await ask_whole(bench, title, [NumberQuestion("stand")])
    if numbers is None:
        return
    (to,) = numbers
    other = bench.view.on(to)
    swap = other is not None and part.stand is not None
    if other is not None and swap:
        notes = [f"Stand {to} has tag {other.part.tag} {other.part.name}. Swap the two?"]
        if not await is_sure(bench, "That stand is occupied", notes):
            return
    bench.do(placement.move, part.tag, bench.painter, to=to, swap=swap)


async def _override(bench: Paintbench, part: Part) -> None:
    answer = await over_rules(
        bench,
        f"Start {_next_step(part)}",
        lambda shop, by, override: steps.begin(shop, part.tag, by, override=override or Override()),
    )
    await begun(bench, part.tag, answer)


async def sheet(bench: Paintbench, part: Part) -> None:
    """All that is known of it."""
    from bench.screens.parts.record_pages import RecordPage  # it asks through these flows itself

    await show(bench, RecordPage(part.tag))


async def _again(bench: Paintbench, part: Part) -> None:
    bench.do(troubles.another_coat, part.tag, bench.painter)


async def _all_of_it(bench: Paintbench, part: Part) -> None:
    from bench.screens.bench.step_details import all_of_it  # it shows itself through these flows

    await all_of_it(bench, part)


# --- lots ----------------------------------------------------------------------------------------


async def _split(bench: Paintbench, part: Part) -> None:
    """How many leave the lot, and where they go."""
    if part.count < 2:
        bench.tell(Refusal(f"tag {part.tag} is one piece", "", "only a lot can be split"))
        return
    questions = [
        NumberQuestion(f"how many of {part.count} leave the lot", whole=True),
        NumberQuestion("to which stand", "", None, must=False, whole=True, empty="none"),
    ]
    notes = ["They get a tag of their own and keep their clocks so far."]
    numbers = await ask_numbers(bench, f"Split tag {part.tag} {part_words(part)}", questions, notes)
    if numbers is None:
        return
    count, stand = int(numbers[0] or 0), numbers[1]
    to = None if stand is None else int(stand)
    bench.do(lots.split, part.tag, bench.painter, count, stand=to)


async def _merge(bench: Paintbench, part: Part) -> None:
    """Which lot of the same shape comes to this one."""
    view = bench.view
    everything = [placed for _, placed in view.stands if placed] + list(view.off_stand)
    alike = [p.part for p in everything if p.part.shape == part.shape and p.part.tag != part.tag]
    if not alike:
        bench.tell(Refusal("no other lot of that shape is on the bench", part_words(part)))
        return
    names = [(f"tag {other.tag} {part_words(other)}", other) for other in alike]
    other = await choose(bench, f"What comes to tag {part.tag}?", names)
    if other is None:
        return
    notes = [
        f"{part.count + other.count} pieces will be tag {part.tag}, with the worse clock of both.",
        f"Tag {other.tag} is then on no stand: take its steel disc off.",
    ]
    if await is_sure(bench, f"Put tag {other.tag} with tag {part.tag}?", notes):
        bench.do(lots.merge, part.tag, bench.painter, other.tag)


async def _points(bench: Paintbench, part: Part) -> None:
    """Bungs in and out, contact points there and touched up."""
    bungs, contacts = part.bungs, part.contacts
    questions = [
        NumberQuestion("bungs that went in", start=float(bungs[0]), whole=True),
        NumberQuestion("bungs that came out", start=float(bungs[1]), whole=True),
        NumberQuestion("contact points", start=float(contacts[0]), whole=True),
        NumberQuestion("contact points touched up", start=float(contacts[1]), whole=True),
    ]
    notes = ["Count them in when it is hung, and out before it goes."]
    counts = await ask_whole(bench, f"Tag {part.tag} {part_words(part)}: count", questions, notes)
    if counts is None:
        return
    bench.do(
        lots.count_points,
        part.tag,
        bench.painter,
        bungs_in=counts[0],
        bungs_out=counts[1],
        contacts=counts[2],
        contacts_done=counts[3],
    )


# --- of no part in particular --------------------------------------------------------------------


async def answer_jump(bench: Paintbench) -> None:
    """Whether a probe's jump is right; without an answer the stricter figure counts."""
    house = bench.view.house
    jump = house.hours.unanswered
    notes = ["Until you answer, the stricter of the two figures counts."]
    answers = {"yes, it is right": True, "no: take its readings since away": False}
    right = await choose(bench, jump_words(jump, house.units), answers, notes) if jump else False
    if right is not None:
        bench.do(readings.answer_jump, bench.painter, right=right)


async def take_reading(bench: Paintbench) -> None:
    """Ask for air, humidity and surface temperature."""
    questions = [
        NumberQuestion("air", "C"),
        NumberQuestion("humidity", "%", must=False),
        NumberQuestion("surface", "C", must=False),
    ]
    notes = ["Enter = not measured. Surface temperature sets the cure; without it, the air."]
    right: bool | None = False
    while not right:
        numbers = await ask_numbers(bench, "Write a reading down", questions, notes)
        if numbers is None or numbers[0] is None:
            return
        air_c, (rh_pct, metal_c) = numbers[0], numbers[1:]
        question = readings.asked_about(bench.shop, air_c=air_c, metal_c=metal_c)
        answers = {"yes": True, "type again": False}
        right = await choose(bench, question, answers) if question else True
        if right is None:
            return
    bench.do(readings.take_reading, bench.painter, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c)


async def find_tag(bench: Paintbench) -> None:
    """A part by its tag: its page where it is on the bench, else its sheet."""
    from bench.screens.parts.scanned import page_of  # its pages ask through these flows themselves

    tag = await ask_tag(bench, "Find a tag")
    if tag is None:
        return
    page = page_of(bench, tag)
    if isinstance(page, Refusal):
        bench.tell(page)
    else:
        await show(bench, page)


async def ask_tag(bench: Paintbench, title: str) -> str | None:
    """Ask for a tag by its figures, and for the piece where a lot has several; None for back.

    It may be one that is not on the bench.
    """
    tag = await bench.push_screen_wait(TagNumber(title, "back"))
    if not tag:
        return None
    here = [placed.part for placed in bench.view.everything()]
    lot = [part for part in here if tag.lower() == part.tag.lower() or is_lot_of(part.tag, tag)]
    if len(lot) > 1:
        titles = {f"tag {part.tag} {part_words(part)}": part.tag for part in lot}
        return await choose(bench, f"Which piece of the lot {tag}?", titles)
    return tag

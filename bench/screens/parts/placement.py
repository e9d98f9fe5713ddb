"""Something new on a stand: what it is, how many, and what is known of its zinc."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.part import Part
from bench.process.parts.zinc_answers import (
    CHANGES,
    NOT_KNOWN,
    QUESTIONS,
    YES_OR_NO,
    Galvanised,
    ZincAnswer,
    answers_words,
)
from bench.process.refusals.refusal import Refusal
from bench.process.safety.hazards import lift_cautions
from bench.process.sheets.route import ZINC
from bench.process.wording.display_units import quantity
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.days import ask_day
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.questions import ask_numbers, choose
from bench.screens.sums.input_questions import Solved, follow, questions_so_far
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core.transaction import Outcome
from bench.shop.parts import placement
from bench.shop.parts.area import set_area
from bench.shop.parts.zinc_answers import answer_zinc
from bench.shop.queries.menu_numbers import route_numbers, route_placed_last
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.sums.amounts import AREA_OF_PIECES
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


async def place(bench: Paintbench, stand: int) -> None:
    """Put something on an empty stand: a part that has none, or a new part or lot."""
    waiting = [placed.part for placed in bench.view.off_stand]
    if waiting:
        choices = [("a new part or lot", "")]
        choices += [(f"tag {part.tag} {part_words(part)}", part.tag) for part in waiting]
        tag = await choose(bench, f"Stand {stand}: what goes on it?", choices)
        if tag is None:
            return
        if tag:
            bench.do(placement.move, tag, bench.painter, to=stand)
            return
    await _place_new(bench, stand)


async def _place_new(bench: Paintbench, stand: int) -> None:
    route = await choose_key(
        bench,
        f"Stand {stand}: what is it made of, and which way does it go?",
        {r.key: f"{r.name} ({len(r.steps)} steps)" for r in bench.view.routes.values()},
        route_numbers(bench.shop),
        route_placed_last(bench.shop),
    )
    if route is None:
        return
    shape = await choose(
        bench,
        f"Stand {stand}: what shape is it?",
        [(f"{s.name}: {' '.join(s.faces)}", s.key) for s in bench.view.shapes.values()],
    )
    if shape is None:
        return
    answer = await _placed(bench, stand, route, shape)
    placed = bench.view.find(answer.tag) if isinstance(answer, Outcome) else None
    if placed is not None and bench.view.shapes[shape].area_m2 is None:
        await ask_area(bench, placed.part)
    if placed is not None and placed.part.substrate in ZINC:
        await ask_zinc(bench, placed.part)


async def _placed(bench: Paintbench, stand: int, route: str, shape: str) -> Outcome | None:
    """Ask how many and which tag until it stands there; what was typed stays. None for back."""
    questions = [
        NumberQuestion("how many pieces", "", 1.0),
        NumberQuestion("tag on its steel disc", "", None, must=False, empty="the next free one"),
    ]
    notes = [
        *lift_cautions(bench.view.shapes[shape]),
        "Enter alone takes one piece, and the next free tag. A name can be typed later.",
    ]
    title = f"Stand {stand}: how many, and which tag?"
    typed: tuple[float | None, ...] = ()
    wrong: list[str] = []
    while True:
        numbers = await ask_numbers(bench, title, questions, [*wrong, *notes], typed)
        if numbers is None:
            return None
        count, tag = int(numbers[0] or 0), "" if numbers[1] is None else f"{numbers[1]:g}"
        typed, wrong = numbers, []
        known = sheet_of(bench.shop, tag) if tag else None
        if isinstance(known, Sheet) and known.can_come_back:
            whose = await _whose_tag(bench, stand, known)
            if whose == "same":
                bench.do(placement.move, known.part.tag, bench.painter, to=stand)
                return None
            if whose is None:
                continue
            tag = ""
        answer = bench.do(
            placement.place, stand, bench.painter, route=route, shape=shape, count=count, tag=tag
        )
        if isinstance(answer, Outcome):
            return answer
        wrong = [f"NO: {answer}"]


async def _whose_tag(bench: Paintbench, stand: int, known: Sheet) -> str | None:
    """The part that had this tag, or another one; None to type again."""
    part, left_at = known.part, known.left_at
    until = f" until {left_at:%d %b %Y}" if left_at else ""
    notes = ["The same part keeps its tag, its route and its record: a tag stays one part's."]
    choices = {
        f"the same part: put it back on stand {stand}": "same",
        "another part: give it the next free tag": "another",
        "type it again": None,
    }
    title = f"Tag {part.tag} {part_words(part)} was here{until}. What is this?"
    return await choose(bench, title, choices, notes)


async def ask_area(bench: Paintbench, part: Part) -> None:
    """Ask for the area of one piece, typed straight or from its sizes; 0 leaves it."""
    known = part.area_m2
    notes = [f"recorded: {quantity(known, 'm2', bench.view.house.units, '.3g')}"] if known else []
    notes += [
        "What paint it takes is worked out from it. 0 leaves it, or Enter alone: "
        "then it is not counted."
    ]
    title = f"Tag {part.tag} {part_words(part)}: the area of one piece"
    from_sizes = await choose(bench, title, {"typed": False, "from its sizes": True}, notes)
    if from_sizes is None:
        return
    if from_sizes:
        await _area_from_sizes(bench, title, part)
        return
    left = "left as it is" if known else "not counted"
    question = NumberQuestion("area of all its faces", "m2", must=False, such_as=0.6, empty=left)
    numbers = await ask_numbers(bench, title, [question])
    if numbers is not None and numbers[0] is not None:
        bench.do(set_area, part.tag, bench.painter, area_m2=numbers[0])


async def _area_from_sizes(bench: Paintbench, title: str, part: Part) -> None:
    """The sum of the trade for areas, and its answer written down."""
    facts = ShopFacts(bench.view, bench.now())
    numbers = await ask_numbers(bench, title, partial(questions_so_far, AREA_OF_PIECES, facts))
    if numbers is None:
        return
    end = follow(AREA_OF_PIECES, facts, numbers).end
    if isinstance(end, Solved):
        values = end.answer.values
        one_m2 = values["m2"] / end.given["count"]
        bench.do(set_area, part.tag, bench.painter, area_m2=one_m2, sizes=values["words"])
    elif end is not None:
        bench.tell(Refusal(end.why))


async def ask_zinc(bench: Paintbench, part: Part) -> None:
    """Ask what is known of a part's zinc, and of that only what is not written down yet."""
    known = part.zinc or Galvanised()
    title = f"Tag {part.tag} {part_words(part)}: its zinc"
    answers: dict[str, ZincAnswer] = {}
    if known.galvanised is None:
        day = await _day_galvanised(bench, title)
        if day is None:
            return
        answers["galvanised"] = day
    before = known.answers
    rest = [what for what in YES_OR_NO if before[what] == NOT_KNOWN or what in CHANGES]
    questions = [
        NumberQuestion(QUESTIONS[what], choices=("yes", "no"), must=False) for what in rest
    ]
    notes = [f"answered: {answers_words(before)}"] if part.zinc else []
    numbers = await ask_numbers(bench, title, questions, notes)
    if numbers is None:
        return
    for what, number in zip(rest, numbers, strict=True):
        answers[what] = NOT_KNOWN if number is None else number == 1
    bench.do(answer_zinc, part.tag, bench.painter, **answers)


async def _day_galvanised(bench: Paintbench, title: str) -> ZincAnswer | None:
    """The day it came out of the bath, or that nobody knows it; None for back."""
    notes = ["Which preparation fits depends on it. 0 leaves it: it can be answered later."]
    days = {"the day it was galvanised is known": True, "nobody knows the day": False}
    known = await choose(bench, title, days, notes)
    if not known:
        return None if known is None else NOT_KNOWN
    return await ask_day(bench, f"{title}: galvanised on")

"""What random painters share: parts, faces, equipment, notes, the end of a shift."""

from __future__ import annotations

from datetime import timedelta

from hypothesis.stateful import invariant, rule

from bench.shop.parts import assignment, equipment, notes
from bench.shop.people import handover
from tests.shop.doing import over

from . import choices as c
from .painting import Painting

Whom = tuple[int, bool]


class Sharing(Painting):
    """Everything two painters do about one another; no clock of any part ever moves by it."""

    @rule(part=c.PARTS, by=c.PAINTERS)
    def take_part(self, part: Whom, by: str) -> None:
        whom = self.whom(part)
        self.do(lambda: assignment.take_part(self.shop, whom, by), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS, to=c.PAINTERS)
    def hand_to(self, part: Whom, by: str, to: str) -> None:
        whom = self.whom(part)
        self.do(lambda: assignment.hand_to(self.shop, whom, by, to), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS)
    def give_part_back(self, part: Whom, by: str) -> None:
        whom = self.whom(part)
        self.do(lambda: assignment.give_part_back(self.shop, whom, by), moves_clocks=False)

    @rule(part=c.PARTS, by=c.PAINTERS, first=c.MARKS, second=c.MARKS)
    def share_faces(self, part: Whom, by: str, first: int, second: int) -> None:
        whom = self.whom(part)
        faces = {"Kit": [self.mark_of(whom, first)], "Mo": [self.mark_of(whom, second)]}
        self.do(lambda: assignment.share_faces(self.shop, whom, by, faces), moves_clocks=False)

    @rule(thing=c.EQUIPMENT, by=c.PAINTERS, reason=c.OVERRIDES, ago=c.AGO)
    def take(self, thing: str, by: str, reason: str, ago: int | None) -> None:
        at = self.at(ago)
        self.do(
            lambda: over(
                lambda override: equipment.take(self.shop, thing, by, at=at, override=override),
                reason,
            ),
            moves_clocks=False,
        )

    @rule(thing=c.EQUIPMENT, by=c.PAINTERS, ago=c.AGO)
    def give_back(self, thing: str, by: str, ago: int | None) -> None:
        at = self.at(ago)
        self.do(lambda: equipment.give_back(self.shop, thing, by, at=at), moves_clocks=False)

    @rule(thing=c.EQUIPMENT, by=c.PAINTERS)
    def ask_for(self, thing: str, by: str) -> None:
        self.do(lambda: equipment.ask_for(self.shop, thing, by), moves_clocks=False)

    @rule(thing=c.EQUIPMENT, by=c.PAINTERS)
    def ask_no_more(self, thing: str, by: str) -> None:
        self.do(lambda: equipment.ask_no_more(self.shop, thing, by), moves_clocks=False)

    @rule(part=c.NOTED, by=c.PAINTERS, text=c.REASONS)
    def note(self, part: Whom | None, by: str, text: str) -> None:
        whom = None if part is None else self.whom(part)
        self.do(lambda: notes.write_note(self.shop, by, text, target=whom), moves_clocks=False)

    @rule(number=c.NOTES, by=c.PAINTERS)
    def strike(self, number: int, by: str) -> None:
        self.do(lambda: notes.strike_note(self.shop, by, number), moves_clocks=False)

    @rule(by=c.PAINTERS)
    def leave(self, by: str) -> None:
        self.do(lambda: handover.leave(self.shop, by), moves_clocks=False)

    @rule(by=c.PAINTERS)
    def come_in(self, by: str) -> None:
        self.do(lambda: handover.come_in(self.shop, by), moves_clocks=False)

    # --- what must hold --------------------------------------------------------------------------

    @invariant()
    def whatever_a_step_took_is_held_while_it_is_in_hand(self) -> None:
        """And nobody waits for what is in his hands, nor twice."""
        for thing in self.view.equipment:
            assert (thing.holder == "") == (thing.held_at is None), thing
            assert thing.holder not in thing.queue, thing
            assert len(set(thing.queue)) == len(thing.queue), thing
            if thing.held_at is not None:
                assert thing.held_at <= self.clock.now() + timedelta(seconds=2)
            if thing.held_for:
                placed = self.view.find(thing.held_for)
                record = placed.part.current() if placed is not None else None
                assert record is not None, thing
                assert record.status == "in hand", thing

    @invariant()
    def somebody_is_on_whatever_is_in_hand(self) -> None:
        """And at most three notes are anywhere."""
        for placed in self.view.everything():
            record = placed.part.current()
            if record is not None and record.status == "in hand":
                assert placed.part.on_it()
                assert set(placed.part.taken_by) <= set(self.view.painters)
            assert len(placed.notes) <= 3
        assert len(self.view.notes) <= 3

    @invariant()
    def the_hand_over_can_always_be_read(self) -> None:
        """Every section, whatever was pressed before."""
        found = handover.handover(self.shop)
        assert len(found.sections) >= 4

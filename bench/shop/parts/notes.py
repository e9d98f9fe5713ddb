"""Notes on a part or on the bench: written, and struck; never deleted."""

from __future__ import annotations

from bench.process.parts.notes import MOST_ON_BENCH, MOST_ON_PART
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.store.queries import people_rows
from bench.store.schema.tables import NoteRow, PartRow


def write_note(
    shop: Shop, by: str, text: str, *, target: Target | None = None
) -> Outcome | Refusal:
    """Write a note on a part, or without one on the bench; three at most of each."""
    with shop.act("note", by) as act:
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        note = clean_name(text, "the note")
        if isinstance(note, Refusal):
            return note
        part = None if target is None else act.row(target)
        if isinstance(part, Refusal):
            return part
        there = people_rows.notes(act.session, part.id if part else None)
        if len(there) >= (MOST_ON_PART if part else MOST_ON_BENCH):
            where = _where(part)
            return Refusal(f"{len(there)} notes are {where}", there[0].text, "strike one first")
        act.session.add(
            NoteRow(part_id=part.id if part else None, at=act.now, painter=painter, text=note)
        )
        return act.done(part.tag if part else "", f"note {_where(part)} by {painter}: {note}")


def strike_note(shop: Shop, by: str, number: int) -> Outcome | Refusal:
    """Strike a note that is not true any more, or was read. It stays in the log."""
    with shop.act("strike note", by) as act:
        row = act.session.get(NoteRow, number)
        if row is None or row.struck:
            conflict = act.unseen(row) if row is not None else None
            return conflict or Refusal(f"no note {number}", "", _numbers(act))
        row.struck = True
        part = act.session.get(PartRow, row.part_id) if row.part_id is not None else None
        words = f"note {_where(part)} struck: {row.text} ({row.painter}, {act.hour(row.at)})"
        return act.done(part.tag if part else "", words)


def _where(part: PartRow | None) -> str:
    return f"on tag {part.tag} {part.name}" if part else "on the bench"


def _numbers(act: Transaction) -> str:
    numbers = [str(row.id) for row, _ in people_rows.notes_here(act.session)]
    return f"there are: {', '.join(numbers)}" if numbers else "there is none"

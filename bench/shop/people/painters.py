"""Who the painters are, a PIN of their own to sign with, and training for isocyanate."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import replace

from bench.process.parts.part import StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.stock.equipment import training_against, training_caution
from bench.process.wording.text_rules import clean_name
from bench.shop.core.mappers import untrained_painters
from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.people.pins import PIN_LENGTH, hashed_pin, is_pin
from bench.shop.people.wrong_pins import has_pin
from bench.store.queries import bench_rows, people_rows
from bench.store.schema.tables import Painter, SettingRow

SALT_BYTES = 16


def set_pin(shop: Shop, by: str, pin: str, *, salt: bytes | None = None) -> Outcome | Refusal:
    """Give a painter a PIN, or another one; an empty one takes it away.

    Who has one already signs with it first (``Shop.with_pin``). salt: random where none is given.
    """
    if pin and not is_pin(pin):
        return Refusal(
            f"a PIN of {len(pin)} signs", "", f"{PIN_LENGTH} figures, such as those typed"
        )
    with shop.act("PIN", by) as act:
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        row = bench_rows.painter(act.session, painter)
        unsigned = act.signed() if has_pin(row.pin) else None
        if unsigned is not None:
            return unsigned
        if not pin and not row.pin:
            return Refusal(f"{painter} has no PIN", "", "nothing to take away")
        row.pin = hashed_pin(pin, salt or secrets.token_bytes(SALT_BYTES)) if pin else ""
        words = "has a new PIN" if pin else "has no PIN any more"
        return act.done("", f"{painter} {words}")


MOST_PAINTERS = 6
"""So many painters has a small workshop; each has a digit in the lists."""


def names_of(typed: Iterable[str]) -> tuple[str, ...] | Refusal:
    """Return the names of a shop's painters as they are kept: one to MOST_PAINTERS."""
    names: list[str] = []
    for text in typed:
        name = clean_name(text, "a painter's name")
        if isinstance(name, Refusal):
            return name
        if not any(sign.isalnum() for sign in name):
            return Refusal(f"a painter's name '{name}'", "no letter in it", "type a name")
        names.append(name)
    if len({name.casefold() for name in names}) < len(names) or not names:
        read = ", ".join(names) or "none"
        return Refusal("the painters' names", read, "one name each, all different")
    if len(names) > MOST_PAINTERS:
        return Refusal(f"{len(names)} painters", "", f"up to {MOST_PAINTERS}")
    return tuple(names)


def add_painter(shop: Shop, by: str, painter: str) -> Outcome | Refusal:
    """Add a painter to the shop; who was there before and left comes back."""
    with shop.act("painter", by) as act:
        here = bench_rows.painters(act.session)
        names = names_of([*here, painter])
        if isinstance(names, Refusal):
            return names
        every = {row.name.casefold(): row for row in bench_rows.every_painter(act.session)}
        known = every.get(names[-1].casefold())
        if known is None:
            act.session.add(Painter(name=names[-1]))
            return act.done("", f"{names[-1]} is a painter of this shop")
        gone = _gone(act)
        gone.value = [number for number in gone.value if number != known.id]
        return act.done("", f"{known.name} is a painter of this shop again")


def painter_gone(shop: Shop, by: str, painter: str) -> Outcome | Refusal:
    """Take a painter who left the shop off its lists; the records keep the name."""
    with shop.act("painter", by) as act:
        name = act.painter(painter)
        if isinstance(name, Refusal):
            return name
        if len(bench_rows.painters(act.session)) == 1:
            return Refusal(f"{name} is the only painter", "", "add another one first")
        if busy := _still_has(act, name):
            return Refusal(f"{name} still has {busy}", "", "hand it over or return it first")
        row = bench_rows.painter(act.session, name)
        gone = _gone(act)
        gone.value = [*gone.value, row.id]
        act.session.add(gone)
        return act.done("", f"{name} has left the shop; the records keep the name")


def _gone(act: Transaction) -> SettingRow:
    return act.session.get(SettingRow, bench_rows.GONE) or SettingRow(key=bench_rows.GONE, value=[])


def _still_has(act: Transaction, name: str) -> str:
    """Name what a painter is on or holds; empty where that is nothing."""
    has = [
        f"tag {part.tag}" for part in bench_rows.parts_here(act.session) if name in part.taken_by
    ]
    has += [item.name for item in people_rows.equipment(act.session) if item.holder == name]
    return ", ".join(has)


TRAINING = {True: "is trained for isocyanate", False: "is not trained for isocyanate"}


def set_trained(shop: Shop, by: str, painter: str, trained: bool | None) -> Outcome | Refusal:
    """Record whether a painter is trained for isocyanate; None: nobody knows.

    Whoever records it and has a PIN signs with it (``Shop.with_pin``).
    """
    with shop.act("training", by) as act:
        name = act.painter(painter)
        unsigned = act.signed()
        if isinstance(name, Refusal):
            return name
        if unsigned is not None:
            return unsigned
        row = bench_rows.painter(act.session, name)
        if row.isocyanate_trained is trained:
            return Refusal("nothing to change", training_words(name, trained))
        row.isocyanate_trained = trained
        return act.done("", f"recorded: {training_words(name, trained)}")


def training_words(name: str, trained: bool | None) -> str:
    """Say whether a painter is trained for isocyanate, in words."""
    if trained is None:
        return f"nobody recorded whether {name} is trained for isocyanate"
    return f"{name} {TRAINING[trained]}"


def not_trained(job: PartAction, record: StepRecord, painters: Iterable[str]) -> Refusal | None:
    """Say no to a painter who comes to a coat of isocyanate and is recorded as not trained for it.

    Who is on the step already began it, over the rule and with another air supply.
    """
    fresh = [name for name in painters if name not in record.painters]
    product, names = job.products.get(record.step.product), untrained_painters(job.training)
    no = next(training_against(record.step, product, fresh, names), None)
    return replace(no, override="never") if no else None


def note_training(job: PartAction, record: StepRecord, painters: Iterable[str]) -> None:
    """Add the caution that nobody recorded a painter's training, where the coat is isocyanate."""
    recorded = [name for name, trained in job.training.items() if trained is not None]
    product = job.products.get(record.step.product)
    if caution := training_caution(record.step, product, painters, recorded):
        job.act.notes.append(caution)

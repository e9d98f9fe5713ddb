"""What is recorded of painters: a PIN of their own to sign with, and training for isocyanate."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import replace

from bench.process.parts.part import StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.stock.equipment import training_against, training_caution
from bench.shop.core.mappers import untrained_painters
from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.people.pins import PIN_LENGTH, hashed_pin, is_pin
from bench.shop.people.wrong_pins import has_pin
from bench.store.queries import bench_rows

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

"""Readings of a part by keypad: of its last coat, or of anything else that can be measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.measurements import (
    ZINC_BELOW,
    figures_words,
    judged,
    more_words,
    readings_words,
    standing,
    surface_words,
    values_of,
)
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.measurement_kinds import FILM_KINDS, KINDS, MeasurementKind
from bench.process.stock.instruments import due_words, instrument_words, usual_instrument
from bench.process.wording.time_text import format_clock
from bench.screens.core.menu_action import Action, doing, menu
from bench.screens.dialogs.questions import choose_text
from bench.screens.dialogs.readings import ReadingsPage, Says
from bench.shop.core.transaction import Outcome
from bench.shop.parts.measuring import Readings, record_readings, strike_readings
from bench.shop.stock.instruments import instruments

if TYPE_CHECKING:
    from bench.app import Paintbench

FilmChoice = tuple[str, str]
"""A kind of film, and what lies below that is taken off."""


def film_choices(bench: Paintbench, part: Part) -> list[tuple[str, FilmChoice]]:
    """What of a coat can be read: its film alone, or with zinc or a profile that was measured."""
    placed = bench.view.find(part.tag)
    kinds = {each.kind for each in placed.measurements} if placed else set()
    below = [ZINC_BELOW] if "zinc" in kinds else ["unknown"] if "profile" in kinds else []
    choices = [(f"{KINDS[kind].name} readings", (kind, "")) for kind in FILM_KINDS]
    return choices + [
        (f"DFT readings through {surface_words(each)}", ("dft", each)) for each in below
    ]


async def read_film(bench: Paintbench, part: Part, record: StepRecord, film: FilmChoice) -> None:
    """Ask for readings of a coat."""
    kind, surface = film
    await _read(bench, part, record, KINDS[kind], surface)


async def measure(bench: Paintbench, part: Part) -> None:
    """Ask what was measured, then for its readings; or strike some."""
    placed = bench.view.find(part.tag)
    actions = [
        Action(_offer(kind), partial(_of_kind, part=part, kind=kind)) for kind in _readable(part)
    ]
    for each in placed.measurements if placed else ():
        when = format_clock(each.at, bench.now())
        words = f"strike: {readings_words(each)} ({each.painter} {when})"
        actions.append(Action(words, doing(strike_readings, bench.painter, each.number)))
    await menu(bench, f"Tag {part.tag} {part.name}: what was measured?", actions)


async def _of_kind(bench: Paintbench, part: Part, kind: MeasurementKind) -> None:
    """Its word, or one reading after another."""
    if kind.words:
        word = await choose_text(bench, f"Tag {part.tag}: {kind.name}", kind.words)
        if word is not None:
            bench.do(record_readings, part.tag, bench.painter, Readings(kind.key, grade=word))
        return
    begun = [r for r in part.steps if r.status in ("in hand", "done")]
    fitting = [r for r in begun if r.step.kind == "coat" or kind.key not in FILM_KINDS]
    await _read(bench, part, fitting[-1] if fitting else None, kind, "")


def _readable(part: Part) -> list[MeasurementKind]:
    """Zinc until the first coat begins, wet film from then on, dry film once a coat is done."""
    coats = [r.status for r in part.steps if r.step.kind == "coat"]
    begun = "in hand" in coats or "done" in coats
    out = {"zinc"} if begun else {"wft"}
    out |= set() if "done" in coats else {"dft"}
    return [kind for kind in KINDS.values() if kind.key not in out]


def _offer(kind: MeasurementKind) -> str:
    unit = f", {kind.unit}" if kind.unit else ""
    return f"{kind.name}{unit}"


async def _read(
    bench: Paintbench, part: Part, record: StepRecord | None, kind: MeasurementKind, surface: str
) -> None:
    """Type readings, and see as they come what they are; the last Enter writes them down."""
    instrument = usual_instrument(instruments(bench.shop), kind.key)
    notes = []
    if instrument is not None:
        notes.append(f"with {instrument_words(instrument)}")
        notes += filter(None, [due_words(instrument, bench.now().date())])
    if surface:
        notes.append(f"Taken off each: {surface_words(surface)}.")
    name = record.step.name if record is not None else part.name
    faces = [mark.name for mark in record.marks] if record is not None else []
    says = _says(bench, part, record, kind) if not surface else _nothing_yet
    page = ReadingsPage(f"Tag {part.tag}, {name}: {kind.name}", kind, says, faces, notes)
    sets = await bench.push_screen_wait(page)
    if sets:
        called = instrument.name if instrument is not None else ""
        readings = Readings(kind.key, sets, instrument=called, surface=surface)
        step = record.number if record is not None else None
        answer = bench.do(record_readings, part.tag, bench.painter, readings, step=step)
        if isinstance(answer, Outcome) and answer.notes:
            bench.tell(replace(answer, text=f"{name}, {kind.name}: {'; '.join(answer.notes)}"))


def _says(bench: Paintbench, part: Part, record: StepRecord | None, kind: MeasurementKind) -> Says:
    """What the readings come to, together with those that are there."""
    placed = bench.view.find(part.tag)
    every = placed.measurements if placed else ()
    there = values_of(standing(every, kind.key, record.number if record is not None else None))

    def says(values: Sequence[float]) -> Sequence[str]:
        both = (*there, *values)
        found = judged(part, record, kind.key, both, bench.view.products)
        words = (figures_words(kind, both), found.words, more_words(found.take))
        return [each for each in words if each]

    return says


def _nothing_yet(_: Sequence[float]) -> Sequence[str]:
    """What lies below is taken off when they are written down."""
    return ()

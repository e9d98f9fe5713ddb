"""How thick a finished coat came out, corrected when the next step has long started."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from bench.process.parts.film_thickness import FILMS, WEIGHTS, FilmKind, film_words, films_of
from bench.process.parts.part import StepRecord, Weight
from bench.process.refusals.refusal import Refusal
from bench.shop.core.part_action import PartAction
from bench.shop.corrections.correction import StepCorrection
from bench.shop.corrections.correction_effects import Change
from bench.shop.corrections.questions import (
    ChoiceQuestion,
    CorrectableFact,
    FigureField,
    FiguresQuestion,
)
from bench.shop.corrections.step_facts import flag_windows
from bench.shop.parts.film_thickness import keep_thickness


def _write_thickness(
    job: PartAction, record: StepRecord, weight: str, films: Mapping[FilmKind, float | None]
) -> Refusal | None:
    """Write it, and what the sheet says of this coat and the next by the hours that follow."""
    if not _is_coat(record):
        return Refusal(f"{record.step.name} is no finished coat", record.status)
    outcome = keep_thickness(job, record, weight, films)
    if isinstance(outcome, Refusal):
        return outcome
    flag_windows(job, record.number)
    return None


def _is_coat(record: StepRecord) -> bool:
    return record.step.kind == "coat" and record.status == "done"


@dataclass(frozen=True)
class WeightOfCoat(StepCorrection):
    """A coat came out thin, as meant or heavy: whatever opens after it follows."""

    word = "weight"
    help = "whether a coat came out thin, as meant or heavy"
    weight: Weight

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Write the other weight."""
        refused = _write_thickness(job, record, self.weight, {})
        if refused is not None:
            return refused
        return Change(f"{record.step.name}, came out", record.weight, self.weight)

    @classmethod
    def offered(cls, record: StepRecord) -> Iterator[CorrectableFact]:
        """Ask which of the others it was."""
        if _is_coat(record):
            others = [(each, cls(record.number, each)) for each in WEIGHTS if each != record.weight]
            yield CorrectableFact(
                record.step.name, "came out", record.weight, ChoiceQuestion(others)
            )


@dataclass(frozen=True)
class FilmOfCoat(StepCorrection):
    """A coat's film was another, or measured at all. films: in um; None: it was not measured."""

    word = "film"
    help = "a coat's film as measured, wet or dry"
    films: Mapping[FilmKind, float | None] = field(default_factory=dict)

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Write the other figures."""
        olds = films_of(record)
        other = {kind: um for kind, um in self.films.items() if um != olds[kind]}
        refused = _write_thickness(job, record, record.weight, other)
        if refused is not None:
            return refused
        old = ", ".join(film_words(kind, olds[kind]) for kind in other)
        new = ", ".join(film_words(kind, um) for kind, um in other.items())
        return Change(record.step.name, old, new)

    @classmethod
    def offered(cls, record: StepRecord) -> Iterator[CorrectableFact]:
        """Ask for both films."""
        if _is_coat(record):
            olds = films_of(record)
            question = FiguresQuestion(
                [FigureField(FILMS[kind], "um", um, must=False) for kind, um in olds.items()],
                lambda new: cls(record.number, dict(zip(olds, new, strict=True))),
            )
            old_words = ", ".join(film_words(kind, um) for kind, um in olds.items())
            yield CorrectableFact(record.step.name, "film", old_words, question)

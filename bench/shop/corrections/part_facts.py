"""Facts of a part: its name and count, what it is made of, what was wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from bench.process.parts.part import Part
from bench.process.parts.spray_guidance import DEFECTS
from bench.process.parts.zinc_answers import (
    NOT_KNOWN,
    QUESTIONS,
    Galvanised,
    ZincAnswer,
    answer_words,
    answers_words,
    day_of,
)
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.shop.core.bench_view import BenchView
from bench.shop.core.mappers import routes_of
from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Transaction
from bench.shop.corrections.correction import PartCorrection, nth
from bench.shop.corrections.correction_effects import Change
from bench.shop.corrections.questions import (
    ChoiceQuestion,
    CorrectableFact,
    FigureField,
    FiguresQuestion,
    TextQuestion,
)
from bench.shop.parts.placement import MOST_IN_A_LOT, fit_tag
from bench.shop.parts.zinc_answers import set_zinc
from bench.shop.records.job_record import Sheet
from bench.store.queries import history_rows
from bench.store.schema.tables import PartRow

DayTyped = tuple[int, int, int]
"""Year, month and day as they were typed, which may be no day."""


@dataclass(frozen=True)
class Naming(PartCorrection):
    """What a part is called, how many it is and what it is made of. None: as it is.

    Its route stays: what of it does not fit another substrate is left out or done again.
    """

    word = "part"
    help = "what a part is called, its count, what it is made of"
    tag: str | None = None
    name: str | None = None
    job: str | None = None
    owner: str | None = None
    count: int | None = None
    substrate: str | None = None

    def change(self, job: PartAction) -> Change | Refusal:
        """Write what is another; a new tag goes to the lots beside it too."""
        olds: list[str] = []
        news: list[str] = []
        for what in (field.name for field in fields(self)):
            new, old = getattr(self, what), getattr(job.row, what)
            fit = old if new is None else _fit(job.act, job.row, what, new)
            if isinstance(fit, Refusal):
                return fit
            if fit != old:
                olds.append(f"{what} {old or 'none'}")
                news.append(f"{what} {fit or 'none'}")
                if what == "tag":
                    history_rows.tag_lots_beside(job.act.session, str(old), str(fit))
                setattr(job.row, what, fit)
        return Change("", ", ".join(olds), ", ".join(news))

    @classmethod
    def offered(cls, view: BenchView, sheet: Sheet) -> Iterator[CorrectableFact]:
        """Ask for the tag, the texts, the count and the substrate."""
        part = sheet.part
        name = f"Tag {part.tag}"
        disc = ("What the steel disc really says. Its story goes with it.",)
        for what, question in (
            ("tag", TextQuestion(part.tag, lambda typed: cls(tag=typed), disc)),
            ("name", TextQuestion(part.name, lambda typed: cls(name=typed))),
            ("job", TextQuestion(part.job, lambda typed: cls(job=typed))),
            ("owner", TextQuestion(part.owner, lambda typed: cls(owner=typed))),
        ):
            yield CorrectableFact(name, what, question.old or "none", question)
        pieces = FigureField("how many pieces", old=part.count, whole=True)
        count = FiguresQuestion([pieces], lambda new: cls(count=int(new[0] or 0)))
        yield CorrectableFact(name, "count", str(part.count), count)
        substrates = sorted({route.substrate for route in view.routes.values()} - {part.substrate})
        metals = ChoiceQuestion([(metal, cls(substrate=metal)) for metal in substrates])
        yield CorrectableFact(name, "made of", part.substrate, metals)


def _fit(act: Transaction, row: PartRow, what: str, new: str | int) -> str | int | Refusal:
    """The new value fit to be kept. A tag is nobody else's; job and owner may be empty."""
    if isinstance(new, int):
        if row.merged_into:
            return Refusal(f"tag {row.tag} was put with tag {row.merged_into}", "", "count that")
        if not 1 <= new <= MOST_IN_A_LOT:
            return Refusal(f"a lot of {new}", "", f"from 1 to {MOST_IN_A_LOT}")
        return new
    if what in ("job", "owner") and not new.strip():
        return ""
    if what == "substrate":
        substrates = sorted({route.substrate for route in routes_of(act.session).values()})
        one_of = f"one of {', '.join(substrates)}"
        return new if new in substrates else Refusal(f"no substrate {new[:40]!r}", "", one_of)
    if what == "tag":
        return new if new == row.tag else fit_tag(act, new, of=row)
    return clean_name(new, f"the {what}")


@dataclass(frozen=True)
class ZincOfPart(PartCorrection):
    """An answer about its zinc was wrong. None: as it is."""

    word = "zinc"
    help = "what was answered about its galvanising"
    galvanised: ZincAnswer | DayTyped | None = None
    quenched: ZincAnswer | None = None
    passivated: ZincAnswer | None = None
    white_rust: ZincAnswer | None = None

    def change(self, job: PartAction) -> Change | Refusal:
        """Write what is another."""
        before = job.part.zinc or Galvanised()
        answers = {what: getattr(self, what) for what in QUESTIONS}
        if isinstance(self.galvanised, tuple):
            answers["galvanised"] = day_of(*self.galvanised)
        if isinstance(answers["galvanised"], Refusal):
            return answers["galvanised"]
        new = {w: a for w, a in answers.items() if a not in (None, before.answers[w])}
        old = {what: before.answers[what] for what in new}
        refused = set_zinc(job, new)
        return refused or Change("", answers_words(old), answers_words(new))

    @classmethod
    def offered(cls, part: Part) -> Iterator[CorrectableFact]:
        """Ask for each answer that was given."""
        for what, old in part.zinc.answers.items() if part.zinc is not None else ():
            question: FiguresQuestion | ChoiceQuestion
            if what == "galvanised":
                day = old if isinstance(old, date) else None
                figures = [
                    FigureField(each, old=getattr(day, each, None), whole=True)
                    for each in ("year", "month", "day")
                ]
                question = FiguresQuestion(figures, cls._of_day)
            else:
                others: dict[str, Any] = {"yes": True, "no": False, NOT_KNOWN: NOT_KNOWN}
                question = ChoiceQuestion(
                    [(text, cls(**{what: new})) for text, new in others.items() if new != old]
                )
            yield CorrectableFact(f"Tag {part.tag}", QUESTIONS[what], answer_words(old), question)

    @classmethod
    def _of_day(cls, new: Sequence[float | None]) -> ZincOfPart:
        year, month, day = (int(figure or 0) for figure in new)
        return cls(galvanised=(year, month, day))


@dataclass(frozen=True)
class DefectOfPart(PartCorrection):
    """A defect was written down wrong. What to do differently on its next coat follows.

    defect: which one of the part, from 1, oldest first; None: the last.
    """

    word = "defect"
    help = "what was wrong with a coat"
    text: str
    defect: int | None = None

    def change(self, job: PartAction) -> Change | Refusal:
        """Write the other defect, and on the part what its rework is for."""
        text = clean_name(self.text, "the defect")
        if isinstance(text, Refusal):
            return text
        rows = history_rows.defects_of(job.act.session, job.row)
        row = nth(rows, self.defect)
        if row is None:
            return Refusal(f"no defect {self.defect or ''}".rstrip(), f"there are {len(rows)}")
        if row is rows[-1] and job.row.rework == row.defect:
            job.row.rework = text
        old, row.defect = row.defect, text
        return Change(f"what was wrong after {row.step_name}", old, text)

    @classmethod
    def offered(cls, sheet: Sheet) -> Iterator[CorrectableFact]:
        """Ask what each of its defects really was."""
        for number, defect in enumerate(sheet.defects, start=1):
            others = [(text, cls(text, number)) for text in DEFECTS if text != defect.defect]
            what = f"what was wrong, {defect.step}"
            yield CorrectableFact(
                f"Tag {sheet.part.tag}", what, defect.defect, ChoiceQuestion(others)
            )

"""Facts of a step: its hours, faces, zones, tests and painters, why it was skipped, its pot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial
from itertools import combinations

from bench.process.actions.correction_rules import (
    EDGES,
    StepEdge,
    between,
    edge_at,
    edge_words,
    mark_name,
    window_flags,
    with_hour,
)
from bench.process.actions.test_opinions import Opinion, holding_opinions
from bench.process.clocks.part_clocks import readings_since
from bench.process.parts.part import Mark, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.process.wording.time_text import join_names
from bench.shop.core.bench_view import BenchView
from bench.shop.core.mappers import marks_json, opinion_of
from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Shop, Transaction
from bench.shop.corrections.correction import StepCorrection, nth, with_day
from bench.shop.corrections.correction_effects import Change, air_since
from bench.shop.corrections.pot_facts import no_row, past_its_life, pots_it_may_be
from bench.shop.corrections.questions import ChoiceQuestion, CorrectableFact, Menu, hour_question
from bench.shop.parts.soak_flags import flag_soaks
from bench.shop.parts.steps import SKIP_REASONS
from bench.shop.records.job_record import SheetPot, SheetStep
from bench.store.queries import bench_rows, tin_rows
from bench.store.schema.tables import MixRow, StepRow, TestRow


@dataclass(frozen=True)
class HourOfStep(StepCorrection):
    """A step's first or last face was at another hour.

    Refused ahead of now, before what came before it, and after what came after it.
    """

    word = "hour"
    help = "the hour of a step's first or last face"
    edge: StepEdge
    at: datetime
    mark: str | None = None

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Move the edge, and what follows it."""
        when, words_of = job.act.when(self.at), with_day(job.act)
        if isinstance(when, Refusal):
            return when
        tests = [test.at for test in _tests(job, record)]
        mark = None if self.mark is None else mark_name(record, self.mark)
        right = with_hour(job.part, record, self.edge, when, tests, words_of, mark)
        if isinstance(right, Refusal):
            return right
        _write_hours(job, record, right)
        was, now = (edge_at(each, self.edge, mark) for each in (record, right))
        assert was is not None
        assert now is not None
        what = f"{record.step.name}, {edge_words(record.step.kind, self.edge, mark)}"
        return Change(what, words_of(was), words_of(now))

    @classmethod
    def offered(cls, record: StepRecord) -> Iterator[CorrectableFact]:
        """Ask for the first and the last hour."""
        for edge in EDGES:
            at = record.first_at if edge == "first" else record.last_at
            if at is not None:
                words = edge_words(record.step.kind, edge)
                yield hour_question(record.step.name, words, at, partial(cls, record.number, edge))


@dataclass(frozen=True)
class HourOfMark(HourOfStep):
    """One face was ticked, or one zone wetted (first) or rinsed (last), at another hour.

    What the sheet says of too short or too long a soak follows.
    """

    word = "mark"
    help = "when one face was ticked, or a zone wetted or rinsed"
    mark: str = field(kw_only=True)

    @classmethod
    def offered_marks(cls, record: StepRecord) -> Iterator[Menu]:
        """Ask for the hours of the faces or zones, in a menu of their own."""
        hours = tuple(hour for face in record.marks for hour in cls._hours(record, face))
        if hours:
            label = "one zone, when" if record.step.kind == "dwell" else "one face, when"
            yield Menu(label, f"{record.number} {record.step.name}: what is wrong?", hours)

    @classmethod
    def _hours(cls, record: StepRecord, face: Mark) -> Iterator[CorrectableFact]:
        for edge in EDGES:
            at = face.begun_at if edge == "first" else face.done_at
            if at is not None and (edge == "last" or record.step.kind == "dwell"):
                words = edge_words(record.step.kind, edge, face.name)
                right = partial(cls, record.number, edge, mark=face.name)
                yield hour_question(record.step.name, words, at, right)


def _tests(job: PartAction, record: StepRecord) -> list[TestRow]:
    return bench_rows.tests_of(job.act.session, [job.step_row(record)])


def _write_hours(job: PartAction, record: StepRecord, right: StepRecord) -> None:
    row = job.step_row(right)
    row.first_at, row.last_at, row.marks = right.first_at, right.last_at, marks_json(right.marks)
    job.act.notes += flag_soaks(row, record)
    flag_windows(job, right.number)


def flag_windows(job: PartAction, number: int) -> None:
    """Flag this coat by the window of the coat below, and the next one by this coat's window."""
    job.act.session.flush()
    part = job.part
    firsts = [r.first_at for r in part.steps if r.first_at is not None]
    since = min(firsts, default=job.act.now)
    environment = air_since(job.act, job.products, readings_since(since, ()))
    following = [r for r in part.steps if r.number > number and r.status in ("done", "in hand")]
    here = [r for r in part.steps if r.number == number]
    for record in (*here, *following[:1]):
        row: StepRow = job.step_row(record)
        flags = window_flags(part, record, environment, with_day(job.act), job.act.now)
        fresh = [flag for flag in flags if flag not in row.flags]
        row.flags = [*row.flags, *fresh]
        job.act.notes += fresh


@dataclass(frozen=True)
class HourOfTest(StepCorrection):
    """A test was made at another hour, and a "not yet" asks again so much sooner or later.

    test: which of the step's tests, from 1 in the order they were written down; None: the last.
    """

    word = "test"
    help = "when a step was tested"
    at: datetime
    test: int | None = None

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Move the test, and what rests on it."""
        tests = _tests(job, record)
        test, words_of = nth(tests, self.test), with_day(job.act)
        if test is None:
            reason = f"there are {len(tests)}" if tests else "nobody tested it yet"
            return Refusal(f"{record.step.name} has no test {self.test or ''}".rstrip(), reason)
        when = self._hour_that_fits(job, record, tests, test)
        if isinstance(when, Refusal):
            return when
        old, test.at = opinion_of(test), when
        _move_test(job, job.step_row(record), tests, old, when)
        what = f"{record.step.name}, {'passed' if test.passed else 'not yet'} by {test.painter}"
        return Change(what, words_of(old.at), words_of(when))

    def _hour_that_fits(
        self, job: PartAction, record: StepRecord, tests: list[TestRow], test: TestRow
    ) -> datetime | Refusal:
        when = job.act.when(self.at)
        if isinstance(when, Refusal):
            return when
        place = tests.index(test)
        before = [t.at for t in tests[:place]] + ([record.last_at] if record.last_at else [])
        coats = (r for r in job.part.steps if r.number > self.step and r.step.kind != "cure")
        after = [t.at for t in tests[place + 1 :]] + [r.first_at for r in coats if r.first_at]
        return between(when, before, after, with_day(job.act))

    @classmethod
    def offered(cls, record: StepRecord, tests: tuple[Opinion, ...]) -> Iterator[CorrectableFact]:
        """Ask for the hour of each test."""
        for number, test in enumerate(tests, start=1):
            words = f"{test.painter}'s {'passed' if test.passed else 'not yet'}"
            yield hour_question(
                record.step.name, words, test.at, partial(cls, record.number, test=number)
            )


def _move_test(
    job: PartAction, row: StepRow, tests: list[TestRow], old: Opinion, at: datetime
) -> None:
    """What was written down of the test elsewhere: that it passed, what it holds back, the cure."""
    cure = next((r for r in job.steps if r.plan["kind"] == "cure" and r.last_at == old.at), None)
    for step_row in (row, cure):
        if step_row is not None and step_row.passed_at == old.at:
            step_row.passed_at = at
    if cure is not None:
        cure.last_at = at
        cure.first_at = min(cure.first_at or at, at)
    for waiting in job.steps:
        if not old.passed and waiting.not_before == old.until:
            still = holding_opinions((opinion_of(test) for test in tests), at)
            waiting.not_before = max((o.until for o in still), default=at + (old.until - old.at))


@dataclass(frozen=True)
class PaintersOfStep(StepCorrection):
    """A step was done by somebody else, or by others as well."""

    word = "who"
    help = "who did a step"
    painters: tuple[str, ...]

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Name the painters, on the faces too where one named there is no longer among them."""
        names = _spellings(job.act, self.painters)
        if isinstance(names, Refusal):
            return names
        if not names:
            return Refusal("nobody is named", "", "name who it was")
        if not record.painters:
            return Refusal(f"{record.step.name} is not begun", "", "it has no painter yet")
        row = job.step_row(record)
        row.painters = names
        row.marks = marks_json(
            tuple(
                replace(mark, by=names[0]) if mark.by and mark.by not in names else mark
                for mark in record.marks
            )
        )
        return Change(
            f"{record.step.name}, done by", join_names(record.painters), join_names(names)
        )

    @classmethod
    def offered(cls, view: BenchView, record: StepRecord) -> Iterator[CorrectableFact]:
        """Ask which painter, or which two, it was."""
        teams = [team for size in (1, 2) for team in combinations(view.painters, size)]
        question = ChoiceQuestion([(join_names(team), cls(record.number, team)) for team in teams])
        yield CorrectableFact(record.step.name, "done by", join_names(record.painters), question)


def _spellings(act: Transaction, painters: tuple[str, ...]) -> list[str] | Refusal:
    """The painters as the shop spells them, each once."""
    names: list[str] = []
    for name in painters:
        spelling = act.painter(name)
        if isinstance(spelling, Refusal):
            return spelling
        names.append(spelling)
    return list(dict.fromkeys(names))


@dataclass(frozen=True)
class ReasonOfSkip(StepCorrection):
    """A step was skipped for another reason. What is said of the coat above it follows."""

    word = "skip"
    help = "why a step was skipped"
    text: str

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Write the other reason."""
        text = clean_name(self.text, "the reason")
        if isinstance(text, Refusal):
            return text
        if record.status != "skipped":
            return Refusal(f"{record.step.name} was not left out", record.status)
        job.step_row(record).reason = text
        return Change(f"{record.step.name}, why it was left out", record.reason, text)

    @classmethod
    def offered(cls, record: StepRecord) -> Iterator[CorrectableFact]:
        """Ask for the reason of a step that was skipped."""
        if record.status == "skipped":
            others = [text for text in SKIP_REASONS if text != record.reason]
            question = ChoiceQuestion([(text, cls(record.number, text)) for text in others])
            yield CorrectableFact(
                "", f"{record.number} {record.step.name}, left out", record.reason, question
            )


@dataclass(frozen=True)
class PotOfCoat(StepCorrection):
    """A coat, or one face of it, came from another pot.

    Its batches, and whether that was past its life, follow. pot: its number, as ``pot_of_line``
    gives it. Which gun is still loaded is not touched.
    """

    word = "from"
    help = "which pot a coat, or one face of it, came from"
    pot: int
    mark: str | None = None

    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Take the coat from the other pot."""
        mix, words_of = job.act.session.get(MixRow, self.pot), with_day(job.act)
        if mix is None:
            return no_row("pot", self.pot)
        if record.step.kind != "coat" or record.first_at is None:
            return Refusal(f"{record.step.name} was sprayed from no pot", record.status)
        name = f"pot {mix.letter} mixed {words_of(mix.mixed_at)}"
        if mix.product != record.step.product:
            return Refusal(f"{name} is {mix.product}", "", f"a pot of {record.step.product}")
        sprayed_at = self._sprayed_at(record)
        if isinstance(sprayed_at, Refusal):
            return sprayed_at
        if mix.mixed_at > sprayed_at:
            return Refusal(f"{name} was not mixed yet", words_of(sprayed_at), "an earlier one")
        row = job.step_row(record)
        pots = tin_rows.pots_of_coats(job.act.session, [row])
        old = [f"pot {pot.letter} mixed {words_of(pot.mixed_at)}" for pot in self._old(row, pots)]
        if name not in old or len(old) > 1:
            self._write(row, record, mix)
            past_its_life(job.act, mix, row)
        what = f"{record.step.name}{f' {self.mark}' if self.mark else ''}, sprayed from"
        return Change(what, join_names(old) or "no pot", name)

    def _sprayed_at(self, record: StepRecord) -> datetime | Refusal:
        """When the face was sprayed, or the first of the coat."""
        face = next((mark for mark in record.marks if mark.name == self.mark), None)
        at = face.done_at if face else record.first_at if self.mark is None else None
        if at is not None:
            return at
        sprayed = " ".join(mark.name for mark in record.marks if mark.done_at) or "none"
        return Refusal(f"no face '{self.mark}' was sprayed", "", f"sprayed: {sprayed}")

    def _old(self, row: StepRow, pots: Mapping[int, MixRow]) -> list[MixRow]:
        own = [
            mark.get("pot") or row.mix_id or 0 for mark in row.marks if mark["name"] == self.mark
        ]
        return [pots[number] for number in own or row.pots() if number in pots]

    def _write(self, row: StepRow, record: StepRecord, mix: MixRow) -> None:
        """Let the one face be from the pot, or every one that was sprayed."""
        if self.mark is None:
            row.mix_id = mix.id
        faces = [mark for mark in record.marks if mark.done_at and self.mark in (None, mark.name)]
        row.marks = marks_json(
            tuple(replace(mark, pot=mix.id) if mark in faces else mark for mark in record.marks)
        )

    @classmethod
    def offered(cls, shop: Shop, step: SheetStep) -> Iterator[CorrectableFact]:
        """Ask which other pot of the coat's product it was."""
        record, plan = step.record, step.plan
        if plan.kind != "coat" or record.first_at is None:
            return
        yield cls._question(shop, step, record.first_at, step.pots, "sprayed from", None)

    @classmethod
    def offered_faces(cls, shop: Shop, step: SheetStep) -> Iterator[Menu]:
        """Ask of one face, where the coat was sprayed from several pots, in a menu of its own."""
        if len(step.pots) > 1:
            facts = tuple(
                cls._question(shop, step, at, pots, f"{face.name}, sprayed from", face.name)
                for face in step.record.marks
                if (at := face.done_at)
                for pots in [[pot for pot in step.pots if pot.number == face.pot]]
            )
            title = f"{step.record.number} {step.plan.name}: what is wrong?"
            yield Menu("one face, from which pot", title, facts)

    @classmethod
    def _question(
        cls,
        shop: Shop,
        step: SheetStep,
        at: datetime,
        pots: Sequence[SheetPot],
        words: str,
        mark: str | None,
    ) -> CorrectableFact:
        own = [pot.number for pot in pots]
        choices = [
            (pot, cls(step.record.number, n, mark))
            for n, pot in pots_it_may_be(shop, step.plan.product, at).items()
            if [n] != own
        ]
        old = join_names([f"pot {pot.pot.letter}" for pot in pots]) or "no pot"
        return CorrectableFact(step.plan.name, words, old, ChoiceQuestion(choices))

"""One job whole, for its page: parts, hours, paint, deviations, cost and promise."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo

from bench.process.clocks.promise import Ready, Slack, ready_of, slack_of
from bench.process.parts.job import Job, Progress, progress_of
from bench.process.parts.work_hours import WorkHours, work_hours
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import Shape
from bench.process.stock.costs import ProductSpending, sum_of
from bench.process.stock.shared_pots import PartInPot, share_of_pot
from bench.process.wording.text_rules import clean_name
from bench.shop.clock import timekeeping
from bench.shop.core.mappers import job_of, products_of, settings_of, shapes_of
from bench.shop.core.transaction import Shop
from bench.shop.parts.jobs import no_job
from bench.shop.queries.log import MIX, entries_of, rows_touched
from bench.shop.records.deviations import Deviation, deviations, overridden
from bench.shop.records.gathering import gather, in_zone
from bench.shop.records.job_record import Sheet
from bench.shop.stock.tin_list import amounts_of_coat, amounts_of_pot, tins_poured
from bench.store.databases.database import Session
from bench.store.queries import bench_rows, history_rows, job_rows, tin_rows
from bench.store.schema.tables import MixRow, PartRow, StepRow

MIXING = ("mix", "top up")
"""The actions by which paint comes into a pot."""


@dataclass(frozen=True)
class JobPart:
    """A part of the job as it is now. place: the stand, or where else it is."""

    tag: str
    name: str
    count: int
    place: str
    state: str
    progress: Progress
    ready: Ready | None


@dataclass(frozen=True)
class JobPaint:
    """What the job took of a product, and its cost. by_piece: a shared pot was split by pieces."""

    spent: ProductSpending
    by_piece: bool = False


@dataclass(frozen=True)
class JobPage:
    """A job with all that is known of it, every instant in the shop's zone.

    paint: by product; unrecorded: coats that were put on, and nobody recorded from what;
    unmeasured: pots that were binned, and nobody said what was left.
    """

    written_at: datetime
    doubtful: bool
    job: Job
    parts: tuple[JobPart, ...]
    progress: Progress
    slack: Slack | None
    hours: WorkHours
    paint: tuple[JobPaint, ...]
    unrecorded: int
    unmeasured: int
    deviations: tuple[Deviation, ...]

    @property
    def in_all(self) -> ProductSpending:
        """All products together."""
        return sum((line.spent for line in self.paint), ProductSpending("all"))


def job_page(shop: Shop, typed_name: str, *, without_names: bool = False) -> JobPage | Refusal:
    """Gather a job by its name; capitals do not matter.

    without_names: painters are "painter 1", "painter 2".
    """
    name = clean_name(typed_name, "the job")
    if isinstance(name, Refusal):
        return name
    with shop.store.reading() as session:
        row = job_rows.job_named(session, name)
        rows = sorted(
            job_rows.parts_of_job(session, name), key=lambda each: (len(each.tag), each.tag)
        )
        if row is None and not rows:
            return no_job(session, name)
        job = job_of(row) if row is not None else Job(rows[0].job, rows[0].owner)
        doubtful = timekeeping.read_state(session, shop.clock).doubtful
        page = _gathered(session, job, rows, shop.clock.now(), doubtful=doubtful)
        painters = bench_rows.painters(session)
    return _without(page, painters) if without_names else page


def _gathered(
    session: Session, job: Job, rows: Sequence[PartRow], now: datetime, *, doubtful: bool
) -> JobPage:
    sheets = [gather(session, row, now, doubtful=doubtful) for row in rows]
    zone = settings_of(session).hours.zone
    local = now.astimezone(zone)
    readies = [in_zone(ready_of(sheet.part, sheet.cure, job.promise), zone) for sheet in sheets]
    paint = _Paint(session, rows)
    return JobPage(
        written_at=local,
        doubtful=doubtful,
        job=job,
        parts=tuple(map(_part, sheets, readies)),
        progress=progress_of([sheet.part for sheet in sheets]),
        slack=slack_of(job, readies, local.date()),
        hours=work_hours(step for sheet in sheets for step in sheet.part.steps),
        paint=tuple(paint.lines()),
        unrecorded=paint.unrecorded,
        unmeasured=paint.unmeasured,
        deviations=(
            *(each for sheet in sheets for each in deviations(sheet)),
            *_mixed_against_rules(session, paint.pots.values(), zone),
        ),
    )


def _part(sheet: Sheet, ready: Ready | None) -> JobPart:
    part = sheet.part
    place = f"stand {part.stand}" if part.stand is not None else "no stand"
    return JobPart(
        part.tag,
        part.name,
        part.count,
        "left the bench" if sheet.away else place,
        sheet.state.word,
        progress_of([part]),
        ready,
    )


def _mixed_against_rules(
    session: Session, pots: Collection[MixRow], zone: tzinfo
) -> Iterator[Deviation]:
    """Yield what was overridden when the pots of a job were mixed or topped up."""
    if not pots:
        return
    first = min(pot.mixed_at for pot in pots)
    letters = {pot.id: pot.letter for pot in pots}
    lines = (
        row
        for action in MIXING
        for row in history_rows.lines_of_action(session, action, first)
        if rows_touched(row, MIX) & letters.keys()
    )
    rows = sorted(lines, key=lambda row: row.id or 0)
    for row, entry in zip(rows, entries_of(session, rows), strict=True):
        pot = f"pot {letters[min(rows_touched(row, MIX) & letters.keys())]}"
        for rule in overridden(entry):
            at = entry.at.astimezone(zone)
            yield Deviation("override", pot, "", at, entry.painter, rule)


class _Paint:
    """What the coats of some parts took: of pots their share, of tins what is written down."""

    def __init__(self, session: Session, rows: Sequence[PartRow]) -> None:
        steps = [step for each in bench_rows.steps_of(session, rows).values() for step in each]
        self.coats = [
            step
            for step in steps
            if step.plan["kind"] == "coat" and step.status in ("done", "struck", "in hand")
        ]
        self.pots = tin_rows.pots_of_coats(session, self.coats)
        others = tin_rows.coats_from_pots(session, list(self.pots.values())) if self.pots else []
        self.sprayed, self.parts = others, tin_rows.parts_of_coats(session, others)
        self.tags = {row.tag for row in rows}
        self.shapes, self.products = shapes_of(session), products_of(session)
        self.tins = tins_poured(session, (*self.pots.values(), *self.coats))
        self.unrecorded = sum(not coat.pots() and not coat.tins for coat in self.coats)
        self.unmeasured = sum(
            pot.binned_at is not None and pot.binned_ml is None for pot in self.pots.values()
        )

    def lines(self) -> Iterator[JobPaint]:
        """Yield a line for each product, by its name."""
        spent: dict[str, JobPaint] = {}
        for key, line in (*self._of_pots(), *self._of_tins()):
            before = spent.get(key, JobPaint(ProductSpending(self._name(key))))
            by_piece = before.by_piece or line.by_piece
            spent[key] = JobPaint(before.spent + line.spent, by_piece)
        yield from sorted(spent.values(), key=lambda line: line.spent.name)

    def _name(self, key: str) -> str:
        return self.products[key].name if key in self.products else key

    def _of_pots(self) -> Iterator[tuple[str, JobPaint]]:
        for pot in self.pots.values():
            split = share_of_pot(list(self._in_pot(pot)), self.tags)
            amounts = amounts_of_pot(pot, self.tins)
            left = (pot.binned_ml or 0.0) / (pot.total_ml or 1.0)
            spent = ProductSpending(
                used=sum_of(amounts, split.share), binned=sum_of(amounts, split.share * left)
            )
            yield pot.product, JobPaint(spent, split.by_piece)

    def _in_pot(self, pot: MixRow) -> Iterator[PartInPot]:
        """Yield every coat that was sprayed from a pot, of this job and of others."""
        for coat in self.sprayed:
            row = self.parts[coat.part_id]
            if pot.id in coat.pots():
                # A lot that was put with another has no pieces of its own any more.
                tag, count = row.merged_into or row.tag, max(row.count, 1)
                yield PartInPot(tag, count, _area_m2(row, self.shapes), _faces(coat, pot))

    def _of_tins(self) -> Iterator[tuple[str, JobPaint]]:
        for coat in self.coats:
            if coat.tins:
                used = sum_of(amounts_of_coat(coat, self.tins))
                yield str(coat.plan["product"]), JobPaint(ProductSpending(used=used))


def _area_m2(row: PartRow, shapes: Mapping[str, Shape]) -> float | None:
    """Give the area of one piece: as typed, or what is typical of its shape."""
    if row.area_m2 is not None or row.shape not in shapes:
        return row.area_m2
    return shapes[row.shape].area_m2


def _faces(coat: StepRow, pot: MixRow) -> float:
    """Give the share of a coat's faces that was sprayed from a pot."""
    pots = [mark.get("pot") for mark in coat.marks if mark.get("pot") is not None]
    return pots.count(pot.id) / len(pots) if pot.id in pots else 1.0


def _without(page: JobPage, painters: Sequence[str]) -> JobPage:
    """Give the page with a stand-in for every painter's name."""
    names = list(dict.fromkeys([*painters, *(name for name, _ in page.hours.by_painter)]))
    stand_ins = {name.casefold(): f"painter {n}" for n, name in enumerate(names, start=1)}
    longest = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    pattern = re.compile(rf"(?<!\w)(?:{longest})(?!\w)", re.IGNORECASE)

    def hidden(text: str) -> str:
        return pattern.sub(lambda match: stand_ins[match[0].casefold()], text)

    by_painter = tuple((hidden(name), time) for name, time in page.hours.by_painter)
    hidden_ones = [
        replace(each, by=hidden(each.by), text=hidden(each.text)) for each in page.deviations
    ]
    hours = replace(page.hours, by_painter=by_painter)
    return replace(page, hours=hours, deviations=tuple(hidden_ones))

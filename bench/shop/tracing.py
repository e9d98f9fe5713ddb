"""From a batch number to the pots and parts it went into, and from a part back to its batches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.refusal import Refusal
from bench.process.spoken import clock_words
from bench.process.tins import Tin
from bench.shop.acting import Shop
from bench.shop.rows import products_of, settings_of
from bench.shop.taking import tin_of
from bench.store import finding, stock
from bench.store.database import Session
from bench.store.tables import MixRow, StepRow

NOT_WRITTEN = "not written down"


@dataclass(frozen=True)
class TracedPot:
    """A pot that something of a batch went into. Its letter is given again once it is binned."""

    letter: str
    name: str
    mixed_at: datetime
    painter: str
    tins: tuple[int, ...]


@dataclass(frozen=True)
class TracedCoat:
    """A coat that something of a batch is in. pot: its letter, empty where nothing was mixed.

    now_in: the tag of the lot that its pieces were put into since.
    """

    tag: str
    part: str
    count: int
    coat: str
    first_at: datetime | None
    pot: str
    struck: bool
    away: bool
    now_in: str


@dataclass(frozen=True)
class Traced:
    """Where the tins of one batch went."""

    batch: str
    tins: tuple[Tin, ...]
    pots: tuple[TracedPot, ...]
    coats: tuple[TracedCoat, ...]


@dataclass(frozen=True)
class Batch:
    """One tin that a coat was laid from. role is empty where nothing was mixed.

    batch is empty where nobody wrote it down; against: why it was taken although out of date.
    """

    tin: int
    role: str
    batch: str
    against: str = ""


@dataclass(frozen=True)
class CoatBatches:
    """The tins of one coat of a part, oldest coat first. None listed: nobody knows the batch."""

    number: int
    coat: str
    product: str
    pot: str
    batches: tuple[Batch, ...]

    def words(self) -> str:
        """The batches in one line: "base B-12, hardener H-204"."""
        named = [f"{one.role} {one.batch or NOT_WRITTEN}".strip() for one in self.batches]
        return ", ".join(dict.fromkeys(named)) or NOT_WRITTEN


def trace(shop: Shop, batch: str) -> Traced | Refusal:
    """The pots and parts that the tins of a batch went into, on the bench or long gone."""
    with shop.store.reading() as session:
        rows = stock.tins_of_batch(session, batch) if batch.strip() else []
        if not rows:
            return Refusal(f"no tin of batch '{batch.strip()[:40]}'", "", "read the tin again")
        products, zone = products_of(session), settings_of(session).hours.zone
        numbers = {row.id for row in rows if row.id is not None}
        pots = stock.poured_from(session, MixRow, numbers)
        coats = {row.id: row for row in stock.coats_from_pots(session, pots)}
        coats |= {row.id: row for row in stock.poured_from(session, StepRow, numbers)}
        names = {key: product.name for key, product in products.items()}
        return Traced(
            batch=rows[0].batch,
            tins=tuple(tin_of(row, products, zone) for row in rows),
            pots=tuple(
                TracedPot(
                    letter=pot.letter,
                    name=names.get(pot.product, pot.product),
                    mixed_at=pot.mixed_at,
                    painter=pot.painter,
                    tins=tuple(sorted({t["id"] for t in pot.tins} & numbers)),
                )
                for pot in pots
            ),
            coats=tuple(_coats(session, list(coats.values()))),
        )


def _coats(session: Session, rows: Sequence[StepRow]) -> list[TracedCoat]:
    parts = stock.parts_of_coats(session, rows)
    pots = stock.pots_of_coats(session, rows)
    found = []
    for row in sorted(rows, key=lambda row: (row.first_at is None, row.first_at, row.id)):
        part, pot = parts[row.part_id], pots.get(row.mix_id or 0)
        found.append(
            TracedCoat(
                tag=part.tag,
                part=part.name,
                count=part.count,
                coat=str(row.plan["name"]),
                first_at=row.first_at,
                pot=pot.letter if pot else "",
                struck=row.status == "struck",
                away=part.away,
                now_in=part.merged_into,
            )
        )
    return found


def coat_words(coat: TracedCoat, now: datetime) -> str:
    """One line: "tag 4 Roller brackets (14): Epoxy primer Mon 10:05, pot A". now: local."""
    pieces = f" ({coat.count})" if coat.count > 1 else ""
    when = f" {clock_words(coat.first_at, now)}" if coat.first_at else ""
    told = f"tag {coat.tag} {coat.part}{pieces}: {coat.coat}{when}"
    told += f", pot {coat.pot}" if coat.pot else ""
    told += f", now in {coat.now_in}" if coat.now_in else ", away" if coat.away else ""
    return told + (", given up" if coat.struck else "")


def batches_of(shop: Shop, tag: str) -> tuple[CoatBatches, ...] | Refusal:
    """The batches of every coat that is on a part, on the bench or long gone."""
    with shop.store.reading() as session:
        row = finding.part_tagged(session, tag)
        if row is None or row.id is None:
            return Refusal(f"no tag {tag.strip()[:40]}", "", "read the steel disc again")
        return batches_of_steps(session, finding.steps_of(session, [row])[row.id])


def batches_of_steps(session: Session, steps: Sequence[StepRow]) -> tuple[CoatBatches, ...]:
    """The batches of the coats among some steps of one part, within a session at hand."""
    coats = [row for row in steps if row.plan["kind"] == "coat" and row.first_at is not None]
    pots = stock.pots_of_coats(session, coats)
    poured = {row.id: [*_of_pot(pots.get(row.mix_id or 0)), *row.tins] for row in coats}
    tins = stock.tins_numbered(session, {one["id"] for taken in poured.values() for one in taken})
    found = []
    for row in coats:
        pot = pots.get(row.mix_id or 0)
        batches: dict[tuple[int, str], Batch] = {}
        for one in poured[row.id]:
            tin = tins[one["id"]]
            role = one.get("role", tin.role)
            batches[one["id"], role] = Batch(one["id"], role, tin.batch, one.get("against", ""))
        found.append(
            CoatBatches(
                number=row.number,
                coat=str(row.plan["name"]),
                product=str(row.plan["product"]),
                pot=pot.letter if pot else "",
                batches=tuple(batches.values()),
            )
        )
    return tuple(found)


def _of_pot(pot: MixRow | None) -> list[dict[str, object]]:
    return list(pot.tins) if pot is not None else []

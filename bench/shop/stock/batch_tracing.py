"""Trace a batch number to the pots and parts it went into."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.refusals.refusal import Refusal
from bench.process.stock.tins import Tin
from bench.process.wording.time_text import date_words, format_clock
from bench.shop.core.mappers import of_columns, products_of, settings_of
from bench.shop.core.transaction import Shop
from bench.shop.queries.log import entries_about, route_changes
from bench.shop.stock.tin_usage import tin_of
from bench.store.databases.database import Session
from bench.store.log import sheet_versions
from bench.store.queries import tin_rows
from bench.store.schema.tables import MixRow, PartRow, StepRow


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

    faces: those sprayed from that pot, empty where the whole coat was. now_in: the tag of the lot
    that its pieces were put into since. route_changed: how its part went on with another route.
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
    faces: tuple[str, ...] = ()
    route_changed: str = ""


@dataclass(frozen=True)
class BatchTrace:
    """The pots and coats that the tins of one batch went into."""

    batch: str
    tins: tuple[Tin, ...]
    pots: tuple[TracedPot, ...]
    coats: tuple[TracedCoat, ...]


def trace_batch(shop: Shop, batch: str) -> BatchTrace | Refusal:
    """Trace the tins of a batch to the pots and parts they went into, on the bench or long gone."""
    with shop.store.reading() as session:
        rows = tin_rows.tins_of_batch(session, batch) if batch.strip() else []
        if not rows:
            return Refusal(f"no tin of batch '{batch.strip()[:40]}'", "", "read the tin again")
        products, zone = products_of(session), settings_of(session).hours.zone
        numbers = {row.id for row in rows if row.id is not None}
        pots = tin_rows.poured_from(session, MixRow, numbers)
        coats = {row.id: row for row in tin_rows.coats_from_pots(session, pots)}
        coats |= {row.id: row for row in tin_rows.poured_from(session, StepRow, numbers)}
        versions = sheet_versions.versions_of(session, {pot.sheet_version for pot in pots}, ())
        called = {version.key: str(version.sheet["name"]) for version in versions}
        names = {key: product.name for key, product in products.items()}
        return BatchTrace(
            batch=rows[0].batch,
            tins=tuple(tin_of(row, products, zone) for row in rows),
            pots=tuple(
                of_columns(
                    TracedPot,
                    pot,
                    name=called.get(pot.sheet_version, names.get(pot.product, pot.product)),
                    tins=tuple(sorted({t["id"] for t in pot.tins} & numbers)),
                )
                for pot in pots
            ),
            coats=tuple(_coats(session, list(coats.values()), {pot.id for pot in pots})),
        )


def _coats(
    session: Session, rows: Sequence[StepRow], of_batch: Collection[int | None]
) -> list[TracedCoat]:
    parts = tin_rows.parts_of_coats(session, rows)
    pots = tin_rows.pots_of_coats(session, rows)
    changed = {key: _route_changed(session, part) for key, part in parts.items()}
    coats = []
    for row in sorted(rows, key=lambda row: (row.first_at is None, row.first_at, row.id)):
        part = parts[row.part_id]
        used = [pots[number] for number in row.pots() if number in pots]
        mixed = [pot for pot in used if pot.id in of_batch]
        ids = {pot.id for pot in mixed}
        faces = [mark["name"] for mark in row.marks if mark.get("pot") in ids]
        coats.append(
            TracedCoat(
                tag=part.tag,
                part=part.name,
                count=part.count,
                coat=str(row.plan["name"]),
                first_at=row.first_at,
                pot=" ".join(pot.letter for pot in mixed or used),
                faces=tuple(faces) if len(mixed) < len(used) else (),
                struck=row.status == "struck",
                away=part.away,
                now_in=part.merged_into,
                route_changed=changed[row.part_id],
            )
        )
    return coats


def _route_changed(session: Session, part: PartRow) -> str:
    """Say how a part went on with another route, and when; empty where it did not."""
    zone = settings_of(session).hours.zone
    return "; ".join(
        f"{words}, {date_words(entry.at.astimezone(zone))}"
        for entry, words in route_changes(entries_about(session, part))
    )


def coat_words(coat: TracedCoat, now: datetime) -> str:
    """Write one line: "tag 4 Roller brackets (14): Epoxy primer Mon 10:05, pot A". now: local."""
    pieces = f" ({coat.count})" if coat.count > 1 else ""
    when = f" {format_clock(coat.first_at, now)}" if coat.first_at else ""
    words = f"tag {coat.tag} {coat.part}{pieces}: {coat.coat}{when}"
    words += f", pot {coat.pot}" if coat.pot else ""
    words += f", faces {' '.join(coat.faces)}" if coat.faces else ""
    words += f", {coat.route_changed}" if coat.route_changed else ""
    words += f", now in {coat.now_in}" if coat.now_in else ", away" if coat.away else ""
    return words + (", given up" if coat.struck else "")

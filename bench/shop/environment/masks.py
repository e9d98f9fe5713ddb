"""What is in the air of the room, by the coats in work and by the log.

Every line of the journal says until when what it is about put paint into the air. A line is never
taken back, so neither an undo nor a correction ends the time of the masks early.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from bench.process.safety.masks import AtWork, How, LastRelease, work_done_words
from bench.process.sheets.product import Product
from bench.store.databases.database import Session
from bench.store.log.journal import Image, image
from bench.store.queries import bench_rows
from bench.store.schema.tables import MixRow, StepRow

OVER = ("done", "struck")
"""A step of which the last trigger, or stroke, is known."""

Products = Mapping[str, Product]
ProductLookup = Callable[[], Products]


def at_work(session: Session, products: Products) -> tuple[AtWork, ...]:
    """Find who is at work now on what must not be breathed: isocyanate, then the first begun."""
    pictures = [image(row) for row in bench_rows.in_hand(session)]
    work_in_air = [
        (key, AtWork(tuple(picture["painters"]), _how(picture), _name(key, products)))
        for picture in pictures
        if (key := _in_air(picture, products))
    ]
    worst_first = sorted(work_in_air, key=lambda each: not _is_isocyanate(each[0], products))
    return tuple(work for _, work in worst_first)


def last_released(session: Session, products: Products) -> LastRelease | None:
    """Find what was put into the air last and is over, whether it was struck or undone since.

    The coats that stand are looked at too: an earlier version kept it nowhere else.
    """
    coat, logged = bench_rows.last_sprayed(session), bench_rows.last_released(session)
    releases = [LastRelease(logged[1], logged[2])] if logged else []
    if coat is not None and coat.last_at is not None:
        what = work_done_words("sprayed", _name(_in_air(image(coat), products), products))
        releases.append(LastRelease(coat.last_at, what))
    return max(releases, key=lambda release: release.at, default=None)


def released_by(
    changes: Iterable[dict[str, Any]], action: str, now: datetime, products: ProductLookup
) -> tuple[datetime, str] | None:
    """Find until when an action at ``now`` says that something was put into the air, and what."""
    releases = [
        release
        for change in changes
        if (of_table := _OF_TABLE.get(change["table"]))
        for release in of_table(change["before"], change["after"], action, now, products)
    ]
    return max(releases, key=lambda release: release[0], default=None)


def shifted_release(
    session: Session, by: timedelta, line: int, *, everything: bool
) -> tuple[datetime, str] | None:
    """Find what was put into the air last, by a clock that is put forward by so much.

    line: what was written after it is moved, or everything is.
    """
    last = bench_rows.last_released(session)
    if not by or last is None:
        return None
    number, at, what = last
    return (at + by if everything or number > line else at), what


def _of_step(
    before: Image | None, after: Image | None, _: str, now: datetime, products: ProductLookup
) -> Iterator[tuple[datetime, str]]:
    """Both hours of a correction count; a step that is not in hand any more was so until now."""
    was, is_now = _end(before), _end(after)
    if was == is_now:
        return
    for picture, (status, last_at) in ((before, was), (after, is_now)):
        if picture and status in OVER and last_at and (what := _words_of_step(picture, products())):
            yield datetime.fromisoformat(last_at), what
    given_up = was[0] == "in hand" and is_now[0] not in ("in hand", *OVER)
    if before and given_up and (what := _words_of_step(before, products())):
        yield now, what


def _end(picture: Image | None) -> tuple[str, str]:
    """How far a step is, and when it ended; both empty where it is not there."""
    return (picture["status"], picture["last_at"] or "") if picture else ("", "")


def _of_pot(
    before: Image | None, after: Image | None, action: str, now: datetime, products: ProductLookup
) -> Iterator[tuple[datetime, str]]:
    """Mixed, at the later hour where that was corrected; topped up or flushed, now."""
    pictures = [picture for picture in (before, after) if picture]
    mixed_at = {datetime.fromisoformat(picture["mixed_at"]) for picture in pictures}
    is_mixed_now = before is None or len(mixed_at) > 1
    how: How = "flushed" if action == "flush" else "mixed"
    if not is_mixed_now and action not in ("top up", "flush"):
        return
    product = products().get(pictures[0]["product"])
    if product is not None and product.isocyanate:
        yield max(mixed_at) if is_mixed_now else now, work_done_words(how, product.name)


ReleaseReader = Callable[
    [Image | None, Image | None, str, datetime, ProductLookup], Iterator[tuple[datetime, str]]
]
_OF_TABLE: dict[str, ReleaseReader] = {
    str(StepRow.__tablename__): _of_step,
    str(MixRow.__tablename__): _of_pot,
}


def _words_of_step(picture: Image, products: Products) -> str:
    """What a step put into the air, in words; empty where it was nothing."""
    key = _in_air(picture, products)
    return work_done_words(_how(picture), _name(key, products)) if key else ""


def _in_air(picture: Image, products: Products) -> str:
    """The key of the product that a step puts into the air; an earlier version did not keep it."""
    if picture.get("in_air") or picture["plan"]["kind"] != "coat":
        return str(picture.get("in_air") or "")
    key = str(picture["plan"]["product"])
    return key if picture["sprayed"] or _is_isocyanate(key, products) else ""


def _is_isocyanate(key: str, products: Products) -> bool:
    return key in products and products[key].isocyanate


def _how(picture: Image) -> How:
    """How a step puts it into the air; paint of which no tool is known counts as sprayed."""
    if picture["sprayed"] or not picture.get("in_air"):
        return "sprayed"
    return "applied" if picture["plan"]["product"] == picture["in_air"] else "worked on"


def _name(key: str, products: Products) -> str:
    return products[key].name if key in products else key

"""What a screen or the command line draws: one unchanging view of the whole bench."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.calendar import Surroundings, clocks_of
from bench.process.harm import Want, wants
from bench.process.part import Part
from bench.process.pots import Pot, room_until
from bench.process.product import Product
from bench.process.route import Route, Shape, SprayTool
from bench.process.state import EMPTY, Clocks, StandState, stand_state
from bench.process.temperature import Reading
from bench.shop.acting import Shop
from bench.shop.rows import (
    House,
    house_of,
    part_of,
    pots_of,
    products_of,
    readings_of,
    routes_of,
    shapes_of,
    tools_of,
)
from bench.store import finding
from bench.store.database import Session

READINGS_DAYS = 60
"""How far back readings still matter to a clock that is running."""


@dataclass(frozen=True)
class Placed:
    """A part with its clocks."""

    part: Part
    clocks: Clocks

    def state(self, now: datetime) -> StandState:
        """What its stand shows at ``now``."""
        return stand_state(self.part, self.clocks, now)


@dataclass(frozen=True)
class BenchView:
    """The bench at one moment; only the time still has to be said."""

    stands: tuple[tuple[int, Placed | None], ...]
    off_stand: tuple[Placed, ...]
    pots: tuple[Pot, ...]
    triggers: tuple[tuple[datetime | None, bool], ...]
    around: Surroundings
    house: House
    painters: tuple[str, ...]
    routes: dict[str, Route]
    shapes: dict[str, Shape]
    tools: dict[str, SprayTool]

    @property
    def products(self) -> dict[str, Product]:
        """Every product by its key."""
        return dict(self.around.products)

    def on(self, stand: int) -> Placed | None:
        """What is on a stand."""
        return dict(self.stands).get(stand)

    def find(self, tag: str) -> Placed | None:
        """The part with a tag, wherever it is."""
        everything = [placed for _, placed in self.stands if placed] + list(self.off_stand)
        return next((p for p in everything if p.part.tag.casefold() == tag.casefold()), None)

    def local(self, at: datetime) -> datetime:
        """An instant in the shop's zone."""
        return at.astimezone(self.house.hours.zone)

    def state(self, stand: int, now: datetime) -> StandState:
        """What a stand shows."""
        placed = self.on(stand)
        return placed.state(now) if placed else EMPTY

    def wants(self, now: datetime) -> tuple[Want, ...]:
        """What wants doing, most harm first."""
        shown = [placed for _, placed in self.stands if placed] + list(self.off_stand)
        return wants(((p.part, p.state(now)) for p in shown), self.pots, self.local(now))

    def masks_on(self, now: datetime) -> tuple[bool, datetime | None]:
        """Whether masks stay on, and until when."""
        return room_until(self.triggers, self.house.clearance, now)

    def reading(self) -> Reading | None:
        """The newest reading."""
        return max(self.around.readings, key=lambda r: r.at, default=None)


def look(shop: Shop) -> BenchView:
    """The bench as it is now."""
    with shop.store.reading() as session:
        return look_with(session, shop.clock.now())


class Watch:
    """Notices that the data was written from somewhere, so that it need not be read each second."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._seen = shop.store.change_mark()

    def changed(self) -> bool:
        """Whether anything was written since this was last asked."""
        seen, self._seen = self._seen, self._shop.store.change_mark()
        return seen != self._seen


def look_with(session: Session, now: datetime) -> BenchView:
    """The bench as this session sees it."""
    products = products_of(session)
    house = house_of(session)
    around = surroundings(session, house, products, now)
    placed = [Placed(part, clocks_of(part, around)) for part in _parts(session)]
    by_stand = {p.part.stand: p for p in placed if p.part.stand is not None}
    numbers = finding.stand_numbers(session)
    return BenchView(
        stands=tuple((number, by_stand.get(number)) for number in numbers),
        off_stand=tuple(p for p in placed if p.part.stand is None),
        pots=pots_of(session, products),
        triggers=_triggers(session),
        around=around,
        house=house,
        painters=tuple(finding.painters(session)),
        routes=routes_of(session),
        shapes=shapes_of(session),
        tools=tools_of(session),
    )


def surroundings(
    session: Session, house: House, products: dict[str, Product], now: datetime
) -> Surroundings:
    """Readings, hours and sheets as the clocks need them."""
    since = now - timedelta(days=READINGS_DAYS)
    return Surroundings(readings_of(session, since), house.hours, products)


def _parts(session: Session) -> list[Part]:
    rows = finding.parts_here(session)
    steps = finding.steps_of(session, rows)
    return [part_of(row, steps[row.id]) for row in rows if row.id is not None]


def _triggers(session: Session) -> tuple[tuple[datetime | None, bool], ...]:
    """The last trigger of all sprayed coats, and whether any is still in hand."""
    released = finding.last_trigger(session)
    ended = ((released, False),) if released is not None else ()
    return (*ended, (None, True)) if finding.spraying(session) else ended

"""The server is away for a while: the bench stays up, says so, and goes on by itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from sqlalchemy import make_url
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from bench.shop.core.transaction import Shop
from bench.shop.data.background import TRY_EVERY_S
from bench.shop.data.opening import check, open_for_screen
from bench.shop.parts import placement, steps
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.databases import Schemas
from tests.shop.doing import done
from tests.wire import Wire

from ..driving import Hands, at_the_bench

pytestmark = pytest.mark.postgresql

AWAY = "NOTHING IS BEING SAVED: the server does not answer"


@pytest.fixture
def other(postgresql: Schemas, clock: ManualClock, seeds: Seeds) -> Iterator[Shop]:
    """A terminal beside the server, with Mo at its keys; a frame is on stand 1."""
    opened = Shop(open_store(postgresql.take()), clock, "beside it")
    done(open_shop(opened, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London"}))
    done(placement.place(opened, 1, "Kit", route="zinc-new", shape="frame"))
    yield opened
    opened.store.close()


@pytest.fixture
def wire(postgresql: Schemas) -> Iterator[Wire]:
    """What the screen in the doorway hangs on."""
    server = make_url(postgresql.address)
    assert server.host
    assert server.port
    laid = Wire(server.host, server.port)
    yield laid
    laid.cut()


@pytest.fixture
def place(other: Shop, postgresql: Schemas, wire: Wire) -> str:
    """The same shop through the wire."""
    return make_url(postgresql.last).set(port=wire.port).render_as_string(hide_password=False)


async def tried_again(hands: Hands) -> None:
    await hands.let_pass(seconds=TRY_EVERY_S)
    await hands.let_pass(seconds=1)


async def test_the_bench_stays_up_while_the_server_is_away_and_goes_on_when_it_is_back(
    other: Shop, place: str, wire: Wire, clock: ManualClock
) -> None:
    shop = Shop(open_store(place), clock, "doorway")
    async with at_the_bench(shop, clock) as hands:
        wire.cut()
        await hands.let_pass(seconds=1)
        assert AWAY in hands.picture()
        assert "Frame" in hands.picture(), "and what was read last can be read"
        await hands.press("1 +")
        assert hands.said().startswith("NOT SAVED (the server does not answer)")
        await tried_again(hands)
        assert AWAY in hands.picture()
        done(steps.begin(other, 1, "Mo"))
        wire.mend()
        await tried_again(hands)
        assert AWAY not in hands.picture()
        assert "WORKING" in hands.picture(), "with what the others did meanwhile"
        await hands.press("1 +")
        assert "finished" in hands.said()
    assert check(other).faults == ()
    shop.store.close()


async def test_a_screen_that_is_started_before_the_server_waits_for_it(
    place: str, wire: Wire, clock: ManualClock
) -> None:
    wire.cut()
    shop = open_for_screen(place, clock, "doorway")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        assert "THE DATA: the server does not answer" in hands.picture()
        await tried_again(hands)
        wire.mend()
        await tried_again(hands)
        assert "Frame" in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        hands.app.shop.store.close()


async def test_lost_in_the_moment_of_the_commit_it_is_not_said_that_nothing_was_written(
    other: Shop, place: str, wire: Wire, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, commit = Shop(open_store(place), clock, "doorway"), Session.commit

    def lost(self: Any) -> None:
        commit(self)
        wire.cut()
        gone = ConnectionError("server closed the connection unexpectedly")
        raise OperationalError("COMMIT", {}, gone, connection_invalidated=True)

    async with at_the_bench(shop, clock) as hands:
        monkeypatch.setattr(Session, "commit", lost)
        await hands.press("1 +")
        monkeypatch.setattr(Session, "commit", commit)
        assert hands.said().startswith("SAVED OR NOT")
        wire.mend()
        await tried_again(hands)
        assert "WORKING" in hands.picture(), "it was written"
    shop.store.close()

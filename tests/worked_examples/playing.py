"""How a worked example is written down and played: what was done when, and what is shown when."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from bench.process.clocks.edges import Edge
from bench.process.clocks.pots import pot_word
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import room_words
from bench.process.sheets.product import Band, BandWord, Limits, Product, Until
from bench.process.sheets.route import Route, Step
from bench.shop.core.bench_view import BenchView, PlacedPart, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock

LONDON = ZoneInfo("Europe/London")
Action = Callable[[Shop], Outcome | Refusal]
Look = Callable[[BenchView, datetime], Mapping[str, object]]
HOUR_S = 3600.0


def at(hour: str) -> datetime:
    """An hour of the year 2026 in the shop's zone, as "2 Mar 09:00" (a Monday)."""
    return datetime.strptime(f"2026 {hour}", "%Y %d %b %H:%M").replace(tzinfo=LONDON)


def hours(count: float) -> timedelta:
    """So many hours."""
    return timedelta(hours=count)


def by_hand(instant: datetime, minute: str) -> datetime:
    """What a calculation gives, which has to fall into the minute that was worked out by hand."""
    to_the_second = (instant + timedelta(seconds=0.5)).replace(microsecond=0)
    assert f"{to_the_second:%-d %b %H:%M}" == minute, f"{to_the_second} is not {minute}"
    return instant


@dataclass(frozen=True)
class Deed:
    """What somebody did, or was kept from by a rule. refused: its name, empty where it was done."""

    at: datetime
    do: Action
    refused: str = ""


@dataclass(frozen=True)
class Sight:
    """What has to be shown at an instant. look: gives what is shown, by its name."""

    at: datetime
    look: Look
    shown: Mapping[str, object]


@dataclass(frozen=True)
class Example:
    """One sentence of the trade, the shop it is played in, what is done and what has to be shown.

    house: the settings that are not a new shop's own; products, routes: the shop's own.
    """

    name: str
    sentence: str
    deeds: tuple[Deed, ...]
    sights: tuple[Sight, ...]
    products: tuple[Product, ...] = ()
    routes: tuple[Route, ...] = ()
    house: Mapping[str, object] = field(default_factory=dict)


def did(hour: str, do: Action) -> Deed:
    """Somebody did it at that hour."""
    return Deed(at(hour), do)


def kept_from(hour: str, do: Action, rule: str) -> Deed:
    """A rule, by its name, kept somebody from it at that hour."""
    return Deed(at(hour), do, rule)


# --- what is shown -------------------------------------------------------------------------------


def stand(hour: str, number: int = 1, **shown: object) -> Sight:
    """What a stand shows, by the names of ``StandState``; flags: of the last step that was done."""

    def seen(view: BenchView, now: datetime) -> Mapping[str, object]:
        done = _on(view, number).part.clock_step()
        return {**vars(view.state(number, now)), "flags": done.flags if done else ()}

    return Sight(at(hour), seen, shown)


def standstill(hour: str, number: int = 1, **shown: object) -> Sight:
    """From when to when a coat stands still, being too cold: ``begins`` and ``ends``."""
    return Sight(at(hour), lambda view, _: vars(_on(view, number).cold[0]), shown)


def pot(hour: str, letter: str, **shown: object) -> Sight:
    """What a pot shows, by the names of ``Pot``, and its ``word``."""

    def seen(view: BenchView, now: datetime) -> Mapping[str, object]:
        (found,) = (each for each in view.pots if each.letter == letter)
        return {**vars(found), "word": pot_word(found, now)}

    return Sight(at(hour), seen, shown)


def room(hour: str, **shown: object) -> Sight:
    """What is known of the room's air, by the names of ``Room``, and its ``words``."""

    def seen(view: BenchView, now: datetime) -> Mapping[str, object]:
        found = view.room(now)
        return {**vars(found), "words": room_words(found, view.local(now))}

    return Sight(at(hour), seen, shown)


def _on(view: BenchView, number: int) -> PlacedPart:
    placed = view.on(number)
    assert placed is not None
    return placed


# --- the shop ------------------------------------------------------------------------------------


def band(word: BandWord, *, least: float | None = None, **table_h: float) -> Band:
    """A band of so many hours at 20 C, of hours at temperatures (``c10=24``), or without an end."""
    if table_h:
        table = tuple(sorted((float(key[1:]), h * HOUR_S) for key, h in table_h.items()))
        return Band(word, Until(table=table))
    return Band(word, Until(fixed_s=least * HOUR_S) if least is not None else None)


def paint(*bands: Band, metal_least_c: float = 5.0) -> Product:
    """A one-pack paint that the shop typed from its data sheet."""
    return Product(
        key="paint",
        name="Paint",
        kind="primer",
        source="sheet",
        over=("steel", "paint"),
        tool="hvlp",
        limits=Limits(metal_least_c=metal_least_c),
        bands=bands,
    )


def route(*between: Step) -> Route:
    """Clean steel, these steps, cure."""
    return Route("route", "Route", "steel", (Step("Clean", "work"), *between, Step("Cure", "cure")))


TWO_COATS = route(Step("Coat 1", "coat", "paint"), Step("Coat 2", "coat", "paint"))


def placed(hour: str, number: int = 1, shape: str = "bracket") -> tuple[Deed, Deed]:
    """A clean part was put on a stand."""
    return (
        did(hour, lambda s: placement.place(s, number, "Kit", route="route", shape=shape)),
        did(hour, lambda s: holds_and_rework.skip(s, number, "Kit", "already done")),
    )


def read(hour: str, temp_c: float) -> Deed:
    """Air and surface were read, at a humidity that is in nobody's way."""
    return did(
        hour,
        lambda s: readings.take_reading(s, "Mo", air_c=temp_c, metal_c=temp_c, rh_pct=45),
    )


def coated(first: str, last: str, number: int = 1) -> tuple[Deed, Deed]:
    """A coat was sprayed from its first face to its last."""
    return (
        did(first, lambda s: steps.begin(s, number, "Kit")),
        did(last, lambda s: steps.finish(s, number, "Kit", all_faces=True)),
    )


# --- playing -------------------------------------------------------------------------------------


def play(example: Example, seeds: Seeds, folder: Path) -> None:
    """Do what was done in its order and look whenever something has to be shown."""
    left = sorted(example.deeds, key=lambda deed: deed.at)
    clock = ManualClock(left[0].at)
    shop = Shop(open_store(str(folder / "shop.db")), clock, "test")
    own = replace(
        seeds,
        products={**seeds.products, **{product.key: product for product in example.products}},
        routes={**seeds.routes, **{route.key: route for route in example.routes}},
    )
    settings = {"zone": "Europe/London", **example.house}
    assert isinstance(open_shop(shop, own, ("Kit", "Mo"), 2, settings), Outcome)
    for sight in sorted(example.sights, key=lambda sight: sight.at):
        while left and left[0].at <= sight.at:
            _do(left.pop(0), shop, clock)
        clock.set(sight.at)
        shown = sight.look(read_bench(shop), clock.now())
        _compare(shown, sight)
    assert not left, "what is done after everything was looked at is never seen"
    shop.store.close()


def _do(deed: Deed, shop: Shop, clock: ManualClock) -> None:
    clock.set(deed.at)
    answer = deed.do(shop)
    rule = answer.name if isinstance(answer, Refusal) else ""
    assert rule == deed.refused, f"{deed.at:%-d %b %H:%M}: {answer}"


def _compare(shown: Mapping[str, object], sight: Sight) -> None:
    for name, wanted in sight.shown.items():
        found = shown[name]
        instant = found.at if isinstance(found, Edge) else found
        where = f"{sight.at:%-d %b %H:%M} {name}: {instant}, not {wanted}"
        if isinstance(wanted, datetime):
            assert isinstance(instant, datetime), where
            assert abs(instant - wanted) < timedelta(seconds=1), where
        else:
            assert instant == wanted, where

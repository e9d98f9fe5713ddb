"""The end of a pot and of a loaded gun, wherever it stands: one hour, and ``?`` on a placeholder's.

The instants are worked out by hand: a pot life of 4 h at 20 C, mixed and read at 20 C, and a gun
flushed an hour after its last trigger (common practice, no source). A closing is shown rounded
down to the minute (house rule, README).
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import icalendar
import pytest

from bench.process.stock.mixing import MixStart
from bench.records.as_ical import ical
from bench.records.as_text import text as as_text
from bench.records.job_record import sheet_page
from bench.screens.bench.far_view import urgent
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.lookahead import UpcomingEvents, upcoming
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.commands.running import run_main
from tests.conftest import LONDON
from tests.screens.driving import at_the_bench
from tests.shop.doing import done, over, refused

PRODUCT = """
name = "Lacquer 2:1"
kind = "top coat"
tool = "hvlp"
source = "{source}"
over = ["steel", "lacquer"]
ratio = {{ base = 2, hardener = 1 }}
pot_life = {{ "20 C" = "4 h" }}
induction = "20 min"
full_cure = {{ "20 C" = "7 d" }}
band = [{{ is = "open" }}]
"""

ROUTE = """
name = "Coats"
substrate = "steel"

[[step]]
name = "Abrade"
kind = "work"

[[step]]
name = "First coat"
kind = "coat"
product = "lacquer"

[[step]]
name = "Second coat"
kind = "coat"
product = "lacquer"

[[step]]
name = "Cure"
kind = "cure"
"""


def on_monday(hour: int, minute: int, second: int = 0) -> datetime:
    return datetime(2025, 6, 9, hour, minute, second, tzinfo=LONDON)


MIXED, SPRAYED = on_monday(9, 0, 30), on_monday(9, 40, 30)
RESTED = "09:21"
"""09:20:30, an opening rounded up."""
BIN_BY = "13:00"
FLUSH_BY = "10:40"

MOMENTS = {"resting": on_monday(9, 5), "sprayed": on_monday(10, 0), "over": on_monday(13, 30)}


@dataclass
class Scene:
    """A shop at one moment. mark: what the hours of its pot wear."""

    shop: Shop
    clock: ManualClock
    data: Path
    mark: str

    def run(self, *words: str) -> str:
        """What a command writes, in one line."""
        told = run_main(self.clock, "--db", str(self.data), *words)
        assert told.code == 0, told.err
        return " ".join(told.out.split())


def made(file: Path, seeds: Seeds, source: str, moment: str) -> None:
    clock = ManualClock(on_monday(7, 30))
    shop = Shop(open_store(str(file)), clock, "test")
    done(open_shop(shop, seeds, ("Kit", "Mo"), 2, {"zone": "Europe/London"}))
    done(sheet_editing.set_product(shop, "Kit", "lacquer", PRODUCT.format(source=source)))
    done(sheet_editing.set_route(shop, "Kit", "coats", ROUTE))
    done(placement.place(shop, 1, "Kit", route="coats", shape="plate", name="Door"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.set(on_monday(8, 50))
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20))
    clock.set(MIXED)
    done(pots.mix(shop, "lacquer", "Kit", known=MixStart(need_ml=300)))
    if moment != "resting":
        clock.set(on_monday(9, 30))
        done(over(lambda answers: steps.begin(shop, 1, "Kit", override=answers)))
        clock.set(SPRAYED)
        done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.set(MOMENTS[moment])
    shop.store.close()


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pots")


@pytest.fixture
def scene(
    request: pytest.FixtureRequest, kept: Path, seeds: Seeds, tmp_path: Path
) -> Callable[[str, str], Scene]:
    """A shop of its own at a moment; each is written once and copied."""

    def at(source: str, moment: str) -> Scene:
        file = kept / f"{source}-{moment}.db"
        if not file.exists():
            made(file, seeds, source, moment)
        own, clock = tmp_path / "shop.db", ManualClock(MOMENTS[moment])
        shutil.copyfile(file, own)
        shop = Shop(open_store(str(own)), clock, "test")
        request.addfinalizer(shop.store.close)
        return Scene(shop, clock, own, "?" if source == "placeholder" else "")

    return at


# --- the surfaces --------------------------------------------------------------------------------

Surface = Callable[[Scene], Awaitable[tuple[str, list[str]]]]
"""What a surface shows, and each phrase that has to be in it, without its mark."""


async def bench(scene: Scene) -> tuple[str, list[str]]:
    async with at_the_bench(scene.shop, scene.clock, (200, 50)) as hands:
        return hands.picture(), [f"USE by {BIN_BY}", f"gun A flush by {FLUSH_BY}"]


async def pots_page(scene: Scene) -> tuple[str, list[str]]:
    async with at_the_bench(scene.shop, scene.clock, (200, 50)) as hands:
        await hands.pick("pots, guns and tins", "top up a pot")
        listed = hands.picture()
        await hands.press("1 1 1 0 0 enter")
        if "Does your tin say" in hands.picture():
            await hands.press("1")
        return listed + hands.picture(), ["1 h old of 4 h", f"Bin by {BIN_BY}"]


async def hand_over(scene: Scene) -> tuple[str, list[str]]:
    found = [f"BIN pot A by {BIN_BY}", f"by {FLUSH_BY}"]
    return scene.run("handover"), found


async def status(scene: Scene) -> tuple[str, list[str]]:
    return scene.run("status"), [f"bin by {BIN_BY}", f"flush by {FLUSH_BY}"]


async def status_resting(scene: Scene) -> tuple[str, list[str]]:
    return scene.run("status"), [f"use from {RESTED}", f"bin by {BIN_BY}"]


async def refusal(scene: Scene) -> tuple[str, list[str]]:
    told = refused(steps.begin(scene.shop, 1, "Kit"))
    return str((told, *told.also)), [f"until {RESTED}"]


async def mix_ahead(scene: Scene) -> tuple[str, list[str]]:
    """Mixed at 10:00 it would rest to 10:20 and last to 14:00."""
    return scene.run("ahead", "--mix", "lacquer"), ["use from 10:20", "bin by 14:00"]


async def mixed(scene: Scene) -> tuple[str, list[str]]:
    told = scene.run("mix", "lacquer", "--need", "300ml", "--by", "Kit")
    return told, ["bin by 14:00", "base 200", "fill to 300"]


async def topped_up(scene: Scene) -> tuple[str, list[str]]:
    told = scene.run("top-up", "A", "--need", "100ml", "--by", "Kit")
    return told, [f"still bin by {BIN_BY}", "1 h of 4 h", "base 66.7"]


async def calendar_file(scene: Scene) -> tuple[str, list[str]]:
    found = upcoming(scene.shop)
    assert isinstance(found, UpcomingEvents)
    events = icalendar.Calendar.from_ical(ical(found)).walk("VEVENT")
    told = "; ".join(str(event["SUMMARY"]).replace(" ?", "?") for event in events)
    return told, ["pot A Lacquer 2:1: BIN BY", "gun of pot A Lacquer 2:1: FLUSH"]


async def job_record(scene: Scene) -> tuple[str, list[str]]:
    sheet = sheet_of(scene.shop, 1)
    assert isinstance(sheet, Sheet)
    told = " ".join(as_text(sheet_page(sheet)).split())
    return told, [f"rested until 2025-06-09 {RESTED}", f"bin by 2025-06-09 {BIN_BY}"]


async def to_do_list(scene: Scene) -> tuple[str, list[str]]:
    view, now = bench_view.read_bench(scene.shop), scene.shop.clock.now()
    return "; ".join(want.text for want in view.wants(now)), [f"NOW, it was due {FLUSH_BY}"]


async def far_view(scene: Scene) -> tuple[str, list[str]]:
    view = bench_view.read_bench(scene.shop)
    looks = urgent(view, view.local(scene.shop.clock.now()))
    told = "; ".join(f"{look.text} {look.number}" for look in looks)
    return told, [f"it was due {FLUSH_BY}", "bin it +29 min", "+2 h 49"]


async def refusal_of_an_old_pot(scene: Scene) -> tuple[str, list[str]]:
    told = refused(pots.top_up(scene.shop, "A", "Kit", known=MixStart(need_ml=100)))
    return str(told), [f"its life ended {BIN_BY}"]


SURFACES: dict[str, tuple[str, Surface]] = {
    "bench": ("sprayed", bench),
    "pots page": ("sprayed", pots_page),
    "hand-over": ("sprayed", hand_over),
    "status": ("sprayed", status),
    "status, resting": ("resting", status_resting),
    "refusal, resting": ("resting", refusal),
    "look-ahead of a mix": ("sprayed", mix_ahead),
    "a mix": ("sprayed", mixed),
    "a top-up": ("sprayed", topped_up),
    "calendar file": ("sprayed", calendar_file),
    "job record": ("sprayed", job_record),
    "to-do list": ("over", to_do_list),
    "far view": ("over", far_view),
    "refusal of a pot past its life": ("over", refusal_of_an_old_pot),
}


@pytest.mark.parametrize("source", ["sheet", "placeholder"])
@pytest.mark.parametrize("surface", SURFACES)
async def test_every_surface_marks_the_hours_of_a_placeholders_pot(
    surface: str, source: str, scene: Callable[[str, str], Scene]
) -> None:
    moment, look = SURFACES[surface]
    here = scene(source, moment)
    told, phrases = await look(here)
    told = " ".join(told.split())
    for phrase in phrases:
        wanted = re.escape(phrase + here.mark) + r"(?![\d?])"
        assert re.search(wanted, told), f"{phrase + here.mark!r} is not in: {told}"


def test_the_hours_are_four_and_one_after_mixing_and_the_last_trigger() -> None:
    assert (MIXED + timedelta(hours=4)).strftime("%H:%M") == BIN_BY
    assert (SPRAYED + timedelta(hours=1)).strftime("%H:%M") == FLUSH_BY

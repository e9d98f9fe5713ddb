"""One hour, wherever it stands: every surface shows an opening or a closing as the same hour.

The instants are worked out here by hand: at 11 C by day and by night a coat takes what its data
sheet lists for 11 C. Rounded to the safe side: an opening up, a closing down, an estimate to the
full five minutes, what is fixed to the minute (house rule, README). A coat that came out heavy
opens half as long again later and closes when it did (common practice, no source).
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import icalendar
import pytest

from bench.process.parts.part import Weight
from bench.records.as_ical import ical
from bench.records.as_json import sheet_json
from bench.records.as_text import text as as_text
from bench.records.care_page import care_page
from bench.records.job_record import sheet_page
from bench.records.label import label
from bench.screens.bench.far_view import urgent
from bench.screens.bench.stand_page import StandPage
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.step_facts import HourOfStep
from bench.shop.environment import readings
from bench.shop.parts import placement, steps, testing
from bench.shop.parts.film_thickness import record_thickness
from bench.shop.queries.lookahead import UpcomingEvents, upcoming
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.commands.running import run_main
from tests.conftest import LONDON
from tests.screens.driving import Hands, at_the_bench
from tests.shop.doing import done, over, refused

PRODUCT = """
name = "Lacquer"
kind = "top coat"
tool = "brush"
source = "{source}"
over = ["old-paint", "lacquer"]
band = [
    {{ is = "wait", {wait} }},
    {{ is = "open", {open} }},
    {{ is = "key" }},
]
full_cure = {{ "11 C" = "1807 min" }}
test = "thumb on the coupon"
"""

ROUTE = """
name = "Coats"
substrate = "old-paint"

[[step]]
name = "First coat"
kind = "coat"
product = "lacquer"
{second}
[[step]]
name = "Cure"
kind = "cure"
"""

SECOND = """
[[step]]
name = "Second coat"
kind = "coat"
product = "lacquer"
"""


def on_monday(hour: int, minute: int, second: int = 0) -> datetime:
    return datetime(2025, 6, 9, hour, minute, second, tzinfo=LONDON)


FIRST_FACE, LAST_FACE = on_monday(8, 38, 30), on_monday(9, 0, 30)
OPENS = LAST_FACE + timedelta(minutes=307)
"""14:07:30; a wait counts from the last face."""
CLOSES = FIRST_FACE + timedelta(minutes=815)
"""22:13:30; a window ends from the first face."""
CURED = LAST_FACE + timedelta(minutes=1807)
"""Tuesday 15:07:30."""


@dataclass(frozen=True)
class Hour:
    """An hour as a painter reads it, as a file has it, and the same for JSON in UTC."""

    words: str
    dated: str
    utc: str

    @classmethod
    def of(cls, at: datetime, day: str, about: str, doubt: str) -> Hour:
        return cls(
            f"{about}{day}{at:%H:%M}{doubt}",
            f"{about}{at:%Y-%m-%d %H:%M}{doubt}",
            at.astimezone(UTC).isoformat(timespec="seconds"),
        )


@dataclass(frozen=True)
class Kind:
    """A kind of edge: its marks, and its minutes as shown: opening, closing, full cure.

    past: the mark of an estimate that is over; read: the hours at which a thermometer is read.
    """

    about: str
    doubt: str = ""
    past: str = "~"
    minutes: tuple[int, int, int] = (10, 10, 10)
    source: str = "sheet"
    read_again: bool = True
    day: str = "Tue "
    weight: Weight = "as meant"
    opens_at: datetime = OPENS
    cured_at: datetime = CURED

    @property
    def opens(self) -> Hour:
        at = self.opens_at.replace(minute=self.minutes[0], second=0)
        return Hour.of(at, "", self.about, self.doubt)

    def closes(self, about: str | None = None) -> Hour:
        at = CLOSES.replace(minute=self.minutes[1], second=0)
        doubt = "" if self.weight == "heavy" else self.doubt
        return Hour.of(at, "", self.about if about is None else about, doubt)

    @property
    def touch(self) -> Hour:
        """Where it may be touched, once the last coat is curing; over where it was tested since."""
        return self.opens

    @property
    def cured(self) -> Hour:
        at = self.cured_at.replace(minute=self.minutes[2], second=0)
        return Hour.of(at, self.day, self.about, self.doubt)

    @property
    def cured_on(self) -> str:
        """The day on which it is cured from the morning on, as what goes out with a part has it."""
        return f"{self.cured_at + timedelta(days=1):%Y-%m-%d}{self.doubt}"


KINDS = {
    "aged": Kind("~"),
    "fixed": Kind("", past="", minutes=(8, 13, 51), day=""),
    "old": Kind("~old ", read_again=False),
    "clock wrong": Kind("~", "?"),
    "placeholder": Kind("~", "?", source="placeholder"),
    "heavy": Kind(
        "~",
        "?",
        minutes=(45, 10, 15),
        day="Wed 11 Jun ",
        weight="heavy",
        opens_at=LAST_FACE + timedelta(minutes=307 * 1.5),
        cured_at=LAST_FACE + timedelta(minutes=1807 * 1.5),
    ),
}
"""A heavy coat opens at 16:41:00 and is cured on Wednesday at 06:11:00."""

MOMENTS = {
    "waiting": on_monday(12, 0),
    "closing": on_monday(22, 0),
    "missed": on_monday(22, 30),
    "curing": on_monday(12, 0),
}


@dataclass
class Scene:
    """A shop at one moment, with tag 1 on stand 1."""

    shop: Shop
    clock: ManualClock
    data: Path
    kind: Kind

    def run(self, *words: str) -> str:
        """What a command writes, in one line."""
        told = run_main(self.clock, "--db", str(self.data), *words)
        assert told.code == 0, told.err
        return " ".join(told.out.split())


def made(file: Path, seeds: Seeds, name: str, moment: str) -> datetime:
    """Writes the shop of a moment; answers what time it is there."""
    kind, clock = KINDS[name], ManualClock(on_monday(7, 30))
    shop = Shop(open_store(str(file)), clock, "test")
    usual = {"zone": "Europe/London", "day_c": 11.0, "night_c": 11.0}
    done(open_shop(shop, seeds, ("Kit", "Mo"), 2, usual))
    form = (
        'until = "{} min", exact = true' if name == "fixed" else 'until = {{ "11 C" = "{} min" }}'
    )
    times = [form.format(m) for m in (307, 815)]
    sheet = PRODUCT.format(source=kind.source, wait=times[0], open=times[1])
    done(sheet_editing.set_product(shop, "Kit", "lacquer", sheet))
    route = ROUTE.format(second="" if moment == "curing" else SECOND)
    done(sheet_editing.set_route(shop, "Kit", "coats", route))
    done(placement.place(shop, 1, "Kit", route="coats", shape="plate", name="Door"))
    clock.set(on_monday(8, 30))
    done(readings.take_reading(shop, "Kit", air_c=11, rh_pct=50, metal_c=11))
    clock.set(FIRST_FACE)
    done(steps.begin(shop, 1, "Kit"))
    clock.set(LAST_FACE)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    if kind.weight != "as meant":
        done(record_thickness(shop, 1, "Kit", weight=kind.weight))
    if (name, moment) == ("fixed", "curing"):
        # A painter's "not yet" is exact.
        clock.set(CURED + timedelta(minutes=3))
        done(testing.put_test_off(shop, 1, "Mo", minutes=40))
        clock.advance(minutes=1)
    else:
        clock.set(
            MOMENTS[moment] + timedelta(hours=1.5 if name == "old" else 0) * (moment in EARLY)
        )
        if moment not in EARLY and kind.read_again:
            done(readings.take_reading(shop, "Kit", air_c=11, rh_pct=50, metal_c=11))
    now = clock.now()
    shop.store.close()
    return now


EARLY = ("waiting", "curing")
"""Moments at which the reading of the morning is fresh, unless it is wanted old."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("hours")


@pytest.fixture
def scene(
    request: pytest.FixtureRequest, kept: Path, seeds: Seeds, tmp_path: Path
) -> Callable[[str, str], Scene]:
    """A shop of its own at a moment; each is written once and copied."""

    def at(name: str, moment: str) -> Scene:
        file = kept / f"{name}-{moment}.db"
        if not file.exists():
            NOW[name, moment] = made(file, seeds, name, moment)
        own, now = tmp_path / "shop.db", NOW[name, moment]
        shutil.copyfile(file, own)
        clock = ManualClock(now)
        if name == "clock wrong":
            old = datetime(1970, 1, 1, 0, 1, tzinfo=UTC)
            clock = ManualClock(old, boot="the next start", up=timedelta(minutes=1))
        shop = Shop(open_store(str(own)), clock, "test")
        request.addfinalizer(shop.store.close)
        return Scene(shop, clock, own, KINDS[name])

    return at


NOW: dict[tuple[str, str], datetime] = {}
"""What time it is in a shop that was written."""


# --- the surfaces --------------------------------------------------------------------------------

Shown = tuple[str, list[str]]
"""What a surface shows, and each phrase that has to be in it."""

Surface = Callable[[Scene], Awaitable[Shown]]


async def picture(scene: Scene, *screens: Callable[[], object]) -> str:
    """The screen on top, wide enough that no line is folded."""
    async with at_the_bench(scene.shop, scene.clock, (200, 50)) as hands:
        await past_the_question(hands)
        for screen in screens:
            hands.app.push_screen(screen())  # type: ignore[arg-type]
            await hands.settled()
        return hands.picture()


async def past_the_question(hands: Hands) -> None:
    """While the clock is wrong the program asks first: 0 is later."""
    if hands.app.view.doubtful:
        await hands.press("0")


async def bench_card(scene: Scene) -> Shown:
    words = [f"opens {scene.kind.opens.words}", f"closes {scene.kind.closes().words}"]
    return await picture(scene), words


async def stand_page(scene: Scene) -> Shown:
    words = [f"opens {scene.kind.opens.words}", f"closes {scene.kind.closes().words}"]
    return await picture(scene, lambda: StandPage("1")), words


async def page_look_ahead(scene: Scene) -> Shown:
    told = await picture(scene, lambda: StandPage("1"))
    return told, [f"if started {scene.kind.opens.words}:"]


async def refusal(scene: Scene) -> Shown:
    told = refused(steps.begin(scene.shop, 1, "Kit"))
    return str(told), [f"too soon (opens {scene.kind.opens.words}, in"]


async def refusal_of_a_test(scene: Scene) -> Shown:
    told = refused(testing.pass_test(scene.shop, 1, "Kit"))
    return str(told), [f"(opens {scene.kind.opens.words})"]


async def hand_over(scene: Scene) -> Shown:
    opens, closes = scene.kind.opens.words, scene.kind.closes().words
    return scene.run("handover"), [f"opens {opens}", f"by {closes} stand"]


async def missed_list(scene: Scene) -> Shown:
    return scene.run("ahead"), [f"Second coat closes {scene.kind.closes().words}, then"]


async def status(scene: Scene) -> Shown:
    opens, closes = scene.kind.opens.words, scene.kind.closes().words
    return scene.run("status"), [f"opens {opens}; closes {closes}"]


async def status_json(scene: Scene) -> Shown:
    opens, closes = scene.kind.opens.utc, scene.kind.closes().utc
    return scene.run("status", "--json"), [f'"opens_at": "{opens}"', f'"closes_at": "{closes}"']


async def ahead(scene: Scene) -> Shown:
    opens = scene.kind.opens.words
    found = [f"if started {opens}:", f"NO: too soon (opens {opens}, in"]
    return scene.run("ahead", "--tag", "1"), found


async def ahead_json(scene: Scene) -> Shown:
    opens, closes = scene.kind.opens.utc, scene.kind.closes().utc
    told = scene.run("ahead", "--tag", "1", "--json")
    return told, [f'"begins_at": "{opens}"', f'"begin_before": "{closes}"']


async def day_strip(scene: Scene) -> Shown:
    told = json.loads(scene.run("ahead", "--tag", "1", "--json"))
    signs = [f"{sign['sign']} {sign['at']}" for sign in told["strip"]["signs"]]
    return str(signs), [f"'? {scene.kind.opens.utc}'", f"'] {scene.kind.closes().utc}'"]


async def correction_note(scene: Scene) -> Shown:
    """The last face was twenty minutes earlier: the note has the hour that the bench showed."""
    hour = HourOfStep(step=1, edge="last", at=on_monday(8, 40))
    answer = done(correct(scene.shop, 1, "Kit", "misread", hour))
    return "; ".join(answer.notes), [f" now, not {scene.kind.opens.words}"]


async def job_record(scene: Scene) -> Shown:
    told = " ".join(as_text(sheet_page(sheet(scene))).split())
    return told, [f"opens {scene.kind.opens.dated}, closes {scene.kind.closes().dated}"]


async def job_record_json(scene: Scene) -> Shown:
    told = json.loads(sheet_json(sheet(scene)))["sheet"]
    hours = [in_utc(told[key]) for key in ("opens_at", "closes_at")]
    return str(hours), [scene.kind.opens.utc, scene.kind.closes().utc]


async def calendar_file(scene: Scene) -> Shown:
    kind = scene.kind
    return events(scene), [f"opens {kind.opens.utc}", f"closes {kind.closes().utc}"]


async def far_view(scene: Scene) -> Shown:
    view = bench_view.read_bench(scene.shop)
    told = "; ".join(look.text for look in urgent(view, view.local(scene.shop.clock.now())))
    return told, [f"test it first by {scene.kind.closes().words}"]


async def closing_card(scene: Scene) -> Shown:
    return await picture(scene), [f"closes {scene.kind.closes().words}"]


async def to_do_list(scene: Scene) -> Shown:
    view, now = bench_view.read_bench(scene.shop), scene.shop.clock.now()
    told = "; ".join(want.text for want in view.wants(now))
    return told, [f"test it first by {scene.kind.closes().words}"]


async def alarm(scene: Scene) -> Shown:
    view, now = bench_view.read_bench(scene.shop), scene.shop.clock.now()
    told = "; ".join(alarm.want.text for alarm in view.alarming(now))
    return told, [f"test it first by {scene.kind.closes().words}"]


async def closing_status(scene: Scene) -> Shown:
    told = scene.run("status")
    closes = scene.kind.closes().words
    return told, [f"closes {closes}", f"test it first by {closes}"]


async def closing_hand_over(scene: Scene) -> Shown:
    closes = scene.kind.closes().words
    return scene.run("handover"), [f"by {closes} stand"]


async def missed_refusal(scene: Scene) -> Shown:
    closed = scene.kind.closes(scene.kind.past).words
    return scene.run("ahead", "--tag", "1"), [f"the window was missed (closed {closed})"]


async def flag_of_a_late_face(scene: Scene) -> Shown:
    begun = CLOSES - timedelta(minutes=5)
    done(over(lambda answers: steps.begin(scene.shop, 1, "Kit", at=begun, override=answers)))
    answer = done(steps.finish(scene.shop, 1, "Kit", all_faces=True))
    told = "; ".join(note for note in answer.notes if "edge" in note)
    return told, [f"below, which closes {scene.kind.closes(scene.kind.past).words}"]


async def cure_card(scene: Scene) -> Shown:
    return await picture(scene), [f"ends {scene.kind.cured.words}"]


async def cure_page(scene: Scene) -> Shown:
    return await picture(scene, lambda: StandPage("1")), [f"ends {scene.kind.cured.words}"]


async def cure_status(scene: Scene) -> Shown:
    return scene.run("status"), [f"ends {scene.kind.cured.words}"]


async def cure_status_json(scene: Scene) -> Shown:
    return scene.run("status", "--json"), [f'"opens_at": "{scene.kind.cured.utc}"']


async def cure_day_strip(scene: Scene) -> Shown:
    told = json.loads(scene.run("ahead", "--tag", "1", "--json"))
    return str(told["strip"]["signs"]), [f"'at': '{scene.kind.cured.utc}', 'sign': '?'"]


async def cure_job_record(scene: Scene) -> Shown:
    told = " ".join(as_text(sheet_page(sheet(scene))).split())
    return told, [f"{scene.kind.cured.dated}, not tested yet"]


async def cure_job_record_json(scene: Scene) -> Shown:
    told = json.loads(sheet_json(sheet(scene)))["sheet"]
    hours = [in_utc(told["opens_at"]), in_utc(told["cure"]["full_cure_at"])]
    return " ".join(hours), [f"{scene.kind.cured.utc} {scene.kind.cured.utc}"]


async def care(scene: Scene) -> Shown:
    told = " ".join(as_text(care_page(sheet(scene))).split())
    touch = scene.kind.touch.dated
    return told, [f"About {scene.kind.cured_on}.", f"with care from {touch}:"]


async def care_json(scene: Scene) -> Shown:
    cure = json.loads(sheet_json(sheet(scene)))["sheet"]["cure"]
    return in_utc(cure["contact_at"]), [scene.kind.touch.utc]


async def tag_label(scene: Scene) -> Shown:
    told = " ".join(label(sheet(scene)).split())
    handle = f"HANDLE AFTER {scene.kind.touch.dated}"
    return told, [f"FULL CURE ABOUT {scene.kind.cured_on}", handle]


async def cure_calendar_file(scene: Scene) -> Shown:
    return events(scene), [f"cured {scene.kind.cured.utc}"]


def sheet(scene: Scene) -> Sheet:
    found = sheet_of(scene.shop, 1)
    assert isinstance(found, Sheet)
    return found


def in_utc(at: str) -> str:
    return datetime.fromisoformat(at).astimezone(UTC).isoformat(timespec="seconds")


def events(scene: Scene) -> str:
    """Each event's kind and beginning, as a phone reads them."""
    found = upcoming(scene.shop)
    assert isinstance(found, UpcomingEvents)
    calendar = icalendar.Calendar.from_ical(ical(found))
    return "; ".join(
        f"{event['CATEGORIES'].to_ical().decode().lower()} "
        f"{event.decoded('DTSTART').isoformat(timespec='seconds')}"
        for event in calendar.walk("VEVENT")
    )


# --- the tests -----------------------------------------------------------------------------------

SURFACES: dict[str, tuple[str, Surface]] = {
    "bench card": ("waiting", bench_card),
    "stand page": ("waiting", stand_page),
    "look-ahead on the page": ("waiting", page_look_ahead),
    "refusal": ("waiting", refusal),
    "refusal of a test": ("waiting", refusal_of_a_test),
    "hand-over": ("waiting", hand_over),
    "missed list": ("waiting", missed_list),
    "status": ("waiting", status),
    "status JSON": ("waiting", status_json),
    "ahead": ("waiting", ahead),
    "ahead JSON": ("waiting", ahead_json),
    "day strip": ("waiting", day_strip),
    "correction note": ("waiting", correction_note),
    "job record": ("waiting", job_record),
    "job record JSON": ("waiting", job_record_json),
    "calendar file": ("waiting", calendar_file),
    "bench card, closing": ("closing", closing_card),
    "far view": ("closing", far_view),
    "to-do list": ("closing", to_do_list),
    "alarm": ("closing", alarm),
    "status, closing": ("closing", closing_status),
    "hand-over, closing": ("closing", closing_hand_over),
    "refusal of a missed window": ("missed", missed_refusal),
    "flag of a late face": ("missed", flag_of_a_late_face),
    "bench card, curing": ("curing", cure_card),
    "stand page, curing": ("curing", cure_page),
    "status, curing": ("curing", cure_status),
    "status JSON, curing": ("curing", cure_status_json),
    "day strip, curing": ("curing", cure_day_strip),
    "job record, curing": ("curing", cure_job_record),
    "job record JSON, curing": ("curing", cure_job_record_json),
    "care page": ("curing", care),
    "care JSON": ("curing", care_json),
    "label": ("curing", tag_label),
    "calendar file, curing": ("curing", cure_calendar_file),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("surface", SURFACES)
async def test_every_surface_shows_the_same_hour(
    surface: str, kind: str, scene: Callable[[str, str], Scene]
) -> None:
    moment, look = SURFACES[surface]
    told, phrases = await look(scene(kind, moment))
    for phrase in phrases:
        assert re.search(re.escape(phrase) + r"(?![\d?])", told), f"{phrase!r} is not in: {told}"


@pytest.mark.parametrize("kind", KINDS)
def test_status_never_shows_an_opening_too_early_or_a_closing_too_late(
    kind: str, scene: Callable[[str, str], Scene]
) -> None:
    file = json.loads(scene(kind, "waiting").run("status", "--json"))["stands"][0]
    opens, closes = (datetime.fromisoformat(file[key]) for key in ("opens_at", "closes_at"))
    exact = KINDS[kind].opens_at
    assert exact <= opens < exact + timedelta(minutes=5)
    assert CLOSES - timedelta(minutes=5) < closes <= CLOSES

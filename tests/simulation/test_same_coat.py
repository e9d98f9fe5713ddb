"""The same coat under ever other conditions: warm, a cold night, a standstill, old and late readings.

Epoxy primer, sprayed on a Monday from 10:05 to 10:25. Its figures are placeholders of the shipped
product: 24 h at 10 C, 16 h at 20 C and 10 h at 30 C before the next coat, 7 days at 20 C and 3 at
30 C until it wants keying, nothing dries under 10 C (a generic epoxy data sheet, source seen, maker
withheld). The etch primer's 24 h to 48 h are common practice, no source. London's summer time of 2026 begins on 29 March and
ends on 25 October, both at 01:00 UTC (the tz database).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise, permutations
from zoneinfo import ZoneInfo

import pytest

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.stand_state import StandState
from bench.process.clocks.temperature import Reading, stretches
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.process.wording.time_text import format_clock, round_up
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps, testing
from bench.shop.seeds.seed_files import Seeds
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots
from bench.testing import ManualClock
from bench.trade.ageing import Side, Stretch, passes_at
from tests.shop.doing import begin_over

from .integral import passes, temperature_at
from .shops import folder_in_memory, open_at

LONDON = ZoneInfo("Europe/London")
FIRST = datetime(2026, 6, 8, 10, 5, tzinfo=LONDON)
LAST = datetime(2026, 6, 8, 10, 25, tzinfo=LONDON)
HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
EPOXY = ((10.0, 24 * 3600.0), (20.0, 16 * 3600.0), (30.0, 10 * 3600.0))

Opener = Callable[[datetime], "Coat"]


def done(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


class Coat:
    """A shop with one bracket, and the time of day in it."""

    def __init__(self, shop: Shop, clock: ManualClock) -> None:
        self.shop, self.clock = shop, clock

    def read(self, at: datetime, metal_c: float, *, entered: datetime | None = None) -> None:
        """Somebody reads the thermometer, and writes it down then or later."""
        self.clock.set(entered or at)
        done(
            readings.take_reading(self.shop, "Mo", air_c=metal_c, rh_pct=50, metal_c=metal_c, at=at)
        )

    def kept_at(self, temp_c: float) -> None:
        """Night and day the shop is as warm as this."""
        done(set_settings(self.shop, "Kit", day_c=temp_c, night_c=temp_c))

    def sprayed(self, first: datetime, last: datetime, *, route: str = "steel-blasted") -> None:
        """The first coat of the route, whatever stood before it done elsewhere."""
        self.clock.set(first)
        done(placement.place(self.shop, 1, "Kit", route=route, shape="plain"))
        while (record := self.part().current()) and record.step.kind != "coat":
            done(holds_and_rework.skip(self.shop, 1, "Kit", "already done"))
        assert record is not None
        if record.step.name.endswith("mist"):
            done(holds_and_rework.skip(self.shop, 1, "Kit", "the sheet does not need it"))
        done(pots.mix(self.shop, record.step.product, "Mo", known=MixStart(need_ml=300)))
        done(begin_over(self.shop, 1, "Kit", "tested on the coupon"))
        self.clock.set(last)
        done(steps.finish(self.shop, 1, "Kit", all_faces=True))

    def part(self) -> Part:
        """The bracket."""
        placed = read_bench(self.shop).on(1)
        assert placed is not None
        return placed.part

    def state(self, at: datetime) -> StandState:
        """What its stand shows."""
        self.clock.set(at)
        return read_bench(self.shop).state(1, self.clock.now())

    def opens(self) -> datetime:
        """When its wait is over, as far as is known now."""
        state = read_bench(self.shop).state(1, self.clock.now())
        assert state.opens is not None, state
        return state.opens.at


@pytest.fixture
def opened(seeds: Seeds) -> Iterator[Opener]:
    """Opens a shop at an instant."""
    with folder_in_memory() as where:
        made: list[Shop] = []

        def at(when: datetime) -> Coat:
            clock = ManualClock(when)
            fresh = open_at(where / f"{len(made)}.db", seeds, when, 2)
            made.append(Shop(fresh.store, clock, "test"))
            return Coat(made[-1], clock)

        yield at
        for shop in made:
            shop.store.close()


@pytest.fixture
def coat(opened: Opener) -> Coat:
    """Monday's coat, in a shop that was read at 18 C when it opened."""
    made = opened(FIRST.replace(hour=7, minute=30))
    made.read(FIRST.replace(hour=7, minute=30), 18)
    return made


def monday(hour: int, minute: int = 0) -> datetime:
    return FIRST.replace(hour=hour, minute=minute)


# --- temperature ---------------------------------------------------------------------------------


def test_at_20_c_night_and_day_it_opens_to_the_second_when_the_sheet_says(coat: Coat) -> None:
    coat.kept_at(20)
    coat.read(monday(8), 20)
    coat.sprayed(FIRST, LAST)
    state = coat.state(LAST)
    assert state.opens.at == LAST + 16 * HOUR == datetime(2026, 6, 9, 2, 25, tzinfo=LONDON)
    assert state.closes.at == FIRST + timedelta(days=7)
    assert (state.basis, state.stalled_s) == ("sheet", 0.0)


def test_after_a_night_at_11_c_it_opens_at_seven_and_not_at_half_past_two(coat: Coat) -> None:
    """The worked week's figure: Tuesday 07:10, where 16 h by the clock would say 02:25."""
    coat.sprayed(FIRST, LAST)
    drawn = (Stretch(LAST.timestamp(), 18.0), Stretch(monday(17, 30).timestamp(), 11.0))
    by_hand = passes(EPOXY, drawn, LAST, opening=True, least_c=10.0)
    assert by_hand is not None
    state = coat.state(LAST)
    assert state.opens is not None
    assert abs(state.opens.at - by_hand) < timedelta(seconds=1)
    assert format_clock(round_up(state.opens.at), LAST) == "Tue 07:10"
    assert state.closes.at == FIRST + timedelta(days=7), "no credit for the cold night"
    assert coat.state(state.opens.at - MINUTE).word == "WAIT"
    assert coat.state(state.opens.at).word == "TEST"


def test_six_hours_under_its_least_temperature_are_six_hours_more_to_wait(coat: Coat) -> None:
    coat.kept_at(20)
    coat.read(monday(8), 20)
    coat.sprayed(FIRST, LAST)
    coat.read(monday(13), 6)
    state = coat.state(monday(15))
    assert (state.word, state.opens) == ("WAIT", None), "as cold as this it never dries"
    assert "too cold" in state.note
    coat.read(monday(19), 20)
    state = coat.state(monday(19))
    assert state.opens.at == LAST + 22 * HOUR
    assert state.stalled_s == 6 * 3600
    assert state.closes.at == FIRST + timedelta(days=7), "but its window does not wait for it"


def test_heat_the_sheet_does_not_list_gives_no_time_back(coat: Coat) -> None:
    coat.kept_at(20)
    coat.read(monday(8), 20)
    coat.sprayed(FIRST, LAST)
    coat.read(monday(11), 35)
    state = coat.state(monday(11))
    # The reading counts for 4 h, as if it were 30 C: 0.4 of the wait, for which 20 C takes 6.4 h.
    assert abs(state.opens.at - (LAST + (16 + 4 - 6.4) * HOUR)) < timedelta(seconds=1)
    assert state.closes is not None
    assert state.closes.at < FIRST + timedelta(days=7), "but it closes sooner"


# --- readings ------------------------------------------------------------------------------------


def test_a_reading_eight_hours_old_still_counts_is_said_to_be_old_and_lets_nobody_spray(
    coat: Coat,
) -> None:
    coat.sprayed(FIRST, LAST)
    coat.read(LAST, 18)
    opens = coat.opens()
    assert not coat.state(LAST + 4 * HOUR).old
    state = coat.state(LAST + 8 * HOUR)
    assert state.opens.at == opens, "a reading that grows old moves nothing by itself"
    assert state.old
    coat.clock.set(opens + HOUR)
    done(testing.pass_test(coat.shop, 1, "Mo"))
    refused = steps.begin(coat.shop, 1, "Kit")
    assert isinstance(refused, Refusal)
    assert refused.rule == "the last reading is too old"
    done(undo.undo(coat.shop, "Mo"))
    coat.read(LAST + 8 * HOUR, 11, entered=opens + HOUR)
    assert coat.opens() == opens, "11 C is what the night was taken to be"
    done(undo.undo(coat.shop, "Mo"))


READ = ((monday(11), 17.0), (monday(14), 13.0), (monday(15), 15.5), (monday(16, 30), 12.0))


def test_readings_entered_late_and_in_any_order_give_the_same_hour(opened: Opener) -> None:
    found = set()
    for order in permutations(READ):
        made = opened(monday(7, 30))
        made.read(monday(7, 30), 18)
        made.sprayed(FIRST, LAST)
        for at, temp_c in order:
            made.read(at, temp_c, entered=monday(17))
        found.add(made.opens())
    as_read = opened(monday(7, 30))
    as_read.read(monday(7, 30), 18)
    as_read.sprayed(FIRST, LAST)
    for at, temp_c in READ:
        as_read.read(at, temp_c)
    assert found == {as_read.opens()}


def test_each_late_reading_is_taken_back_by_undo(coat: Coat) -> None:
    coat.sprayed(FIRST, LAST)
    opens = [coat.opens()]
    for at, temp_c in reversed(READ):
        coat.read(at, temp_c, entered=monday(17))
        opens.append(coat.opens())
    assert len(set(opens)) == len(opens), "each of them moved it"
    for before in reversed(opens[:-1]):
        done(undo.undo(coat.shop, "Kit"))
        assert coat.opens() == before


def test_a_colder_reading_never_opens_it_sooner_and_a_warmer_one_never_closes_it_later(
    coat: Coat,
) -> None:
    coat.sprayed(FIRST, LAST)
    hour, before = monday(11), coat.state(LAST)
    for temp_c in (17.0, 16.0, 14.0, 12.5, 11.0):
        hour += HOUR
        coat.read(hour, temp_c)
        state = coat.state(hour)
        assert state.opens is not None
        assert before.opens is not None
        assert state.opens.at >= before.opens.at
        before = state
    for temp_c in (20.0, 24.0, 30.0):
        coat.read(monday(16, 30), temp_c, entered=monday(17))
        state = coat.state(monday(17))
        assert state.closes is not None
        assert before.closes is not None
        assert state.closes.at <= before.closes.at
        before = state


# --- summer time and New Year --------------------------------------------------------------------

CHANGES = [
    pytest.param(
        datetime(2026, 3, 28, 12, 0, tzinfo=LONDON), "Sun 13:00", id="London goes to summer time"
    ),
    pytest.param(
        datetime(2026, 10, 24, 12, 0, tzinfo=LONDON), "Sun 11:00", id="London goes back from it"
    ),
    pytest.param(datetime(2026, 12, 31, 23, 30, tzinfo=LONDON), "Fri 23:30", id="New Year"),
]


@pytest.mark.parametrize(("last", "label"), CHANGES)
def test_24_hours_are_24_hours_and_the_wall_shows_the_right_hour(
    opened: Opener, last: datetime, label: str
) -> None:
    """Etch primer: 24 h from the last face, to be keyed 48 h after the first."""
    made = opened(last - HOUR)
    made.kept_at(20)
    made.sprayed(last - 20 * MINUTE, last, route="zinc-weathered")
    ends = last.astimezone(UTC) + 24 * HOUR
    state = made.state(last)
    assert state.closes.at == last.astimezone(UTC) - 20 * MINUTE + 48 * HOUR
    view = read_bench(made.shop)
    assert format_clock(ends, view.local(last)) == label
    left = []
    for hour in range(24):
        at = last.astimezone(UTC) + hour * HOUR + 20 * MINUTE
        state = made.state(at)
        assert state.opens.at == ends, at
        seconds = state.seconds_left(at)
        assert seconds is not None
        left.append(seconds)
    assert {before - after for before, after in pairwise(left)} == {3600.0}
    assert made.state(ends - timedelta(seconds=1)).word == "WAIT"
    assert made.state(ends).word == "TEST"
    assert made.state(ends + HOUR).seconds_left(ends + HOUR) == -3600


@pytest.mark.parametrize("last", [change.values[0] for change in CHANGES])
def test_shop_hours_follow_the_wall_and_ageing_the_elapsed_time(
    opened: Opener, last: datetime
) -> None:
    """Minute by minute over the change, without the program's own stretches."""
    made = opened(last - HOUR)
    made.read(last - HOUR, 18)
    made.sprayed(last - 20 * MINUTE, last)
    hours, known = read_bench(made.shop).house.hours, [Reading(last - HOUR, 18.0, 50.0, 18.0)]
    start = last.astimezone(UTC)
    minutes = [start + n * MINUTE for n in range(48 * 60)]
    drawn = [
        Stretch(at.timestamp(), temperature_at(known, hours, at, opening=True)) for at in minutes
    ]
    expected = passes(EPOXY, drawn, start, opening=True, least_c=10.0)
    assert expected is not None
    assert abs(made.opens() - expected) < timedelta(seconds=1)


@pytest.mark.parametrize("back", [False, True], ids=["spring", "autumn"])
def test_a_wash_over_the_change_is_to_be_rinsed_after_ten_real_minutes(
    opened: Opener, back: bool
) -> None:
    change = datetime(2026, 10, 25, 1, tzinfo=UTC) if back else datetime(2026, 3, 29, 1, tzinfo=UTC)
    made = opened(change - HOUR)
    made.clock.set(change - 4 * MINUTE)
    done(placement.place(made.shop, 1, "Kit", route="zinc-new", shape="plain"))
    for _ in range(2):
        done(holds_and_rework.skip(made.shop, 1, "Kit", "already done"))
    done(readings.take_reading(made.shop, "Kit", air_c=20, metal_c=20))
    done(steps.begin(made.shop, 1, "Kit"))
    began = made.clock.now()
    assert [made.state(began + n * MINUTE).word for n in (0, 9, 10, 14, 15)] == [
        "SOAK",
        "SOAK",
        "RINSE",
        "RINSE",
        "RINSE NOW",
    ]


@pytest.mark.parametrize("back", [False, True], ids=["spring", "autumn"])
def test_five_minutes_earlier_are_five_real_minutes_over_the_change_too(
    opened: Opener, back: bool
) -> None:
    change = datetime(2026, 10, 25, 1, tzinfo=UTC) if back else datetime(2026, 3, 29, 1, tzinfo=UTC)
    made = opened(change - 2 * HOUR)
    made.kept_at(20)
    made.sprayed(change - HOUR, change + 2 * MINUTE, route="zinc-weathered")
    opens = made.opens()
    done(back_dating.back_date(made.shop, 1, "Kit", 5))
    assert made.opens() == opens - 5 * MINUTE
    # The hour that London has twice, or not at all, as the painter's own clock on the wall gives it.
    wall = (change - 30 * MINUTE).astimezone(LONDON)
    done(readings.take_reading(made.shop, "Mo", air_c=15, at=wall))
    newest = read_bench(made.shop).reading()
    assert newest is not None
    assert newest.at == change - 30 * MINUTE


def test_between_years_a_label_names_the_day_and_the_cure_counts_on(opened: Opener) -> None:
    last = datetime(2026, 12, 28, 12, 0, tzinfo=LONDON)
    made = opened(last - HOUR)
    made.kept_at(20)
    made.read(last - HOUR, 20)
    made.sprayed(last - 20 * MINUTE, last)
    state = made.state(datetime(2026, 12, 31, 23, 59, tzinfo=LONDON))
    assert state.closes is not None
    now = datetime(2026, 12, 31, 23, 59, tzinfo=LONDON)
    assert format_clock(state.closes.at, now) == "Mon 04 Jan 11:40"
    assert state.closes.at == last - 20 * MINUTE + timedelta(days=7)
    assert format_clock(last + timedelta(days=10), now) == "Thu 07 Jan 12:00"


def test_drawn_once_for_every_coat_the_temperatures_are_those_drawn_for_each(
    opened: Opener,
) -> None:
    made = opened(FIRST)
    hours = read_bench(made.shop).house.hours
    known = tuple(
        Reading(FIRST + n * 7 * HOUR, 12.0 + n % 11, 50.0, 9.0 + n % 13) for n in range(60)
    )
    around = Environment(known, hours, {})
    for n in range(-10, 500, 7):
        since = FIRST + n * HOUR + 11 * MINUTE
        each = stretches(known, hours, since)
        edges: tuple[Side, ...] = ("opening", "closing")
        for edge in edges:
            once = tuple(around.weather().temperatures(since, edge))
            ways = (each[edge], once)
            found = [passes_at(EPOXY, way, since.timestamp(), edge, 10.0) for way in ways]
            assert found[0] == found[1]

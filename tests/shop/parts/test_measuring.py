"""Readings kept on a part: one truth for a coat's film, struck and undone, with which instrument."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from bench.process.parts.measurements import Measurement
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.conflicts import SeenEntries
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.thickness_facts import FilmOfCoat
from bench.shop.corrections.undo import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings as air
from bench.shop.parts import holds_and_rework, lots, placement, steps
from bench.shop.parts.film_thickness import record_thickness
from bench.shop.parts.measuring import Readings, record_readings, strike_readings
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import instruments, pots
from bench.testing import ManualClock

from ..doing import done, part, refused, state, told
from .test_film_thickness import PRIMER, primed

__all__ = ["primed"]

pytestmark = pytest.mark.sqlite


def dft(*figures: float, **more: Any) -> Readings:
    """Readings of the dry film on the whole part."""
    return Readings("dft", {"": figures}, **more)


def measured(shop: Shop) -> tuple[Measurement, ...]:
    """What stands on the part."""
    found = bench_view.read_bench(shop).find("1")
    assert found is not None
    return found.measurements


def dry_um(shop: Shop, tag: str = "1") -> float | None:
    """The film that the primer's waits go by."""
    return part(shop, tag).steps[PRIMER - 1].dry_um


def test_a_coats_film_is_the_mean_of_its_readings_and_its_wait_follows_it(
    primed: Shop, clock: ManualClock
) -> None:
    """90 um for 60 waits 2.25 times as long; struck, the readings count no more."""
    clock.advance(minutes=2)
    before = state(primed)
    answer = done(record_readings(primed, 1, "Mo", dft(85, 95)))
    assert answer.text == "tag 1 Bracket: Epoxy primer, DFT 85 95 um, read by Mo"
    assert answer.notes[0] == "mean 90 um, min 85, max 95 of 2"
    assert "accepted so far by ISO 19840, if agreed, by a placeholder" in answer.notes[1]
    assert answer.notes[2] == "take 3 more readings"
    assert answer.notes[3] == "tag 1 opens ~Tue 19:50? now, not ~23:50?"
    assert dry_um(primed) == 90
    done(record_readings(primed, 1, "Mo", dft(60)))
    assert dry_um(primed) == 80
    first, second = measured(primed)
    done(strike_readings(primed, "Kit", first.number))
    assert (dry_um(primed), measured(primed)) == (60, (second,))
    assert "no readings" in str(refused(strike_readings(primed, "Kit", first.number)))
    for _ in range(3):
        done(undo(primed, "Mo"))
    assert state(primed) == told(primed)
    assert {**before, "part": None} == {**state(primed), "part": None}  # type: ignore[dict-item]
    assert check(primed).faults == ()


def test_one_figure_typed_or_corrected_takes_the_place_of_the_readings(primed: Shop) -> None:
    done(record_readings(primed, 1, "Mo", dft(85, 95)))
    done(record_thickness(primed, 1, "Mo", dry_um=70))
    assert [each.readings for each in measured(primed)] == [(70,)]
    done(correct(primed, 1, "Kit", "read wrong", FilmOfCoat(PRIMER, {"dry": 64.0})))
    assert (dry_um(primed), [each.readings for each in measured(primed)]) == (64, [(64,)])
    done(correct(primed, 1, "Kit", "never read", FilmOfCoat(PRIMER, {"dry": None})))
    assert (dry_um(primed), measured(primed)) == (None, ())


def test_a_lot_that_is_split_takes_its_readings_and_the_worse_ones_stay_when_it_is_merged(
    primed: Shop,
) -> None:
    done(record_readings(primed, 1, "Mo", dft(60)))
    done(lots.split(primed, 1, "Mo", 4, stand=2))
    done(record_readings(primed, 2, "Mo", dft(120)))
    assert dry_um(primed, "1b") == 90
    done(lots.merge(primed, 1, "Mo", "1b"))
    assert (dry_um(primed), [each.readings for each in measured(primed)]) == (90, [(60,), (120,)])


@pytest.mark.parametrize(
    ("readings", "more", "words"),
    [
        (Readings("dtf", {"": [80]}), {}, "no kind of measurement 'dtf'"),
        (dft(), {}, "DFT: no reading"),
        (dft(80, 3000), {}, "DFT 3000 um: must be over 0, up to 2000 um"),
        (dft(80), {"step": 1}, "Degrease and rinse has no DFT: name a coat"),
        (dft(80, instrument="G9"), {}, "no instrument 'G9': one of none is recorded"),
        (dft(80, surface="zinc"), {}, "the zinc was not measured before the first coat"),
        (dft(20, surface="medium"), {}, "that leaves no film (mean 20 um, 25 um of it below"),
        (Readings("dft", {"ROOF": [80]}), {}, "no face 'ROOF'"),
        (Readings("zinc", {"": [80]}), {}, "zinc is read before the first coat"),
        (Readings("water-break", grade="wet"), {}, "water break: wet: free or broken"),
        (Readings("ph", {"": [7]}, grade="3"), {}, "rinse pH with a size class 3"),
        (Readings("salts", {"": [3]}, surface="zinc"), {}, "only of DFT"),
        (dft(*[80] * 501), {}, "501 readings: at most 500 at a time"),
    ],
)
def test_what_cannot_be_read_is_refused_and_nothing_is_written(
    primed: Shop, readings: Readings, more: dict[str, Any], words: str
) -> None:
    before = state(primed)
    assert words in str(refused(record_readings(primed, 1, "Mo", readings, **more)))
    assert state(primed) == before


def test_readings_may_be_typed_later_but_not_before_the_step_they_are_of(
    primed: Shop, clock: ManualClock
) -> None:
    clock.advance(hours=2)
    now = primed.clock.now()
    long_ago = record_readings(primed, 1, "Mo", dft(62), at=now - timedelta(hours=5))
    assert "Epoxy primer was not begun yet" in str(refused(long_ago))
    ago = now - timedelta(hours=1)
    done(record_readings(primed, 1, "Mo", Readings("wft", {"": [120]}), at=ago))
    assert [each.at for each in measured(primed)] == [ago]


def test_two_who_measure_at_once_are_told_of_each_other(primed: Shop) -> None:
    seen = primed.as_seen(SeenEntries(log_page(primed, 1)[0].number))
    done(record_readings(primed, 1, "Mo", Readings("ph", {"": [7]})))
    assert "Mo changed this" in str(refused(record_readings(seen, 1, "Kit", dft(64))))
    (there,) = measured(primed)
    assert "Mo changed this" in str(refused(strike_readings(seen, "Kit", there.number)))


def test_an_instrument_whose_check_is_due_is_said_and_stands_on_the_record(primed: Shop) -> None:
    new = {"kind": "film gauge", "number": "4711", "error": 2.0}
    done(instruments.add_instrument(primed, "Mo", "G1", **new))  # type: ignore[arg-type]
    assert "already" in str(refused(instruments.add_instrument(primed, "Mo", "g1", kind="cutter")))
    calibrated, due = date(2025, 1, 5), date(2025, 6, 1)
    early = instruments.calibrate(primed, "Mo", "G1", calibrated=due, check_by=calibrated)
    assert "a later day" in str(refused(early))
    done(instruments.calibrate(primed, "Mo", "g1", calibrated=calibrated, check_by=due))
    answer = done(record_readings(primed, 1, "Mo", dft(62, 63, instrument="g1")))
    assert answer.notes[0] == "G1: its check was due 2025-06-01"
    assert answer.text.endswith("read by Mo with G1")
    sheet = sheet_of(primed, 1)
    assert isinstance(sheet, Sheet)
    assert sheet.instruments["G1"].calibrated == calibrated
    done(instruments.set_check(primed, "Mo", "G1", check_by=date(2026, 1, 5)))
    assert "due" not in done(record_readings(primed, 1, "Mo", dft(62, instrument="G1"))).notes[0]
    done(instruments.retire(primed, "Mo", "G1"))
    assert "no instrument" in str(
        refused(record_readings(primed, 1, "Mo", dft(62, instrument="G1")))
    )


def test_zinc_is_read_before_the_coat_and_taken_off_the_film_over_it(
    primed: Shop, clock: ManualClock
) -> None:
    """85 um of zinc leave 60 of 145: makers' guidance, as in ``paint_on_zinc``."""
    ago = primed.clock.now() - timedelta(hours=1)
    done(record_readings(primed, 1, "Mo", Readings("zinc", {"": [80, 85, 90]}), at=ago))
    answer = done(record_readings(primed, 1, "Mo", dft(140, 150, surface="zinc")))
    assert "DFT 140 150 um, less 85 um for the zinc and coats below" in answer.text
    assert dry_um(primed) == 60


def test_a_thermometer_that_may_be_wrong_by_the_margin_is_said_when_a_coat_begins(
    shop: Shop, clock: ManualClock
) -> None:
    """20 C and 60 % are a dew point of 12.0 C: 15.3 C is 3.3 C above it."""
    done(instruments.add_instrument(shop, "Mo", "T1", kind="surface thermometer", error=0.5))
    done(instruments.add_instrument(shop, "Mo", "G1", kind="film gauge", error=2.0))
    done(instruments.add_instrument(shop, "Mo", "T2", kind="surface thermometer", error=3.0))
    done(instruments.retire(shop, "Mo", "T2"))
    done(set_settings(shop, "Kit", day_c=20, night_c=20))
    done(air.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=15.3))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    brackets = {"route": "steel-blasted", "shape": "bracket"}
    done(placement.place(shop, 1, "Kit", **brackets))  # type: ignore[arg-type]
    for _ in range(PRIMER - 1):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    answer = done(steps.begin(shop, 1, "Kit"))
    words = "margin 3.3 C, minimum 3 C: within the surface thermometer's error of 0.5 C"
    assert words in answer.notes

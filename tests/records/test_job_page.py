"""A job's page: what one lot and the pieces that left it took, who worked, what went another way."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from bench.process.stock.mixing import MixStart
from bench.records.forms import JOB_FORMS, mark_of
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.parts.jobs import promise_job
from bench.shop.people.painters import add_painter
from bench.shop.records.job_page import JobPage, job_page
from bench.shop.settings.paper import Paper
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import begin_over, done

from .making import eventful


@pytest.fixture
def shop_after(shop: Shop, clock: ManualClock) -> Shop:
    """A job of fourteen brackets, and a part of no job."""
    eventful(shop, clock)
    done(placement.place(shop, 5, "Kit", route="zinc-new", shape="frame"))
    done(promise_job(shop, "Mo", job="trolley 7", day=date(2025, 6, 9)))
    return shop


def test_two_jobs_share_a_pot_by_the_pieces_that_were_sprayed_from_it(
    shop: Shop, clock: ManualClock
) -> None:
    """Three brackets of one job and one of another, all of one size: three quarters and one."""
    for stand, (job, count) in enumerate((("TROLLEY", 3), ("RACK", 1)), start=1):
        route, shape = "steel-blasted", "bracket"
        done(placement.place(shop, stand, "Kit", route=route, shape=shape, job=job, count=count))
        for _ in range(2):
            done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=400)))
    clock.advance(minutes=20)
    for stand in (1, 2):
        done(begin_over(shop, stand, "Kit", "other"))
        done(steps.finish(shop, stand, "Kit", all_faces=True))
    assert [taken_ml(shop, job) for job in ("TROLLEY", "RACK")] == [300, 100]


def taken_ml(shop: Shop, job: str) -> float:
    """How much of the epoxy primer a job took."""
    page = job_page(shop, job)
    assert isinstance(page, JobPage)
    return sum(line.spent.used.ml for line in page.paint if line.spent.name.startswith("Epoxy"))


def test_the_page_of_a_job_that_had_everything(shop_after: Shop) -> None:
    page = job_page(shop_after, "Trolley 7")
    assert isinstance(page, JobPage)
    assert [part.tag for part in page.parts] == ["1", "1b"]
    assert page.slack is not None
    assert page.slack.is_late
    # Blasting 30 min by Kit, epoxy 25 min by both, gloss 30 min by Mo.
    assert dict(page.hours.by_painter) == {
        "Kit": timedelta(minutes=55),
        "Mo": timedelta(minutes=55),
    }
    taken = {line.spent.name: line.spent for line in page.paint}
    assert taken["Epoxy primer 4:1"].used.ml == pytest.approx(500), "both lots are of this job"
    assert taken["Epoxy primer 4:1"].binned.ml == pytest.approx(40)
    texts = " | ".join(f"{each.step}, {each.kind}: {each.text}" for each in page.deviations)
    overridden = "Two-pack gloss 1, override: No window at this temperature: tested on the coupon"
    assert texts.count(overridden) == 1
    assert "Epoxy primer, rework: fish-eye" in texts
    assert ", skipped: already done: Degrease and rinse" in texts
    at_the_mix = [each for each in page.deviations if each.tag.startswith("pot ")]
    assert [(each.by, each.text) for each in at_the_mix] == [
        ("Mo", "No window at this temperature: the shop is being warmed")
    ]

    for form, write in JOB_FORMS.items():
        written = write(page, Paper())
        assert mark_of(written[:4096]), form
        assert "1b" in written
        assert "LATE by" in written or json.loads(written)["job"]["late"], form
    assert max(map(len, JOB_FORMS["text"](page, Paper()).splitlines())) <= 79

    hidden = job_page(shop_after, "trolley 7", without_names=True)
    assert isinstance(hidden, JobPage)
    for form, write in JOB_FORMS.items():
        written = write(hidden, Paper())
        assert "painter 1" in written, form
        assert "Kit" not in written, form
    assert str(job_page(shop_after, "Boat")) == "no job 'Boat': one of TROLLEY 7"


def test_of_a_name_that_begins_with_another_nothing_stays(shop: Shop, clock: ManualClock) -> None:
    done(add_painter(shop, "Kit", "Kit Marlow"))
    eventful(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Kit Marlow", "run, seen by Kit Marlow"))
    hidden = job_page(shop, "trolley 7", without_names=True)
    assert isinstance(hidden, JobPage)
    for form, write in JOB_FORMS.items():
        assert "Marlow" not in write(hidden, Paper()), form

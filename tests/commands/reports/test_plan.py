"""`paintbench plan`: made, agreed, written out, asked, dropped; what is promised is held to it.

The planner answers in this process: that it has one of its own is tested beside it.
"""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path

import icalendar
import pytest
from jsonschema import Draft202012Validator

from bench.commands.reports.schemas import schema_of
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.shop.parts.jobs import promise_job
from bench.shop.plan import asking, planning
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.living import done_once
from tests.same_process import SameProcess
from tests.shop.doing import done

from ..running import Paintbench

pytestmark = pytest.mark.sqlite

FIRST_PLAN = ("plan", "agree", "--rounds", "2", "--by", "Kit")


@pytest.fixture(autouse=True)
def in_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (asking, planning):
        monkeypatch.setattr(module, "PlannerProcess", SameProcess)


@done_once
def placed(shop: Shop) -> None:
    """Two lots of brackets of one job, which is promised for far ahead."""
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket", job="Gate"))
    done(promise_job(shop, "Kit", job="gate", day=MONDAY.date().replace(day=30)))


@pytest.fixture
def gate(shop: Shop, paintbench: Paintbench) -> Paintbench:
    placed(shop)
    return paintbench


def fits(document: object) -> None:
    found = Draft202012Validator(schema_of("plan")).iter_errors(document)
    assert [fault.message for fault in found] == []


def test_without_parts_or_a_plan_it_says_what_is_missing(paintbench: Paintbench) -> None:
    assert "nothing to plan: place a part that has a step to do" in paintbench("plan", "make").err
    for words in (("show",), ("risk",), ("drop", "--by", "Kit")):
        ran = paintbench("plan", *words)
        assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1), ran
        assert "no plan is agreed" in ran.err
    for words, said in (
        (("why", "9", "--by", "2025-06-20"), "no tag 9 on the bench"),
        (("when", "--route", "gold", "--shape", "frame"), "no route 'gold'"),
        (("when", "--route", "zinc-new", "--shape", "moon"), "no shape 'moon'"),
        (("when", "--route", "zinc-new", "--shape", "frame", "--count", "0"), "0"),
    ):
        ran = paintbench("plan", *words)
        assert (ran.out, ran.code) == ("", 1), ran
        assert said in ran.err, ran.err


def test_a_part_that_cannot_be_planned_is_named_with_the_reason(
    shop: Shop, paintbench: Paintbench
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    refused = paintbench("plan", "make").err
    assert "tag 1: Two-pack gloss 1: nobody is recorded as trained for isocyanate" in refused
    assert refused.endswith("change that, then plan again\n")


def test_a_plan_is_made_and_nothing_is_agreed_until_it_is(gate: Paintbench, tmp_path: Path) -> None:
    made = gate("plan", "make", "--rounds", "2", "--json").json()
    fits({"form": "paintbench plan", "version": 1, "plan": made})
    assert (made["agreed"], made["moved"], made["coats_abraded_for"]) == (False, [], 0)
    assert {step["tag"] for step in made["steps"]} == {"1", "2"}
    assert [each["shop_days_to_spare"] >= 0 for each in made["promised"]] == [True, True]
    assert gate("plan", "show").code == 1
    out = str(tmp_path / "draft.html")
    assert gate("plan", "make", "--rounds", "2", "--form", "html", "-o", out).code == 0
    assert "<h1>PLAN NOT AGREED YET</h1>" in Path(out).read_text()
    ran = gate(*FIRST_PLAN)
    assert ran.out.startswith("plan agreed: "), ran
    shown = gate("plan", "show").out
    assert "PLAN   " in shown
    assert "tag 1 (Gate): ready " in shown
    assert "= work, m mixing, / abrading, x masks on" in shown


def test_the_agreed_plan_is_written_in_every_form(gate: Paintbench, tmp_path: Path) -> None:
    assert gate(*FIRST_PLAN).code == 0
    file = tmp_path / "plan.json"
    for _ in range(2):  # a later one goes over it
        assert gate("plan", "show", "--form", "json", "-o", str(file)).code == 0
    document = json.loads(file.read_text())
    fits(document)
    assert document["plan"]["agreed"] is True
    assert document["plan"] == {**gate("plan", "show", "--json").json()}
    page = tmp_path / "plan.html"
    assert gate("plan", "show", "--form", "html", "--paper", "letter", "-o", str(page)).code == 0
    html = page.read_text()
    assert html.isascii()
    assert "size: letter" in html
    assert html.count("<svg ") == html.count("<h2>") >= 2
    for tag in ("1", "2"):
        assert f'text-anchor="middle">{tag}</text>' in html
    for words, form in (
        (("-o", str(tmp_path / "plan.txt")), "text"),
        ((), "text"),
        (("--json",), "json"),
    ):
        refused = gate("plan", "show", "--paper", "a4", *words)
        assert f"--paper does not go with the form {form}" in refused.err
        assert refused.out == ""


def test_asking_when_why_and_how_risky(gate: Paintbench) -> None:
    assert gate(*FIRST_PLAN).code == 0
    lot = ("--route", "zinc-new", "--shape", "bracket")
    when = gate("plan", "when", *lot, "--json").json()
    assert when["beside_the_plan"]["moved"] == 0
    quote = gate("quote", *lot, "--when").out
    ready = date.fromisoformat(when["beside_the_plan"]["ready"])
    assert "READY AT THE EARLIEST, ALL LOTS" in quote
    assert f"Ready {ready:%a %d %b}, last coat" in quote
    assert "READY AT" not in gate("quote", *lot).out
    why = gate("plan", "why", "1", "--by", "2025-06-09").out
    assert why.startswith("tag 1 by Mon 09 Jun is not possible"), why
    assert 0 <= gate("plan", "risk", "--json").json()["missed"] <= 1


def test_a_job_and_a_promise_are_held_to_the_plan(gate: Paintbench) -> None:
    assert "by the plan" not in gate("jobs").out
    assert gate(*FIRST_PLAN).code == 0
    (job,) = gate("jobs", "--json").json()["jobs"]
    ready, spare = job["ready_by_plan"], job["shop_days_to_spare"]
    assert spare >= 0
    assert f"shop day{'s' * (spare != 1)} to spare" in gate("jobs").out
    too_soon = gate("promise", "Gate", "2025-06-10", "--by", "Kit")
    assert "by the plan: ready" in too_soon.err + too_soon.out
    assert "LATE by" in too_soon.err + too_soon.out
    assert gate("jobs", "--json").json()["jobs"][0]["shop_days_to_spare"] < 0
    kept = gate("promise", "Gate", ready, "--by", "Kit")
    assert "0 shop days to spare" in kept.err + kept.out


def _revision(event: icalendar.Event) -> tuple[int, datetime]:
    """What tells the newer of two of one UID (RFC 5546, 2.1.5, from memory)."""
    return int(event["SEQUENCE"]), event.decoded("DTSTAMP")


def test_the_calendar_moves_a_begin_under_its_uid_and_cancels_what_is_dropped(
    gate: Paintbench, shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    # RFC 5545, 3.8.4.7 and 3.8.7.4 (from memory): one UID, a growing SEQUENCE; 3.8.1.11: CANCELLED.
    # Each file has another name: only the UID tells the phone which event is meant.
    files = (tmp_path / f"bench-{number}.ics" for number in range(9))
    phone: dict[str, icalendar.Event] = {}

    def events(file: Path) -> dict[str, icalendar.Event]:
        assert gate("calendar", "-o", str(file)).code == 0
        calendar = icalendar.Calendar.from_ical(file.read_text())
        assert calendar.errors == []
        found = [e for e in calendar.walk("VEVENT") if ": begin " in e["SUMMARY"]]
        assert [event.errors for event in found] == [[]] * len(found)
        for event in found:
            assert {"UID", "DTSTAMP", "DTSTART", "SEQUENCE", "SUMMARY"} <= event.keys()
            had = phone.get(str(event["UID"]))
            if had is None or _revision(event) > _revision(had):
                phone[str(event["UID"])] = event
        return {str(event["UID"]): event for event in found}

    def on_the_phone() -> list[tuple[str, datetime]]:
        return sorted((str(e["SUMMARY"]), e["DTSTART"].dt) for e in phone.values())

    def in_the_plan() -> list[tuple[str, datetime]]:
        steps = [s for s in gate("plan", "show", "--json").json()["steps"] if s["share"] == 1]
        keys = ("mixes_at", "abrading_from", "begins")
        hours = [min(s[key] for key in keys if s[key]) for s in steps]
        named = [f"tag {s['tag']}: begin {s['name']}" + " ?" * s["placeholder"] for s in steps]
        return sorted(zip(named, map(datetime.fromisoformat, hours), strict=True))

    assert gate(*FIRST_PLAN).code == 0
    first = events(next(files))
    assert len(first) > 4
    # Two begin this very minute: what is no more to come rings no more.
    to_come = [each for each in in_the_plan() if each[1] > clock.now()]
    assert on_the_phone() == to_come
    clock.advance(minutes=50)
    assert gate(*FIRST_PLAN).code == 0
    second = events(next(files))
    moved = [uid for uid in first if first[uid]["DTSTART"].dt != second[uid]["DTSTART"].dt]
    assert moved
    assert all(_revision(second[uid]) > _revision(first[uid]) for uid in moved)
    assert all(second[uid].decoded("DTSTAMP") > first[uid].decoded("DTSTAMP") for uid in moved)
    # A moved event, not two: each step once, at its new hour.
    assert on_the_phone() == [each for each in in_the_plan() if each[1] > clock.now()]
    file = tmp_path / "bench-1.ics"
    assert gate("plan", "drop", "--by", "Kit").code == 0
    third = events(file)
    assert set(third) == set(second)
    assert {str(event["STATUS"]) for event in third.values()} == {"CANCELLED"}
    assert gate("undo", "--by", "Kit").code == 0
    assert {event.get("STATUS") for event in events(file).values()} <= {None, "CONFIRMED"}
    assert gate("plan", "show").code == 0

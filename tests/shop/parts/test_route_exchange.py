"""Another route for a part: rows, clocks, log, records, undo."""

from __future__ import annotations

import pytest

from bench.process.clocks.stand_state import StandState
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.parts.route_exchange import change_route
from bench.shop.records.deviations import deviations
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_page import job_page
from bench.shop.records.job_record import Sheet
from bench.shop.stock import batch_tracing, tins
from bench.testing import ManualClock
from tests.shop.doing import done, part, read_20c, refused, stand, state, told

pytestmark = pytest.mark.sqlite


def etched(shop: Shop, clock: ManualClock) -> None:
    """Tag 1, of the mist and of all that comes before it skipped: the build is done, from a tin."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", job="Trolley"))
    while part(shop).current().step.name != "Aerosol top coat 1":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(tins.record_tin(shop, "enamel-aerosol", "Mo", size_ml=400, batch="CE-7"))
    read_20c(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))


def window(now: StandState) -> tuple[object, ...]:
    return now.word, now.opens, now.closes


def test_a_part_on_another_route_keeps_its_work_and_its_window_and_undo_puts_all_back(
    shop: Shop, clock: ManualClock
) -> None:
    etched(shop, clock)
    before, was, at = state(shop), part(shop), window(stand(shop))
    would = done(change_route(shop, 1, "Mo", route="zinc-bolts", dry_run=True))
    assert state(shop) == before, "asked only"
    answer = done(change_route(shop, 1, "Mo", route="zinc-bolts"))
    assert answer.notes == would.notes
    assert answer.text == ("tag 1 Bracket: route changed from New galvanised to Plated bolts by Mo")
    now = part(shop)
    assert now.steps[: len(was.steps) - 2] == was.steps[:-2]
    assert [(r.step.name, r.status) for r in now.steps[len(was.steps) - 2 :]] == [
        *((name, "skipped") for name in ("Degrease", "Rinse and dry", "Scuff the heads")),
        ("Etch primer", "skipped"),
        ("Cure", "todo"),
    ]
    assert [record.number for record in now.steps] == list(range(1, len(now.steps) + 1))
    assert state(shop) == told(shop)
    done(undo.undo(shop, "Mo"))
    assert (state(shop), window(stand(shop))) == (before, at)


def test_more_steps_than_before_have_rows_and_faces_of_their_own_and_the_window_goes_on(
    shop: Shop, clock: ManualClock
) -> None:
    etched(shop, clock)
    was, at = part(shop), window(stand(shop))
    answer = done(change_route(shop, 1, "Mo", route="zinc-cavities"))
    assert "to do: Wash the inside; Rinse and dry; Cavity wax; Cure" in answer.notes
    now = part(shop)
    assert now.clock_step() is not None
    assert now.clock_step().flags == ("extra work: no step of Zinc cavities, wax",)  # type: ignore[union-attr]
    assert window(stand(shop))[1:] == at[1:]
    wash = next(r for r in now.steps if r.status == "todo")
    assert wash.number == len(was.steps) - 1
    assert refused(change_route(shop, 1, "Mo", route="nothing")).rule == "no route 'nothing'"


def test_a_not_yet_of_the_cure_counts_on_and_a_step_in_hand_keeps_its_route(
    shop: Shop, clock: ManualClock
) -> None:
    etched(shop, clock)
    read_20c(shop)
    clock.advance(minutes=30)
    done(testing.pass_test(shop, 1, "Kit"))
    done(holds_and_rework.skip(shop, 1, "Kit", "one coat is enough"))
    clock.advance(days=40)
    done(testing.put_test_off(shop, 1, "Kit", minutes=60 * 24))
    waits = part(shop).current().not_before  # type: ignore[union-attr]
    assert waits is not None
    done(change_route(shop, 1, "Mo", route="zinc-cavities"))
    assert part(shop).steps[-1].not_before == waits
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))


@pytest.mark.sqlite(False)
def test_log_record_job_page_and_trace_say_that_the_route_was_changed(
    shop: Shop, clock: ManualClock
) -> None:
    etched(shop, clock)
    done(change_route(shop, 1, "Mo", route="zinc-bolts"))
    done(undo.undo(shop, "Mo"))
    done(change_route(shop, 1, "Mo", route="zinc-cavities"))
    words = "route changed from New galvanised to Zinc cavities, wax by Mo"
    sheet = sheet_of(shop, "1")
    assert isinstance(sheet, Sheet)
    (changed,) = [each for each in deviations(sheet) if each.kind == "route"]
    assert (changed.text, changed.at) == (words, clock.now())
    trace = batch_tracing.trace_batch(shop, "CE-7")
    (coat,) = trace.coats  # type: ignore[union-attr]
    assert coat.route_changed.startswith(f"{words}, {clock.now():%Y-%m-%d}")
    page = job_page(shop, "Trolley")
    assert [d.text for d in page.deviations if "route" in d.text] == [words]  # type: ignore[union-attr]

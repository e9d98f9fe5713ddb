"""Overriding: every rule has its own answer, in the log and the record; some have none."""

from __future__ import annotations

import pytest

from bench.process.parts.part import StepRecord
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import equipment, holds_and_rework, placement, steps, testing
from bench.shop.people.painters import set_pin
from bench.shop.queries import log
from bench.shop.stock import pots
from bench.store.schema.tables import PartRow
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, done, part, refused, state

pytestmark = pytest.mark.sqlite

REASON = "the data sheet allows it"


def current(shop: Shop) -> StepRecord:
    record = part(shop).current()
    assert record is not None
    return record


@done_once
def to_coat(shop: Shop, name: str, route: str = "steel-blasted", why: str = "already done") -> None:
    """A bracket whose next step is a coat, everything before it left out."""
    done(placement.place(shop, 1, "Kit", route=route, shape="bracket"))
    while current(shop).step.name != name:
        done(holds_and_rework.skip(shop, 1, "Kit", why))


def test_one_reason_does_not_answer_the_other_rules(shop: Shop) -> None:
    to_coat(shop, "Epoxy primer")
    before = state(shop)
    one = Override({"no-reading": "measured at the part"})
    answer = refused(steps.begin(shop, 1, "Kit", override=one))
    assert [rule.name for rule in (answer, *answer.also)] == ["no-pot"]
    assert state(shop) == before


def test_each_rule_is_kept_with_its_own_reason_in_the_record_and_the_log(shop: Shop) -> None:
    to_coat(shop, "Epoxy primer")
    each = Override({"no-reading": "measured at the part", "no-pot": "mixed, not recorded"})
    answer = done(steps.begin(shop, 1, "Kit", override=each))
    flags = (
        "override: no reading of the air (none yet): measured at the part",
        "override: no pot of Epoxy primer 4:1 (none open): mixed, not recorded",
    )
    assert current(shop).flags == flags
    begun = "tag 1 Bracket: Epoxy primer begun 07:30"
    assert answer.text == f"{begun}; {'; '.join(flags)}"
    assert log.log_page(shop, 1)[0].text == answer.text


def test_asked_with_no_answer_nothing_is_begun_and_every_rule_is_listed(shop: Shop) -> None:
    to_coat(shop, "Epoxy primer")
    listed = refused(steps.begin(shop, 1, "Kit", override=Override()))
    assert [rule.name for rule in (listed, *listed.also)] == ["no-reading", "no-pot"]
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    none = refused(steps.begin(shop, 1, "Kit", override=Override()))
    assert str(none) == "no rule is in the way: start it without an override"
    assert current(shop).status == "todo"


def test_a_rule_that_came_while_the_others_were_answered_begins_nothing(
    shop: Shop, clock: ManualClock
) -> None:
    to_coat(shop, "Epoxy primer")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    listed = refused(steps.begin(shop, 1, "Kit", override=Override()))
    assert [rule.name for rule in (listed, *listed.also)] == ["no-pot"]
    clock.advance(hours=5)
    before = state(shop)
    answered = Override({"no-pot": "mixed, not recorded"})
    assert refused(steps.begin(shop, 1, "Kit", override=answered)).name == "reading-old"
    assert state(shop) == before


def test_a_reason_for_one_rule_never_carries_what_nobody_may_override(shop: Shop) -> None:
    to_coat(shop, "Epoxy primer")
    with shop.store.writing() as session:
        session.get_one(PartRow, 1).substrate = ""
        session.commit()
    no = begin_over(shop, 1, "Kit", REASON)
    assert str(no) == ("its substrate is not named (tag 1): name it before the first coat")


def test_an_empty_reason_is_none(shop: Shop) -> None:
    to_coat(shop, "Epoxy primer")
    assert isinstance(begin_over(shop, 1, "Kit", "   "), Refusal)
    assert current(shop).status == "todo"


def test_a_coat_over_a_missed_window_without_keying_is_flagged(
    shop: Shop, clock: ManualClock
) -> None:
    to_coat(shop, "Epoxy primer")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(days=1)
    done(testing.pass_test(shop, 1, "Kit"))
    clock.advance(days=7)
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    done(begin_over(shop, 1, "Kit", REASON))
    assert current(shop).step.name == "Two-pack gloss 1"
    (flag,) = current(shop).flags
    assert flag == f"override: the window was missed (closed ~Mon 07:30?): {REASON}"


# --- breathing -----------------------------------------------------------------------------------

CYLINDERS = "cylinder set 2"


def to_gloss(shop: Shop, *, starving: bool = False) -> None:
    """A bracket whose next step is isocyanate, with its pot and its air; Mo has the mask."""
    to_coat(shop, "Two-pack gloss 1")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    if starving:
        done(equipment.set_air(shop, "compressor", "Kit", gives_l_min=200))
    else:
        done(equipment.take(shop, "air-fed-set", "Mo"))


@pytest.mark.parametrize(("starving", "name"), [(True, "air-short"), (False, "air-taken")])
def test_no_reason_waves_a_mask_through_that_starves_or_is_in_other_hands(
    shop: Shop, starving: bool, name: str
) -> None:
    to_gloss(shop, starving=starving)
    before = state(shop)
    for override in (
        None,
        Override({name: "the foreman says so"}),
        Override(air_supply=CYLINDERS),
        Override({name: "x"}, CYLINDERS, "Mo"),
    ):
        no = refused(steps.begin(shop, 1, "Kit", override=override))
        assert (no.name, no.override) == (name, "air supply")
    assert state(shop) == before
    done(steps.begin(shop, 1, "Kit", override=Override({}, CYLINDERS, "Mo")))
    (flag,) = current(shop).flags
    assert flag.endswith(f"): air supply {CYLINDERS}, second person Mo")


def test_the_second_person_is_another_painter_of_the_shop(shop: Shop) -> None:
    to_gloss(shop)
    before = state(shop)

    def told(second: str, helper: str = "") -> str:
        override = Override({}, CYLINDERS, second)
        return str(refused(steps.begin(shop, 1, "Kit", helper=helper, override=override)))

    assert told(" kit ") == (
        "Kit cannot be the second person (Kit does the work): "
        "name another painter, who stays with the air supply"
    )
    assert told("Nobody").startswith("no painter 'Nobody'")
    done(equipment.give_back(shop, "air-fed-set", "Mo"))
    done(equipment.set_air(shop, "compressor", "Kit", gives_l_min=200))
    assert told("Mo", helper="Mo").startswith("Mo cannot be the second person")
    assert current(shop).status == "todo"
    assert state(shop) != before, "only the mask and the compressor changed"


def test_another_air_supply_has_a_name(shop: Shop) -> None:
    to_gloss(shop)
    no = refused(steps.begin(shop, 1, "Kit", override=Override({}, "  ", "Mo")))
    assert no.rule == "the other air supply is empty"


def test_with_a_pin_another_air_supply_is_signed(shop: Shop) -> None:
    to_gloss(shop)
    done(set_pin(shop, "Kit", "4711", salt=b"always the same."))
    override = Override({}, CYLINDERS, "Mo")
    no = refused(steps.begin(shop, 1, "Kit", override=override))
    assert str(no) == "Kit has a PIN: sign with it"
    done(steps.begin(shop.with_pin("4711"), 1, "Kit", override=override))


def test_a_coat_that_has_not_flashed_off_is_left_alone(shop: Shop, clock: ManualClock) -> None:
    to_coat(shop, "Etch primer, mist", "zinc-new")
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=20)
    done(begin_over(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    no = refused(steps.begin(shop, 1, "Kit", override=Override({"not-flashed": "other"})))
    assert (
        str(no)
        == "the coat below has not flashed off (opens ~08:00, in 10 min): wait, then test it"
    )
    clock.advance(minutes=11)
    done(testing.pass_test(shop, 1, "Kit"))
    done(steps.begin(shop, 1, "Kit"))


# --- what was skipped ----------------------------------------------------------------------------


def test_zinc_that_nobody_prepared_is_not_primed_unless_a_painter_signs_for_it(shop: Shop) -> None:
    """On new zinc without degreasing and mordant the etch peels: common practice, no source."""
    to_coat(shop, "Etch primer, mist", "zinc-new", why="no material")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)))
    no = refused(steps.begin(shop, 1, "Kit"))
    assert (no.name, no.rule, no.also) == ("not-prepared", "its surface was not prepared", ())
    assert "Mordant wash skipped: no material" in no.read
    prepared = Override({"not-prepared": "prepared, not recorded"})
    answer = done(steps.begin(shop, 1, "Kit", override=prepared))
    assert "prepared, not recorded" in answer.text
    assert "Mordant wash was skipped: no material" in answer.notes


def test_enamel_on_zinc_is_stopped_where_the_etch_was_left_out_for_want_of_it(shop: Shop) -> None:
    to_coat(shop, "Aerosol top coat 1", "zinc-new", why="no material")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    no = refused(steps.begin(shop, 1, "Kit"))
    assert [rule.name for rule in (no, *no.also)] == ["not-prepared", "not-over"]
    assert str(no.also[0]).startswith(
        "Chassis enamel, aerosol does not go over what is on it (zinc): it goes over Zinc etch"
    )

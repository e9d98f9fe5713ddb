"""Who is trained for isocyanate: typed no refuses, nobody typed it is a caution.

That only trained people spray isocyanate: from memory, EU regulation 2020/1149 (REACH entry 74); the
bench records it and does not judge the training.
"""

from __future__ import annotations

import pytest

from bench.process.refusals.overrides import Override
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import assignment, holds_and_rework, placement, steps
from bench.shop.people.painters import add_painter, names_of, painter_gone, set_pin, set_trained
from bench.shop.stock import pots
from tests.shop.doing import done, part, refused, state

pytestmark = pytest.mark.sqlite

UNKNOWN = "nobody recorded that Kit is trained for isocyanate"


@pytest.fixture
def gloss(shop: Shop) -> Shop:
    """A bracket whose next step is isocyanate, with its pot, its air and the mask."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(3):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    return shop


def test_where_nobody_typed_it_the_coat_begins_with_a_caution(gloss: Shop) -> None:
    assert UNKNOWN in done(steps.begin(gloss, 1, "Kit")).notes


def test_who_is_trained_hears_nothing(gloss: Shop) -> None:
    done(set_trained(gloss, "Mo", "kit", True))
    assert bench_view.read_bench(gloss).trained == {"Kit": True, "Mo": None}
    assert not [note for note in done(steps.begin(gloss, 1, "Kit")).notes if "trained" in note]


def test_who_is_not_trained_sprays_only_with_another_air_supply_and_a_second_person(
    gloss: Shop,
) -> None:
    done(set_trained(gloss, "Mo", "Kit", False))
    no = refused(steps.begin(gloss, 1, "Kit", override=Override({"not-trained": "other"})))
    assert str(no) == (
        "Kit is not trained for isocyanate (Two-pack gloss 2:1): who is trained sprays it"
    )
    assert part(gloss).steps[3].status == "todo"
    assert refused(steps.begin(gloss, 1, "Mo", helper="Kit")).name == "not-trained"
    done(steps.begin(gloss, 1, "Kit", override=Override({}, "cylinder set 2", "Mo")))


def test_who_is_not_trained_does_not_come_to_it_later(gloss: Shop) -> None:
    done(set_trained(gloss, "Mo", "Kit", False))
    done(steps.begin(gloss, 1, "Mo"))
    before = state(gloss)
    for no in (
        holds_and_rework.join_step(gloss, 1, "Kit"),
        assignment.hand_to(gloss, 1, "Mo", "Kit"),
        assignment.share_faces(gloss, 1, "Mo", {"Kit": ["EDGE"]}),
    ):
        answer = refused(no)
        assert (answer.name, answer.override) == ("not-trained", "never"), answer
    assert state(gloss) == before


def test_the_same_again_changes_nothing(shop: Shop) -> None:
    assert str(refused(set_trained(shop, "Mo", "Kit", None))) == (
        "nothing to change (nobody recorded whether Kit is trained for isocyanate)"
    )
    answer = done(set_trained(shop, "Mo", "Kit", False))
    assert answer.text == "recorded: Kit is not trained for isocyanate"
    assert refused(set_trained(shop, "Mo", "Una", True)).rule == "no painter 'Una'"
    assert check(shop).faults == ()


def test_it_is_signed_by_who_has_a_pin_and_nobody_undoes_it(shop: Shop) -> None:
    done(set_pin(shop, "Mo", "4711", salt=b"always the same."))
    assert str(refused(set_trained(shop, "Mo", "Kit", False))) == "Mo has a PIN: sign with it"
    done(set_trained(shop.with_pin("4711"), "Mo", "Kit", False))
    undo.undo(shop, "Kit")
    assert bench_view.read_bench(shop).trained["Kit"] is False


def test_painters_come_and_go_and_the_records_keep_their_names(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(steps.begin(shop, 1, "Mo"))
    assert done(add_painter(shop, "Kit", "Kim")).text == "Kim is a painter of this shop"
    assert "all different" in str(refused(add_painter(shop, "Kit", "mo")))
    assert "no letter in it" in str(refused(add_painter(shop, "Kit", "-.-")))
    assert names_of(["Anna-Lena", "Bo R."]) == ("Anna-Lena", "Bo R.")
    assert "Mo still has tag 1" in refused(painter_gone(shop, "Kit", "Mo")).rule
    done(steps.finish(shop, 1, "Mo"))
    done(painter_gone(shop, "Kit", "mo"))
    view = bench_view.read_bench(shop)
    assert (view.painters, sorted(view.trained)) == (("Kit", "Kim"), ["Kim", "Kit"])
    assert "Mo" in part(shop).steps[0].painters
    assert refused(steps.begin(shop, 1, "Mo")).remedy == "one of Kit, Kim"
    assert done(add_painter(shop, "Kit", "MO")).text == "Mo is a painter of this shop again"
    for name in ("Mo", "Kim"):
        done(painter_gone(shop, "Kit", name))
    assert refused(painter_gone(shop, "Kit", "Kit")).rule == "Kit is the only painter"
    for name in "abcde":
        done(add_painter(shop, "Kit", name))
    assert refused(add_painter(shop, "Kit", "f")).remedy == "up to 6"
    assert check(shop).faults == ()

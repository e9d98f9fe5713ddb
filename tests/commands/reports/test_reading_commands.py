"""What the command line tells: the bench as JSON and as plain text, the journal, the lists."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.clocks.reading_doubts import Doubt
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.store.schema.tables import PROBE, JournalRow, PartRow
from bench.testing import ManualClock
from tests.databases import POSTGRESQL

from ..running import Paintbench, over_all

STAND_KEYS = {
    *("stand", "tag", "part", "count", "step", "step_number", "steps", "state", "seconds_left"),
    *("opens_at", "closes_at", "painter"),
}


def ok(answer: object) -> Outcome:
    """The answer, which has to be that it was done."""
    assert isinstance(answer, Outcome), answer
    return answer


def primed(shop: Shop, clock: ManualClock, stand: int, count: int = 1) -> None:
    """A bracket, or a lot of them, with its epoxy primer on."""
    ok(placement.place(shop, stand, "Mo", route="steel-blasted", shape="bracket", count=count))
    ok(holds_and_rework.skip(shop, stand, "Mo", "already done"))
    ok(holds_and_rework.skip(shop, stand, "Mo", "already done"))
    ok(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    ok(steps.begin(shop, stand, "Mo"))
    clock.advance(minutes=20)
    ok(steps.finish(shop, stand, "Mo", all_faces=True))


def test_the_bench_as_json_has_these_keys_and_no_others_at_its_top(paintbench: Paintbench) -> None:
    bench = paintbench("status", "--json").json()
    assert bench.keys() == {
        *("now", "stands", "room", "pots", "conditions"),
        *("off_stand", "wants", "guns", "clock", "equipment", "air"),
        *("notes", "painters"),
    }
    assert bench["now"] == "2025-06-09T06:30:00+00:00"
    assert bench["conditions"] is None
    assert bench["pots"] == bench["off_stand"] == bench["wants"] == []
    assert [stand["stand"] for stand in bench["stands"]] == [1, 2, 3, 4, 5, 6]
    for stand in bench["stands"]:
        assert stand.keys() >= STAND_KEYS
        assert stand["state"] == "empty"
        assert {value for key, value in stand.items() if key not in ("stand", "state")} == {None}


def test_an_empty_stand_and_one_with_a_part_have_the_same_keys(
    shop: Shop, paintbench: Paintbench
) -> None:
    ok(placement.place(shop, 2, "Kit", route="zinc-new", shape="axle"))
    stands = paintbench("status", "--json").json()["stands"]
    assert stands[0].keys() == stands[1].keys()
    assert (stands[0]["tag"], stands[1]["tag"]) == (None, "1")


def test_a_step_in_hand_names_its_painters_and_counts_no_seconds(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(placement.place(shop, 2, "Kit", route="zinc-new", shape="axle", owner="Rowing club"))
    ok(steps.begin(shop, 2, "Kit", helper="Mo"))
    clock.advance(minutes=12)
    stand = paintbench("status", "--json").json()["stands"][1]
    assert (stand["state"], stand["seconds_left"]) == ("working", None)
    assert (stand["painter"], stand["owner"], stand["job"]) == ("Kit, Mo", "Rowing club", None)
    assert "+12 min" in paintbench("status").out, "the table shows how long it has been in hand"


def test_steps_struck_out_by_rework_are_not_counted(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    primed(shop, clock, 1)
    clock.advance(days=2)
    ok(testing.pass_test(shop, 1, "Mo"))
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    ok(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    ok(steps.begin(shop, 1, "Mo"))
    assert paintbench("rework", "1", "--defect", "run", "--by", "Mo").code == 0
    stand = paintbench("status", "--json").json()["stands"][0]
    assert (stand["step"], stand["step_number"], stand["steps"]) == ("repair", 4, 7)
    assert stand["rework"] == "run"
    # Step 4 as shown is "repair"; the struck gloss before it is not counted.
    ran = paintbench("rework", "1", "--defect", "run", "--back-to", "3", "--by", "Mo")
    assert ran.code == 0
    assert ran.out.rstrip().endswith("again from Epoxy primer")


def test_pieces_sent_to_rework_leave_the_lot_and_a_part_off_its_stand_is_still_listed(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    primed(shop, clock, 4, count=14)
    ran = paintbench("rework", "4", "--defect", "fish-eye", "--count", "2", "--by", "Kit")
    assert ran.code == 0
    bench = paintbench("status", "--json").json()
    assert bench["stands"][3]["count"] == 12
    (loose,) = bench["off_stand"]
    assert (loose["tag"], loose["count"], loose["stand"]) == ("1b", 2, None)
    assert (loose["last_stand"], loose["state"], loose["rework"]) == (4, "wait", "fish-eye")
    assert [want["tag"] for want in bench["wants"]] == ["1b"]
    assert "on no stand, last on 4" in paintbench("status").out


def test_pots_room_and_conditions_are_told_with_their_figures(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=20, rh_pct=65, metal_c=17))
    primed(shop, clock, 1)
    bench = paintbench("status", "--json").json()
    assert bench["pots"] == [
        {
            "pot": "A",
            "product": "epoxy-primer",
            "name": "Epoxy primer 4:1",
            "state": "use",
            "seconds_left": 4 * 3600 - 20 * 60,
            "total_ml": 300.0,
            "mixed_at": "2025-06-09T06:30:00+00:00",
            "use_from": "2025-06-09T06:30:00+00:00",
            "bin_by": "2025-06-09T10:30:00+00:00",
            "basis": "sheet",
            "against": [],
            "off_ratio": None,
        }
    ]
    assert bench["room"] == {
        "state": "masks on",
        "masks_on": True,
        "reason": "Epoxy primer 4:1 sprayed",
        "until": "2025-06-09T07:20:00+00:00",
        "words": "MASKS ON until 08:20?: Epoxy primer 4:1 sprayed (clearance time not measured)",
        "clearance_measured": False,
        "measured_on": None,
        "measured_by": None,
    }
    conditions = bench["conditions"]
    assert (conditions["air_c"], conditions["rh_pct"], conditions["metal_c"]) == (20, 65, 17)
    # 13.2 C at 20 C and 65 %: computed with psychrolib.
    assert (conditions["dew_point_c"], conditions["dew_margin_c"]) == (13.2, 3.8)
    assert (conditions["margin_from"], conditions["age_seconds"]) == ("metal", 1200)
    clock.advance(minutes=31)
    room = paintbench("status", "--json").json()["room"]
    assert (room["state"], room["masks_on"], room["until"]) == ("not known", None, None)
    assert room["words"] == "clearance time over at 08:20 (not measured)"


def test_the_plain_bench_is_ascii_of_79_columns_and_each_line_understood_alone(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=78, metal_c=18))
    ok(placement.place(shop, 2, "Kit", route="zinc-new", shape="frame", name="Rudder plate " * 4))
    primed(shop, clock, 1, count=14)
    clock.advance(hours=4)
    lines = paintbench("status").out.splitlines()
    assert all(line.isascii() and line.isprintable() and len(line) <= 79 for line in lines)
    assert lines[:2] == [
        "PAINT BENCH  Mon 09 Jun 2025 11:50",
        "room: clearance time over at 08:20 (not measured)",
    ]
    assert lines[3] == "STAND     STATE       CLOCK  TAG      PART                STEP"
    assert lines[4].startswith("    1 --- WAIT")
    assert lines[4].endswith("2        Bracket x14         4/6 Two-pack gloss 1")
    assert lines[5].strip().startswith("opens ~old Tue 03:40?; closes ~old Mon 16 Jun")
    assert any("POTS" in line for line in lines)
    assert "  BIN        pot A: Epoxy primer 4:1, 300 ml, bin by 11:30?" in lines
    assert "margin" in lines[-1] + lines[-2]


def test_the_hour_of_opening_is_shown_rounded_up_where_it_rests_on_temperatures(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    clock.advance(hours=2, minutes=35)
    primed(shop, clock, 1)
    # It is 07:05:59; the file has the hour that is shown.
    file = paintbench("status", "--json").json()["stands"][0]["opens_at"]
    assert file == "2025-06-10T06:10:00+00:00"
    assert "opens ~Tue 07:10?" in paintbench("status").out


def test_control_characters_that_reached_the_data_never_reach_the_terminal(
    shop: Shop, paintbench: Paintbench
) -> None:
    """They are refused on every way in; this is what a restored or edited file could bring."""
    ok(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    with shop.store.writing() as session:
        row = session.get_one(PartRow, 1)
        row.name = row.job = row.hold = "A\x1b[2J\x9b\x7f\u202e\nB"
        session.add(
            JournalRow(
                at=shop.clock.now(), action="x", painter="\x1b", terminal="\n", text="\x1b[2J"
            )
        )
        session.commit()
    for words in (("status",), ("status", "--json"), ("journal",), ("journal", "--json")):
        ran = paintbench(*words)
        assert (ran.code, ran.err) == (0, "")
        assert all(line.isprintable() for line in ran.out.splitlines()), words
    assert "A\\x1b[2J" in paintbench("status").out
    assert paintbench("status", "--json").json()["stands"][0]["job"] == "A\x1b[2J\x9b\x7f\u202e\nB"


def test_the_journal_is_newest_first_of_one_part_if_asked(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", tag="7"))
    clock.advance(minutes=5)
    ok(placement.place(shop, 2, "Mo", route="zinc-new", shape="axle", tag="8"))
    assert paintbench("undo", "--by", "Kit").code == 0
    lines = paintbench("journal", "--json").json()["journal"]
    assert [line["number"] for line in lines] == [4, 3, 2, 1]
    assert [line["undone"] for line in lines] == [False, True, False, False]
    assert lines[1]["at"] == "2025-06-09T06:35:00+00:00"
    assert (lines[1]["action"], lines[1]["painter"], lines[1]["tag"]) == ("place", "Mo", "8")
    told = paintbench("journal", "--last", "2").out.splitlines()
    assert len(told) == 2
    assert told[1].startswith("     3  07:35         Mo         tag 8 Axle placed on stand 2")
    assert told[1].endswith("(undone)")
    (only,) = paintbench("journal", "--tag", "7", "--json").json()["journal"]
    assert only["tag"] == "7"
    unknown = paintbench("journal", "--tag", "99")
    assert (unknown.code, unknown.out) == (1, "")
    assert unknown.err.startswith("nothing in the log about tag 99")
    assert paintbench("journal", "--last", "0").code == 1


def test_products_routes_and_shapes_are_listed_with_the_keys_to_type(
    paintbench: Paintbench,
) -> None:
    products = {p["key"]: p for p in paintbench("products", "--json").json()["products"]}
    assert products["etch-primer"]["ratio"] == {"base": 1, "activator": 1}
    assert products["etch-primer"]["source"] == "placeholder"
    assert "1 base : 1 activator" in paintbench("products").out
    routes = {r["key"]: r for r in paintbench("routes", "--json").json()["routes"]}
    assert routes["zinc-new"]["steps"][2] == "Mordant wash"
    shapes = {s["key"]: s for s in paintbench("shapes", "--json").json()["shapes"]}
    assert shapes["frame"]["zones"] == ["FRONT", "REAR"]
    for words, key in (("routes", "zinc-new"), ("shapes", "frame"), ("products", "gloss")):
        assert any(line.startswith(key) for line in paintbench(words).out.splitlines())


@pytest.mark.parametrize(
    ("known", "lines", "bin_by"),
    [
        (
            ("--need", "500ml"),
            ("base         400? ml  fill to 400? ml", "fill to 500? ml"),
            "11:30",
        ),
        (
            ("--need", "600ml"),
            ("base         480? ml  fill to 480? ml", "fill to 600? ml"),
            "10:42",
        ),
        (("--left", "base=340ml,hardener=70ml"), ("base         280? ml", "to 350? ml"), "11:30"),
        (("--poured", "base=0,42 l"), ("base          420 ml  is in", "fill to 525? ml"), "10:42"),
        (
            ("--poured", "hardener=125ml,base=460ml"),
            ("hardener      125 ml  is in", "base          460 ml  is in"),
            "10:42",
        ),
    ],
)
def test_a_mix_tells_each_part_and_the_line_to_fill_to_and_a_big_pot_lasts_a_fifth_less(
    paintbench: Paintbench, known: tuple[str, ...], lines: tuple[str, str], bin_by: str
) -> None:
    # 4 h, over 500 ml a fifth off: common practice, no source.
    ran = paintbench("mix", "epoxy-primer", *known, "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    told = ran.out.splitlines()
    assert told[0].startswith("pot A: ")
    assert told[0].endswith(f"bin by {bin_by}?")
    first = told.index("  ratio not from your tin: check it") + 1
    assert lines[0] in told[first]
    assert lines[1] in told[first + 1]


def test_a_mix_too_big_for_the_cup_is_said_with_what_to_do(paintbench: Paintbench) -> None:
    """At 4:1 500 of hardener takes 2000 of base: 2500 in a cup of 1000. Arithmetic."""
    ran = paintbench("mix", "epoxy-primer", "--poured", "hardener=500ml", "--by", "Mo")
    told = " ".join(ran.out.split())
    assert "warning: 1500? ml more than the 1000 ml cup: empty it into a bigger cup first" in told


def test_a_mix_too_small_for_the_cup_is_shown_in_tenths_and_warned_of(
    paintbench: Paintbench,
) -> None:
    """5:1 with a tenth of thinner: 7.58, 1.52 and 0.91 ml; whole ones would be 4:1. Arithmetic."""
    ran = paintbench("mix", "high-build", "--need", "10ml", "--by", "Mo")
    assert ran.code == 0
    told = " ".join(ran.out.split())
    assert "base 7.6? ml fill to 7.6? ml" in told
    assert "hardener 1.5? ml fill to 9.1? ml" in told
    assert "warning: too little for a cup marked every 10 ml" in told
    big = paintbench("mix", "high-build", "--need", "900ml", "--by", "Mo")
    assert "warning: too little" not in big.out


def test_a_mix_takes_thinner_within_its_sheet_and_may_have_been_made_earlier(
    paintbench: Paintbench,
) -> None:
    ran = paintbench(
        "mix", "gloss", "--need", "330ml", "--thinner", "10%", "--ago", "20 min", "--by", "Mo"
    )
    assert ran.code == 0
    assert "thinner       30? ml  fill to 330? ml" in ran.out
    pot = paintbench("status", "--json").json()["pots"][0]
    assert pot["mixed_at"] == "2025-06-09T06:10:00+00:00"
    assert paintbench("bin", "a", "--by", "Mo").code == 0
    assert paintbench("status", "--json").json()["pots"] == []


def test_moving_swapping_holding_and_releasing(paintbench: Paintbench, clock: ManualClock) -> None:
    for stand, shape in (("1", "frame"), ("2", "axle")):
        words = ("--route", "zinc-new", "--shape", shape, "--by", "Kit")
        assert paintbench("place", stand, *words).code == 0
    assert paintbench("move", "1", "--to", "2", "--by", "Kit").code == 1
    assert paintbench("move", "1", "--to", "2", "--swap", "--by", "Kit").code == 0
    assert paintbench("move", "--tag", "1", "--to", "6", "--by", "Kit").code == 0
    assert paintbench("hold", "6", "--reason", "waiting for bolts", "--by", "Kit").code == 0
    stands = paintbench("status", "--json").json()["stands"]
    assert [stand["tag"] for stand in stands] == ["2", None, None, None, None, "1"]
    assert (stands[5]["state"], stands[5]["hold"]) == ("hold", "waiting for bolts")
    assert paintbench("release", "6", "--by", "Mo").code == 0
    assert paintbench("skip", "6", "--reason", "already done", "--by", "Mo").code == 0
    assert paintbench("status", "--json").json()["stands"][5]["step_number"] == 2


def test_earlier_moves_the_last_event_back_in_steps_of_five_minutes(
    paintbench: Paintbench, clock: ManualClock
) -> None:
    words = ("--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert paintbench("place", "1", *words).code == 0
    clock.advance(minutes=30)
    assert paintbench("begin", "1", "--by", "Kit").code == 0
    ran = paintbench("earlier", "1", "--minutes", "15min", "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")
    assert "07:45, not 08:00" in ran.out
    assert paintbench("earlier", "1", "--minutes", "7", "--by", "Kit").code == 1


def test_going_on_against_a_rule_takes_a_reason_that_stays(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    primed(shop, clock, 1)
    ok(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    refused = paintbench("begin", "1", "--by", "Mo")
    assert (refused.code, refused.out) == (1, "")
    assert refused.err.startswith("too soon (opens ~Tue")
    assert over_all(paintbench, "begin", "1", "--by", "Mo").code == 0


def test_one_more_coat_is_put_before_the_cure(paintbench: Paintbench, shop: Shop) -> None:
    ok(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="plate"))
    for _ in range(5):
        ok(holds_and_rework.skip(shop, 1, "Kit", "other"))
    ran = paintbench("another-coat", "1", "--by", "Kit")
    assert (ran.code, ran.err) == (1, "tag 1 Plate is not curing (Cure): go on with its route\n")


def test_time_and_length_are_read_with_the_unit_they_are_typed_in(
    paintbench: Paintbench, clock: ManualClock
) -> None:
    assert paintbench("reading", "--air", "68 F", "--metal", "-2,5C", "--by", "Kit").code == 0
    conditions = paintbench("status", "--json").json()["conditions"]
    assert (conditions["air_c"], conditions["metal_c"]) == (20.0, -2.5)
    assert (conditions["rh_pct"], conditions["dew_margin_c"]) == (None, None)
    ago = paintbench("reading", "--air", "18C", "--ago", "0.5 h", "--by", "Kit")
    assert ago.out == "reading 07:00: air 18 C\n"
    assert clock.now() - timedelta(minutes=30) < clock.now()


@pytest.mark.parametrize("data", ["sqlite", POSTGRESQL], indirect=True)
@pytest.mark.parametrize(("answer", "air_c"), [("right", 30.0), ("wrong", 18.0)])
def test_a_probes_jump_is_shown_and_answered_by_command(
    shop: Shop, clock: ManualClock, paintbench: Paintbench, answer: str, air_c: float
) -> None:
    ok(readings.take_reading(shop, PROBE, air_c=18))
    clock.advance(minutes=10)
    jump = Doubt("air", 30, 18, clock.now())
    ok(readings.take_reading(shop, PROBE, air_c=30, jump=jump))
    asked = "air probe 30 C, it was 18 C: right? paintbench probe-jump right, or wrong"
    assert asked in paintbench("status").out
    assert paintbench("probe-jump", "maybe", "--by", "Kit").code == 2
    assert paintbench("probe-jump", answer, "--by", "Kit").code == 0
    assert "probe-jump" not in paintbench("status").out
    newest = bench_view.read_bench(shop).reading()
    assert newest is not None
    assert newest.air_c == air_c

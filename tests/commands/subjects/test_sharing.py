"""What painters share, on the command line."""

from __future__ import annotations

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.parts import holds_and_rework, placement, steps

from ..running import Paintbench, over_all


def ok(answer: object) -> None:
    """It was done."""
    assert isinstance(answer, Outcome), answer


def test_equipment_is_taken_asked_for_and_given_back(paintbench: Paintbench) -> None:
    assert paintbench("equipment", "take", "air-fed-set", "--by", "Kit").out == (
        "Kit has the air-fed set from 07:30\n"
    )
    refused = paintbench("equipment", "take", "air-fed-set", "--by", "Mo")
    assert (refused.code, refused.err) == (
        1,
        "the air-fed set is taken (Kit since 07:30): wait, or ask for it; "
        "left booked out: return it\n",
    )
    assert paintbench("equipment", "ask", "air-fed-set", "--by", "Mo").code == 0
    rows = paintbench("equipment").out.splitlines()
    assert rows[0] == "air-fed-set     Air-fed set        Kit since 07:30; Mo waits"
    assert rows[-1] == "air: air-fed set 170? of 600? l/min"
    shown = paintbench("status").out
    assert "EQUIPMENT\n  Air-fed set: Kit since 07:30; Mo waits\n" in shown
    given = paintbench("equipment", "give-back", "air-fed-set", "--by", "Mo")
    assert given.out == (
        "the air-fed set given back by Mo, for Kit 07:30\n  Air-fed set is free: Mo is next\n"
    )
    assert paintbench("equipment", "unask", "air-fed-set", "--by", "Mo").code == 0
    assert "EQUIPMENT" not in paintbench("status").out


def test_equipment_as_json(shop: Shop, paintbench: Paintbench) -> None:
    assert paintbench("equipment", "take", "gun-1", "--by", "Kit").code == 0
    found = paintbench("equipment", "--json").json()
    assert found.keys() == {"now", "equipment", "air"}
    assert found["equipment"][1] == {
        "equipment": "gun-1",
        "name": "Top coat gun",
        "kind": "gun",
        "holder": "Kit",
        "held_at": "2025-06-09T06:30:00+00:00",
        "held_for": None,
        "queue": [],
        "needs_l_min": 300.0,
        "gives_l_min": None,
        "placeholder": True,
        "until_about": None,
    }
    assert found["air"] == {
        "needs_l_min": 300.0,
        "gives_l_min": 600.0,
        "short": False,
        "mask_starves": False,
        "drawn_by": ["gun-1"],
        "gives_typed": False,
    }
    status = paintbench("status", "--json").json()
    bare = [{k: v for k, v in thing.items() if k != "until_about"} for thing in found["equipment"]]
    assert (status["equipment"], status["air"]) == (bare, found["air"])


def test_who_has_it_until_about_when(shop: Shop, paintbench: Paintbench) -> None:
    # 30 min where no coat on a part of that shape is known (house rule).
    ok(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    for _ in range(5):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    assert over_all(paintbench, "begin", "1", "--by", "Kit").code == 0
    rows = paintbench("equipment").out.splitlines()
    assert rows[2].endswith("Kit since 07:30 until ~08:02, for tag 1")
    gun = paintbench("equipment", "--json").json()["equipment"][2]
    assert gun["until_about"] == "2025-06-09T07:02:30+00:00"


def test_what_a_shop_has_is_written_down_with_its_units(paintbench: Paintbench) -> None:
    added = paintbench(
        *("equipment", "add", "Mini gun", "--kind", "gun", "--needs", "5 ft3/min", "--by", "Mo")
    )
    assert added.out == "the shop has a Mini gun (gun): needs 141.584 l/min\n"
    again = paintbench("equipment", "set", "mini-gun", "--needs", "120 l/min", "--by", "Mo")
    assert again.out == "Mini gun: needs 120 l/min\n"
    wrong = paintbench("equipment", "set", "mini-gun", "--needs", "120", "--by", "Mo")
    assert wrong.code == 2
    assert "'120' has no unit: type a flow of air, such as 250 l/min" in wrong.err
    usual = paintbench("equipment", "usual", "--by", "Mo")
    assert (usual.code, usual.err) == (1, "all of it is recorded already\n")


def test_the_command_line_and_the_hand_over_tell_air_as_the_shop_reads_it(
    paintbench: Paintbench,
) -> None:
    """NIST SP 811 B.8, from memory: 1 ft3/min is 28.3168 l/min, so 600 l/min is 21.2 cfm."""
    assert paintbench("shop", "--units", "cfm", "--by", "Mo").code == 0
    given = paintbench("equipment", "set", "compressor", "--gives", "600 l/min", "--by", "Mo")
    assert given.out == "Compressor: gives 21.2 cfm\n"
    needed = paintbench("equipment", "set", "gun-1", "--needs", "300 l/min", "--by", "Mo")
    assert needed.out == "Top coat gun: needs 10.6 cfm\n"
    odd = paintbench("equipment", "set", "gun-1", "--needs", "90 m3/min", "--by", "Mo")
    assert odd.code == 1
    assert "cfm of air" in odd.err
    assert "l/min" not in odd.err
    for each in ("compressor", "gun-1"):
        assert paintbench("equipment", "take", each, "--by", "Mo").code == 0
    for command in ("status", "equipment", "handover"):
        told = paintbench(command).out
        assert "gives 21.2 cfm" in told, command
        assert "l/min" not in told, command
    assert "gun 10.6 of 21.2 cfm" in paintbench("status").out
    assert "gun 10.6 of 21.2 cfm" in paintbench("equipment").out
    masked = paintbench("equipment", "set", "air-fed-set", "--needs", "500 l/min", "--by", "Mo")
    assert masked.out == "Air-fed set: needs 17.7 cfm\n"
    starved = paintbench("equipment", "take", "air-fed-set", "--by", "Mo")
    assert "air-fed set 17.7 + top coat gun 10.6 = 28.3 of 21.2 cfm" in starved.err


def test_a_thing_that_is_not_there_is_answered_with_those_that_are(paintbench: Paintbench) -> None:
    assert paintbench("equipment", "take", "ladder", "--by", "Kit").err == (
        "no equipment 'ladder': one of air-fed-set, gun-1, gun-2, blast-cabinet, compressor\n"
    )


def test_the_look_ahead_tells_what_is_in_other_hands(shop: Shop, paintbench: Paintbench) -> None:
    assert (
        paintbench(
            *("place", "1", "--route", "steel-blasted", "--shape", "bracket", "--by", "Kit")
        ).code
        == 0
    )
    for _ in range(3):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    assert paintbench("equipment", "take", "air-fed-set", "--by", "Mo").code == 0
    told = " ".join(paintbench("ahead", "1").out.split())
    assert "NO: the air-fed set is taken (Mo since 07:30)" in told
    instead = ("--air-supply", "cylinder set 2", "--second", "Mo")
    assert over_all(paintbench, "begin", "1", "--by", "Kit", *instead).code == 0
    assert isinstance(steps.finish(shop, 1, "Kit", all_faces=True), Outcome)


def test_a_part_is_taken_handed_over_and_given_back(paintbench: Paintbench) -> None:
    placed = ("place", "1", "--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert paintbench(*placed).code == 0
    assert paintbench("take", "1", "--by", "Kit").code == 0
    assert paintbench("begin", "1", "--by", "Mo").err == (
        "Kit has taken it: help, or Kit hands it over\n"
        '  to override it: --override part-taken="the reason"\n'
    )
    assert "on it: Kit" in paintbench("status").out
    assert paintbench("hand-to", "1", "--to", "Mo", "--by", "Kit").out == (
        "tag 1 Frame: Kit hands it to Mo, File the zinc spikes\n"
    )
    assert paintbench("status", "--json").json()["stands"][0]["on_it"] == ["Mo"]
    assert paintbench("give-back", "--tag", "1", "--by", "Mo").code == 0
    assert paintbench("status", "--json").json()["stands"][0]["on_it"] == []


def test_faces_are_shared_by_name(shop: Shop, paintbench: Paintbench) -> None:
    placed = ("place", "1", "--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert paintbench(*placed).code == 0
    for _ in range(5):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    shared = paintbench(
        *("faces", "1", "--who", "Kit=L-in, XMEM", "--who", "Mo=R-in", "--by", "Kit")
    )
    assert shared.out == "tag 1 Frame: Etch primer, build: Kit L-in XMEM, Mo R-in\n"
    faces = paintbench("status", "--json").json()["stands"][0]["faces"]
    assert [face["by"] for face in faces[:4]] == ["Kit", "Mo", "Kit", None]
    wrong = paintbench("faces", "1", "--who", "Kit", "--by", "Kit")
    assert wrong.code == 2
    assert "wanted a painter and faces, such as Ada=L-in,XMEM" in wrong.err


def test_notes_are_written_shown_and_struck(paintbench: Paintbench) -> None:
    placed = ("place", "2", "--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert paintbench(*placed).code == 0
    assert paintbench("notes").out == "no notes\n"
    assert paintbench("note", "receiver is not drained", "--by", "Mo").code == 0
    assert paintbench("note", "threads to be cleared", "--stand", "2", "--by", "Kit").code == 0
    assert paintbench("notes").out.splitlines() == [
        "    1  bench        receiver is not drained (Mo 07:30)",
        "    2  tag 1        threads to be cleared (Kit 07:30)",
    ]
    shown = paintbench("status").out
    assert "note: threads to be cleared (Kit 07:30)" in shown
    assert "NOTES\n  receiver is not drained (Mo 07:30)\n" in shown
    status = paintbench("status", "--json").json()
    assert status["notes"] == [
        {
            "number": 1,
            "tag": None,
            "painter": "Mo",
            "at": "2025-06-09T06:30:00+00:00",
            "text": "receiver is not drained",
        }
    ]
    assert status["stands"][1]["notes"] == paintbench("notes", "--json").json()["notes"][1:]
    assert paintbench("strike", "1", "--by", "Kit").code == 0
    assert paintbench("strike", "1", "--by", "Kit").err == "no note 1: there are: 2\n"


def test_the_hand_over_is_printed_in_79_columns_and_as_json(
    shop: Shop, paintbench: Paintbench
) -> None:
    empty = paintbench("handover").out
    assert empty.startswith("HAND-OVER  Mon 09 Jun 2025 07:30, until Tue 07:30\n")
    assert "Kit and Mo are in; room: no spraying recorded since 07:30\n" in empty
    assert empty.count(": nothing\n") == 3
    placed = ("place", "1", "--route", "zinc-new", "--shape", "frame", "--by", "Kit")
    assert paintbench(*placed).code == 0
    for _ in range(5):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    assert over_all(paintbench, "begin", "1", "--by", "Kit").code == 0
    rows = paintbench("handover").out.splitlines()
    assert all(len(row) <= 79 and row.isascii() for row in rows)
    assert rows[3] == "TUE 10 JUN FROM 07:30, IN THIS ORDER: nothing"
    assert rows[5] == "DO NOT MISS BEFORE Tue 07:30"
    data = paintbench("handover", "--json").json()
    assert data.keys() == {"now", "until", "painters", "room", "sections"}
    keys = [section["section"] for section in data["sections"]]
    assert keys == ["next day", "do not miss", "alarms", "equipment", "done today"]
    to_miss = data["sections"][1]
    assert to_miss["title"] == "DO NOT MISS BEFORE Tue 07:30"
    assert to_miss["lines"][-1].endswith("Etch primer, build, 8 faces left (Kit)")


def test_who_left_is_told_what_was_done_since(shop: Shop, paintbench: Paintbench) -> None:
    assert paintbench("since", "--by", "Kit").err == (
        "Kit never handed over: hand over when you leave\n"
    )
    assert paintbench("leave", "--by", "Kit").out == "Kit hands over and leaves\n"
    assert paintbench("since", "--by", "Kit").out == (
        "since Kit handed over at 07:30:\n  others did nothing\n"
    )
    assert paintbench("note", "thinner runs short", "--by", "Mo").code == 0
    assert paintbench("since", "--by", "Kit").out.splitlines()[1:] == [
        "  07:30 Mo: note on the bench by Mo: thinner runs short"
    ]
    (line,) = paintbench("since", "--by", "Kit", "--json").json()["journal"]
    assert (line["painter"], line["action"], line["undone"]) == ("Mo", "note", False)
    painters = paintbench("status", "--json").json()["painters"]
    assert painters == [
        {"name": "Kit", "left_at": "2025-06-09T06:30:00+00:00"},
        {"name": "Mo", "left_at": None},
    ]
    assert paintbench("come-in", "--by", "Kit").out == "Kit is in\n"

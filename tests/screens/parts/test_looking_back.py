"""Sheet, journal, finding a part, undoing a chosen line, putting right: all by keypad."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.widgets import Input

from bench.process.stock.mixing import MixStart
from bench.records.forms import FORMS
from bench.screens.menus.menu_list import CALENDAR
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.people.painters import set_pin
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import begin_over, done, part, state, told

from ..driving import Gone, Hands, Said, at_the_bench
from ..test_golden import at, demo  # noqa: F401 - a fixture

BACK = ("find a part, the log",)
"""Where in the list of what concerns no single stand."""


@pytest.fixture
def worked(shop: Shop, clock: ManualClock) -> Shop:
    """A frame on stand 1 whose first step was begun 07:30 and ended 07:50; a lot on stand 2."""
    called = {"job": "TROLLEY 7", "owner": "Rowing club"}
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", **called))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=16))
    done(placement.place(shop, 2, "Mo", route="steel-blasted", shape="bracket", count=14))
    return shop


QUOTE = "a quote: paint, tins and hours before the work"
JOBS = "jobs: how far, promised, hours and cost"


async def test_a_job_is_promised_and_its_files_written_by_keypad(
    worked: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(worked, clock) as hands:
        await hands.pick("find a part, the log", JOBS)
        await hands.play(
            ("1", "Job TROLLEY 7", "Promised    nothing", "0 h 20 min"),
            ("1 2 3 1 enter 6 enter enter", "no day 2025-6-31"),
            ("2 0 enter 6 enter enter", "Fri 2025-06-20, cured", "11 days left"),
            ("2 enter", "4 files job-TROLLEY_207.txt"),
            ("4", "Job TROLLEY 7"),  # it has no photo to take out
            ("3", "its new name"),
        )
        hands.app.screen.query_one(Input).value = "Trolley 8"
        await hands.play(("enter", "Job Trolley 8", "Fri 2025-06-20, cured"))
    assert (data.parent / "sheets" / "job-TROLLEY_207.json").exists()


async def test_a_quote_is_asked_lot_by_lot_by_keypad(worked: Shop, clock: ManualClock) -> None:
    """Two lots, then what both take; nobody blasted here before."""
    async with at_the_bench(worked, clock) as hands:
        routes, shapes = list(hands.app.view.routes), list(hands.app.view.shapes)
        zinc, steel = routes.index("zinc-new") + 1, routes.index("steel-blasted") + 1
        frame, bracket = shapes.index("frame") + 1, shapes.index("bracket") + 1
        await hands.pick("find a part, the log", QUOTE)
        await hands.play(
            (f"{zinc} {frame} enter 7 . 5 enter 2", "lot 2"),
            (f"{steel} {bracket} 4 0 enter . 0 3 enter 1", "1   Frame                1      7.5"),
            ("", "2   Bracket              40     0.03", "PAINT, AS IF NO TIN WERE THERE"),
            ("9", "46 min? (36 min to 1 h)", "In all: 5 h 34 min? (4 h 04 min to 7 h 38 min)."),
        )


def sheet(shop: Shop, tag: str = "1") -> Sheet:
    found = sheet_of(shop, tag)
    assert isinstance(found, Sheet)
    return found


def page_of(hands: Hands) -> str:
    """What is between heading and legend."""
    return "\n".join(["", *hands.picture().splitlines()[1:-2]])


async def test_a_parts_sheet_is_three_keys_from_the_bench_and_in_the_list_where_faces_are_open(
    worked: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(worked, clock) as hands:
        await hands.play(
            ("1 enter enter", "The sheet of tag 1", "Owner       Rowing club"),
            ("0", "Enter its sheet"),
            ("home",),
            ("1 / 8", "The sheet of tag 1"),
        )


async def test_every_line_of_the_sheet_is_on_one_of_its_pages(
    worked: Shop, clock: ManualClock
) -> None:
    for n in range(12):
        done(holds_and_rework.hold(worked, 1, "Kit", f"reason number {n} " + "long " * 8))
        done(holds_and_rework.release(worked, 1, "Mo"))
    async with at_the_bench(worked, clock) as hands:
        await hands.press("1 enter enter")
        seen = page_of(hands)
        while "9 more" in hands.picture():
            await hands.press("9")
            seen += page_of(hands)
        words = " ".join(seen.split())
        for n in range(12):
            assert words.count(f"reason number {n} long") == 2
        assert "Received by: ____" in seen
        last = hands.picture()
        await hands.press("-")
        assert hands.picture() != last


async def test_a_part_is_found_by_figures_and_by_letters(worked: Shop, clock: ManualClock) -> None:
    async with at_the_bench(worked, clock) as hands:
        await hands.pick("find a part, the log", "find a part, on the bench or long gone")
        await hands.play(
            ("7 enter", "The sheet of tag 1"),
            ("/ - b r a c enter", "The sheet of tag 2"),
            ("/ - - - - enter", "1 to 2 of 2"),
            ("2", "The sheet of tag 1"),
            ("/ / z z enter", "nothing fits zz"),
            ("- - 9 . 6 . 2 0 2 5 enter", "The sheet of tag 1"),
        )


async def test_a_part_that_left_is_found_and_a_long_list_has_pages(
    shop: Shop, clock: ManualClock
) -> None:
    for n in range(11):
        done(placement.place(shop, 1, "Kit", route="zinc-new", shape="plate", name=f"Plate {n}"))
        done(placement.take_off(shop, 1, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("find a part, the log", "find a part, on the bench or long gone")
        await hands.play(("enter", "1 to 8 of 11"))
        first = hands.picture()
        await hands.play(
            ("9", "9 to 11 of 11"),
            ("3", "Part        Plate 0, one piece"),
            ("/ -",),
        )
        assert hands.picture() == first


async def to_the_journal(hands: Hands) -> None:
    await hands.pick("find a part, the log", "the log: look back, undo, correct")


async def test_the_journal_is_read_newest_first_and_nothing_is_left_out(
    worked: Shop, clock: ManualClock
) -> None:
    for n in range(20):
        done(holds_and_rework.hold(worked, 1, "Kit", f"reason {n:02d} " + "word " * (n % 10)))
        done(holds_and_rework.release(worked, 1, "Mo"))
    async with at_the_bench(worked, clock) as hands:
        await to_the_journal(hands)
        pages = [hands.picture()]
        while "9 older" in hands.picture():
            await hands.press("9")
            pages.append(hands.picture())
        seen = "\n".join(pages)
        for n in range(20):
            assert seen.count(f"on hold by Kit: reason {n:02d}") == 1
        assert "shop opened with 6 stands" in pages[-1]
        for page in reversed(pages[:-1]):
            await hands.press("-")
            assert hands.picture() == page


async def test_no_line_is_passed_over_where_an_alarm_takes_a_row(demo: Shop) -> None:  # noqa: F811
    async with at(demo, (60, 20), "j", answered=False) as hands:
        assert hands.picture().startswith(" RINSE NOW !!! stand 7")
        shown = len(re.findall(r"^ [1-8] ", hands.picture(), re.MULTILINE))
        assert f" 1-{shown} look at one" in hands.picture()
        while "9 older" in hands.picture():
            await hands.press("9")
            shown += len(re.findall(r"^ [1-8] ", hands.picture(), re.MULTILINE))
        assert shown == len(log_page(demo, 10_000))


async def test_a_line_of_the_last_ten_minutes_is_undone_by_another_key(
    worked: Shop, clock: ManualClock
) -> None:
    undone = Said("..undone: tag 1 Frame: File the zinc spikes finished..")
    async with at_the_bench(worked, clock) as hands:
        await to_the_journal(hands)
        await hands.play(
            ("3", "tag 1 Frame: File the zinc spikes finished 07:50"),
            ("enter", undone, "it was undone; the log keeps both entries", Gone("undo it")),
            ("/", "(undone)"),
        )
    assert part(worked).steps[0].status == "in hand"
    assert told(worked) == state(worked)


async def test_what_something_later_hangs_on_is_not_undone(
    worked: Shop, clock: ManualClock
) -> None:
    before = state(worked)
    async with at_the_bench(worked, clock) as hands:
        await to_the_journal(hands)
        await hands.play(
            ("5", "placed on stand 1", Gone("undo it")),
            ("/ 4", Gone("undo it")),
            ("enter", lambda at: state(at) == before),
        )


async def test_an_hour_is_put_right_with_keypad_keys_alone(
    worked: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(worked, clock) as hands:
        await hands.play(
            (
                "1 enter enter 1",
                "2   1 File the zinc spikes: 2025-06-09 07:30 to 07:50, Kit",
            ),
            ("2 2", "recorded: 2025-06-09 07:50"),
            (
                "enter 4 0 enter enter enter enter",
                "was 07:50 on Mon 09 Jun 2025, now 07:40 on Mon 09 Jun 2025",
            ),
            ("1", Said("..because the key was pressed late..")),
        )
        while "Corrected" not in hands.picture():
            await hands.press("9")
    assert log_page(worked, 1)[0].action == "correct"


async def choose(hands: Hands, *wanted: str) -> None:
    """The digit beside the first choice that begins so, one list after the other."""
    for words in wanted:
        rows = (row.split(None, 1) for row in hands.picture().splitlines())
        digits = [row[0] for row in rows if len(row) == 2 and row[1].startswith(words)]
        assert digits, f"no {words!r} in\n{hands.picture()}"
        await hands.press(digits[0])


async def test_one_face_a_test_and_when_a_pot_was_mixed_are_put_right_by_keypad(
    worked: Shop, clock: ManualClock
) -> None:
    for _ in range(2):
        done(holds_and_rework.skip(worked, 2, "Kit", "already done"))
    done(pots.mix(worked, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=20)
    done(begin_over(worked, 2, "Kit", "other"))
    clock.advance(minutes=10)
    done(steps.finish(worked, 2, "Kit", all_faces=True))
    clock.advance(hours=24)
    done(testing.put_test_off(worked, 2, "Kit"))
    async with at_the_bench(worked, clock) as hands:
        await hands.answer_all()
        await hands.press("2 enter enter 1")
        await choose(hands, "3 Epoxy primer", "one face, when", "EDGE ticked")
        assert "recorded: 2025-06-09 08:20" in hands.picture()
        await hands.press("enter 1 5 enter enter enter enter 1")
        assert log_page(worked, 1)[0].text.startswith(
            "tag 2 Bracket: Epoxy primer, EDGE ticked: was 08:20 on Mon 09 Jun 2025, now 08:15"
        )
        await hands.press("1")
        await choose(hands, "3 Epoxy primer", "Kit's not yet: ")
        await hands.press("enter 1 5 enter enter enter enter 1")
        assert log_page(worked, 1)[0].text.startswith("tag 2 Bracket: Epoxy primer, not yet by Kit")
        await hands.press("1")
        await choose(hands, "3 Epoxy primer", "pot A: mixed", "mixed: ")
        await hands.press("enter 4 0 enter enter enter enter 1")
    assert log_page(worked, 1)[0].text.startswith(
        "pot A: mixed: was 07:50 on Mon 09 Jun 2025, now 07:40"
    )


async def test_why_what_was_wrong_which_pot_and_what_it_is_made_of_by_keypad(
    worked: Shop, clock: ManualClock
) -> None:
    done(holds_and_rework.skip(worked, 2, "Kit", "already done"))
    done(holds_and_rework.skip(worked, 2, "Kit", "already done"))
    for _ in range(2):
        done(pots.mix(worked, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
        clock.advance(minutes=1)
    done(begin_over(worked, 2, "Kit", "other"))
    done(steps.finish(worked, 2, "Kit", all_faces=True))
    done(holds_and_rework.rework(worked, 2, "Kit", "run"))

    def newest() -> str:
        return log_page(worked, 1)[0].text

    async with at_the_bench(worked, clock) as hands:
        await hands.press("2 enter enter 1")
        await choose(hands, "1 Degrease and rinse, left out", "no material")
        await hands.press("1")
        assert "why it was left out: was already done, now no material" in newest()
        await hands.press("1")
        await choose(hands, "3 Epoxy primer", "sprayed from: pot B", "pot A mixed")
        await hands.press("1")
        assert "Epoxy primer, sprayed from: was pot B" in newest()
        await hands.press("1")
        await choose(hands, "what was wrong, Epoxy primer: run", "sag")
        await hands.press("1")
        assert "what was wrong after Epoxy primer: was run, now sag" in newest()
        await hands.press("1")
        await choose(hands, "the part: tag", "made of: steel", "aluminium")
        await hands.press("1")
        assert "was substrate steel, now substrate aluminium" in newest()


async def test_who_and_a_reading_are_put_right_by_keypad(worked: Shop, clock: ManualClock) -> None:
    who = Said("..done by: was Kit, now Kit and Mo, because it was somebody else..")
    async with at_the_bench(worked, clock) as hands:
        await hands.play(("1 enter enter 1 2 3 3 5", who), ("0 escape",))
        await to_the_journal(hands)
        await hands.play(
            ("3 1", "Reading of 2025-06-09 07:50: what was it?"),
            (
                "enter enter 1 4 enter 3",
                Said("..was surface 16 C, now surface 14 C, because misread.."),
            ),
        )
    assert sheet(worked).part.steps[0].painters == ("Kit", "Mo")


async def test_what_a_part_is_called_is_put_right_and_its_sheet_goes_on_under_the_new_tag(
    worked: Shop, clock: ManualClock
) -> None:
    called = Said("..was tag 1, now tag 17, because misread..")
    async with at_the_bench(worked, clock) as hands:
        await hands.play(
            ("1 enter enter 1 1 1 backspace 1 7 enter 3", called, "The sheet of tag 17"),
            ("1 1 5 2 enter 4", Said("..was count 1, now count 2..")),
        )
    assert sheet(worked, "17").part.count == 2


async def test_left_half_way_nothing_is_put_right(worked: Shop, clock: ManualClock) -> None:
    before = state(worked)
    async with at_the_bench(worked, clock) as hands:
        for keys in ("1 enter enter 1 2 1 /", "1 enter enter 1 2 3 1 0", "1 enter enter 1 2 0"):
            await hands.press(keys)
            await hands.press("escape")
    assert state(worked) == before


async def test_who_has_a_pin_signs(worked: Shop, clock: ManualClock) -> None:
    done(set_pin(worked, "Kit", "4711"))
    async with at_the_bench(worked, clock) as hands:
        await hands.play(
            ("1 enter enter 1 2 3 2 5", "PIN"),
            ("4 7 1 1 enter", Said("..now Mo, because it was somebody else..")),
        )


WRITTEN = Said(f"{len(FORMS)} files tag-1.txt .. written into..")


async def test_the_files_of_a_sheet_are_written_beside_the_data(
    worked: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(worked, clock) as hands:
        folder = data.parent / "sheets"
        await hands.play(
            ("1 enter enter 2", "Write its files?"),
        )
        assert f"in{folder}" in "".join(hands.picture().split()), "a long path is broken"
        await hands.play(
            ("0", lambda _: not folder.exists()),
            ("2 enter", WRITTEN),
        )
    assert sorted(file.name for file in folder.iterdir()) == sorted(
        f"tag-1{form.ends}" for form in FORMS.values()
    )
    assert (folder / "tag-1.txt").read_text(encoding="utf-8").startswith("JOB RECORD, tag 1")


async def test_somebody_elses_file_among_them_is_left_and_then_none_is_written(
    worked: Shop, clock: ManualClock, data: Path
) -> None:
    folder = data.parent / "sheets"
    folder.mkdir()
    (folder / "tag-1-label.txt").write_text("mine")
    async with at_the_bench(worked, clock) as hands:
        left = Said("..not an earlier file of this form: move it away first")
        await hands.play(("1 enter enter 2 enter", left))
        assert [file.read_text() for file in folder.iterdir()] == ["mine"]
        (folder / "tag-1-label.txt").unlink()
        await hands.play(("2 enter", WRITTEN), ("2 enter", WRITTEN))


async def test_a_calendar_for_the_phone_is_written_beside_the_data(
    worked: Shop, clock: ManualClock, data: Path
) -> None:
    done(pots.mix(worked, "etch-primer", "Kit", known=MixStart(need_ml=600)))
    async with at_the_bench(worked, clock) as hands:
        await hands.pick("find a part, the log", CALENDAR)
        assert hands.said().endswith("hours written into " + str(data.parent / "sheets/bench.ics"))
    told = (data.parent / "sheets" / "bench.ics").read_bytes()
    assert b"SUMMARY:pot A Zinc etch primer 1:1: BIN BY ?\r\n" in told


async def test_a_tag_that_has_left_the_bench_is_found_by_two_noughts(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="plate"))
    for _ in range(8):
        holds_and_rework.skip(shop, 1, "Kit", "already done")
    clock.advance(days=30)
    done(testing.pass_test(shop, 1, "Kit"))
    done(placement.take_off(shop, 1, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("0 0 1 enter", "left the bench 2025-07-09 07:30"),
            ("0 0 0 9 9 enter", Said("no tag 99: read the steel disc again")),
        )


async def test_a_kiosk_writes_no_files(worked: Shop, clock: ManualClock, data: Path) -> None:
    async with at_the_bench(worked, clock, kiosk=True) as hands:
        await hands.play(("1 enter enter", Gone("2 its files")), ("2 0 escape",))
        await hands.pick("find a part, the log")
        assert CALENDAR not in hands.picture()
    assert not (data.parent / "sheets").exists()


async def test_a_full_disk_is_told_and_the_bench_stays_up(
    worked: Shop, clock: ManualClock, data: Path
) -> None:
    (data.parent / "sheets").write_text("no folder")
    async with at_the_bench(worked, clock) as hands:
        await hands.play(
            ("1 enter enter 2 enter", Said("the file cannot be written.."), "The sheet of tag 1")
        )


@pytest.mark.parametrize("size", [(60, 20), (132, 40)])
async def test_small_and_large_terminals_show_whole_lines(
    worked: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    async with at_the_bench(worked, clock, size) as hands:
        for keys in ("1 enter enter", "9 9"):
            await hands.press(keys)
            rows = hands.picture().splitlines()
            assert max(map(len, rows)) <= size[0]
            assert not any(row.endswith("..") for row in rows[1:-2])

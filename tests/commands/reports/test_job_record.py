"""``paintbench sheet``: the record of a part on the terminal and in a file."""

from __future__ import annotations

import json
from pathlib import Path

import icalendar
import pytest

from bench.commands.subjects.job_records import FORM_NAMES
from bench.records.forms import FORMS, file_stem

from ..running import Paintbench


@pytest.fixture
def placed(paintbench: Paintbench) -> Paintbench:
    """A frame on stand 1."""
    words = ("--route", "zinc-new", "--shape", "frame", "--job", "=1+1", "--by", "Kit")
    assert paintbench("place", "1", *words).code == 0
    return paintbench


def test_the_forms_that_help_names_are_the_forms_there_are() -> None:
    assert tuple(FORMS) == FORM_NAMES


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_written_by_stand_and_by_tag(placed: Paintbench, form: str) -> None:
    by_stand = placed("sheet", "1", "--form", form)
    assert (by_stand.code, by_stand.err) == (0, "")
    assert placed("sheet", "--tag", "1", "--form", form) == by_stand
    assert by_stand.out


def test_the_file_is_what_the_terminal_would_have_shown(placed: Paintbench, tmp_path: Path) -> None:
    for form in FORMS:
        file = tmp_path / "out" / f"sheet.{form}"
        ran = placed("sheet", "1", "--form", form, "-o", str(file))
        assert (ran.code, ran.out, ran.err) == (0, "", "")
        assert file.read_bytes().decode() == placed("sheet", "1", "--form", form).out
    assert not list((tmp_path / "out").glob(".*"))


def test_a_file_that_cannot_be_written_is_refused_and_what_was_there_stays(
    placed: Paintbench, tmp_path: Path
) -> None:
    kept = tmp_path / "kept"
    kept.write_text("mine")
    ran = placed("sheet", "1", "-o", str(kept / "sheet.txt"))
    assert ran.code == 1
    assert ran.err.startswith("the file cannot be written (")
    assert kept.read_text() == "mine"
    assert placed("sheet", "1", "-o", "a\x00b").code == 1


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("sheet", "6"), 1, "stand 6 is empty"),
        (("sheet", "7"), 1, "no stand 7"),
        (("sheet", "--tag", "9"), 1, "no tag 9"),
        (("sheet",), 2, "one of the arguments STAND --tag is required"),
        (("sheet", "1", "--form", "docx"), 2, "invalid choice: 'docx'"),
        (("sheet", "1", "--form", "pdf"), 1, "a PDF is not for a terminal"),
        (("sheet", "1", "--paper", "letter"), 1, "does not go with the form text"),
        (("sheet", "1", "--spreadsheet"), 1, "does not go with the form text: --form csv or"),
    ],
)
def test_what_cannot_be_told_is_refused(
    placed: Paintbench, words: tuple[str, ...], code: int, told: str
) -> None:
    ran = placed(*words)
    assert ran.code == code
    assert told in ran.err


def test_the_json_is_a_sheet_and_a_job_typed_as_a_formula_stays_text(placed: Paintbench) -> None:
    told = json.loads(placed("sheet", "1", "--form", "json").out)
    assert placed("sheet", "1", "--json").json() == told
    assert (told["sheet"]["tag"], told["sheet"]["job"]) == ("1", "=1+1")
    assert '"\'=1+1"' in placed("sheet", "1", "--form", "csv").out
    assert ';"\'=1+1";' in placed("sheet", "1", "--form", "csv", "--spreadsheet").out


def test_a_tag_of_any_letters_gives_a_file_name_within_its_folder() -> None:
    assert file_stem("../../x") == "tag-_2e_2e_2f_2e_2e_2fx"
    assert file_stem("a/b") != file_stem("a_b")
    assert "/" not in file_stem("塗/\\..")


def test_a_calendar_is_written_of_the_bench_and_of_one_part(
    placed: Paintbench, tmp_path: Path
) -> None:
    assert placed("calendar").code == 1
    assert placed("mix", "etch-primer", "--need", "600ml", "--by", "Kit").code == 0
    ran = placed("calendar", "-o", str(tmp_path / "bench.ics"))
    assert (ran.code, ran.out) == (0, "")
    told = (tmp_path / "bench.ics").read_bytes()
    assert b"SUMMARY:pot A Zinc etch primer 1:1: BIN BY ?\r\n" in told
    rings = placed("calendar", "--json").json()
    assert (rings["clock"], [ring["kind"] for ring in rings["rings"]]) == ("ok", ["bin by"])
    assert placed("calendar", "--tag", "1").err.startswith("nothing is ahead to ring for")
    assert placed("calendar", "5").err.startswith("stand 5 is empty")
    # Once the pot is binned, the same file takes its event back; a new one has none to take back.
    assert placed("bin", "A", "--by", "Kit").code == 0
    assert placed("calendar", "-o", str(tmp_path / "bench.ics")).code == 0
    (gone,) = icalendar.Calendar.from_ical((tmp_path / "bench.ics").read_bytes()).walk("VEVENT")
    (was,) = icalendar.Calendar.from_ical(told).walk("VEVENT")
    assert (gone["UID"], gone["STATUS"]) == (was["UID"], "CANCELLED")
    assert gone["SEQUENCE"] > was["SEQUENCE"]
    assert placed("calendar", "-o", str(tmp_path / "new.ics")).err.startswith("nothing is ahead")
    # What was undone is back.
    assert placed("undo", "--by", "Kit").code == 0
    assert placed("calendar", "-o", str(tmp_path / "bench.ics")).code == 0
    (back,) = icalendar.Calendar.from_ical((tmp_path / "bench.ics").read_bytes()).walk("VEVENT")
    assert (back["UID"], "STATUS" in back) == (was["UID"], False)
    assert back["SEQUENCE"] > gone["SEQUENCE"]


def test_a_part_is_looked_up_and_what_is_left_out_is_said(placed: Paintbench) -> None:
    words = ("--route", "zinc-new", "--shape", "axle", "--owner", "Rowing club", "--by", "Kit")
    assert placed("place", "2", *words).code == 0
    ran = placed("find", "axle", "rowing")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.split()[:4] == ["2", "Axle", "stand", "2"]
    assert placed("find", "--last", "1").out.splitlines()[1] == (
        "1 of 2; say more of it, or --last 2"
    )
    data = placed("find", "--json", "--owner", "club").json()
    assert (data["total"], data["parts"][0]["tag"], data["parts"][0]["stand"]) == (1, "2", 2)
    none = placed("find", "nobody")
    assert (none.code, none.out, none.err) == (1, "", "no part fits: fewer words, or part of one\n")
    assert placed("find", "2025-13").code == 1
    assert placed("find", "--from", "soon").code == 2
    assert placed("find", "--last", "0").code == 1


def test_the_journal_is_read_by_day_and_an_earlier_line_is_undone(placed: Paintbench) -> None:
    assert placed("reading", "--air", "18C", "--by", "Kit").code == 0
    assert placed("reading", "--air", "19C", "--by", "Kit").code == 0
    lines = placed("journal", "--json").json()["journal"]
    assert [line["number"] for line in lines] == [4, 3, 2, 1]
    assert placed("undo", "--line", "3", "--by", "Kit").out.startswith("undone: reading 07:30")
    assert placed("undo", "--line", "3", "--by", "Kit").err.startswith(
        "that entry is undone already"
    )
    newest, *_, undone, _placed, _opened = placed("journal", "--json").json()["journal"]
    assert (newest["undoes"], undone["undone"]) == (3, True)
    assert placed("journal", "--from", "2025-06-10").out == ""
    assert len(placed("journal", "--to", "2025-06-09").out.splitlines()) == 5
    assert len(placed("journal", "--tag", "1", "--from", "2025-06-09").out.splitlines()) == 1
    assert placed("journal", "--from", "2025-06-10", "--to", "2025-06-09").code == 1

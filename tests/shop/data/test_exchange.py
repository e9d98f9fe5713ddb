"""The whole shop as one JSON text and back: nothing added, nothing lost, nothing half brought in."""

from __future__ import annotations

import hashlib
import io
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import SQLModel

from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data import backups
from bench.shop.data.backups import Whole
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.people.painters import set_pin, set_trained
from bench.shop.records.gathering import sheet_of
from bench.shop.settings.settings_change import set_settings
from bench.store.copies.exchange import kinds
from bench.store.databases.database import open_store
from bench.store.queries import bench_rows
from bench.store.schema.migrations import newest
from bench.testing import ManualClock
from tests.store.test_earlier_versions import WRITTEN_AT, restored

from ..doing import done, refused, state


@pytest.fixture
def worked(tmp_path: Path) -> Iterator[Shop]:
    """A shop in the middle of its work."""
    store = open_store(str(restored(1, tmp_path / "worked.db")))
    yield Shop(store, ManualClock(WRITTEN_AT), "test")
    store.close()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Shop]:
    """A place where nobody has opened a shop."""
    store = open_store(str(tmp_path / "empty.db"))
    yield Shop(store, ManualClock(WRITTEN_AT), "test")
    store.close()


def exported(shop: Shop) -> str:
    out = io.StringIO()
    backups.export_shop(shop, out)
    return out.getvalue()


def read(text: str) -> Whole:
    found = backups.read_export(text.encode(), "it")
    assert isinstance(found, Whole), found
    return found


def refusal(text: str | bytes) -> str:
    found = backups.read_export(text if isinstance(text, bytes) else text.encode(), "old.json")
    assert isinstance(found, Refusal)
    assert "\n" not in str(found)
    return str(found)


def summed(form: dict[str, Any]) -> str:
    """The form with a sum that agrees, as ``paintbench help files`` says it is worked out."""
    compact = json.dumps(form["tables"], separators=(",", ":")).encode("ascii")
    return json.dumps({**form, "sum": hashlib.sha256(compact).hexdigest()})


def test_out_and_in_and_out_again_is_the_same_to_the_byte(worked: Shop, empty: Shop) -> None:
    text = exported(worked)
    done(backups.import_shop(empty, read(text)))
    assert exported(empty) == text
    assert state(empty) == state(worked)
    assert bench_view.read_bench(empty) == bench_view.read_bench(worked)
    assert check(empty).faults == ()


def test_the_zone_that_the_shop_set_travels_with_it(worked: Shop, empty: Shop) -> None:
    (by, *_) = bench_view.read_bench(worked).painters
    done(set_settings(worked, by, zone="Europe/Dublin"))
    done(backups.import_shop(empty, read(exported(worked))))
    house = bench_view.read_bench(empty).house
    assert (house.zone_name, str(house.hours.zone)) == ("Europe/Dublin", "Europe/Dublin")


def test_every_table_is_in_the_form() -> None:
    assert set(kinds()) == set(SQLModel.metadata.tables) - {"schema_version"}


def test_any_program_can_read_the_form_and_work_out_its_sum(worked: Shop) -> None:
    form = json.loads(exported(worked))
    assert form["form"] == "paintbench shop"
    assert {part["tag"] for part in form["tables"]["part"]} >= {"4", "4b", "5"}
    assert json.loads(summed(form))["sum"] == form["sum"]


def test_a_form_laid_out_anew_is_the_same_form(worked: Shop, empty: Shop) -> None:
    text = exported(worked)
    done(backups.import_shop(empty, read(json.dumps(json.loads(text), indent=4))))
    assert exported(empty) == text


def test_work_goes_on_where_it_was_left(worked: Shop, empty: Shop) -> None:
    done(backups.import_shop(empty, read(exported(worked))))
    done(readings.take_reading(empty, "Bo", air_c=15.0))
    assert check(empty).faults == ()
    assert check(empty).lines == check(worked).lines + 1


def test_an_export_of_the_first_version_is_brought_forward(tmp_path: Path, empty: Shop) -> None:
    form = {"form": "paintbench shop", "version": 1, "tables": as_version_1(tmp_path / "old.db")}
    done(backups.import_shop(empty, read(summed(form))))
    assert check(empty).faults == ()
    assert bench_view.read_bench(empty).find("4b") is not None
    sheet = sheet_of(empty, "4b")
    assert not isinstance(sheet, Refusal)
    known = [step.version for step in sheet.steps if step.version is not None]
    assert known
    assert not any(version.is_own for version in known)


def as_version_1(place: Path) -> dict[str, list[dict[str, Any]]]:
    """The rows of the dump as version 1 exported them: what looks like JSON is, an instant is UTC."""
    with closing(sqlite3.connect(restored(1, place))) as raw:
        raw.row_factory = sqlite3.Row
        names = [
            name for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        found = {}
        for name in set(names) - {"schema_version"}:
            kinds_of = {row[1]: row[2] for row in raw.execute(f"PRAGMA table_info({name})")}
            plain: dict[str, Callable[[Any], Any]] = {
                "JSON": json.loads,
                "BOOLEAN": bool,
                "DATETIME": lambda at: at and at.replace(" ", "T") + "+00:00",
            }
            found[name] = [
                {key: plain.get(kinds_of[key], lambda value: value)(row[key]) for key in row.keys()}  # noqa: SIM118
                for row in raw.execute(f"SELECT * FROM {name} ORDER BY 1")
            ]
        return found


def test_a_newer_programs_export_is_refused(worked: Shop) -> None:
    form = {**json.loads(exported(worked)), "version": 99}
    assert "newer program (its version 99" in refusal(json.dumps(form))


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{}",
        b"[1, 2]",
        b"Tag;Name\n5;Cradle\n",
        b'{"form": "somebody else\'s"}',
        b"\xff\xfe\x00binary",
        b"[" * 100_000,
    ],
)
def test_a_foreign_file_is_refused(text: bytes) -> None:
    told = refusal(text)
    assert "no export of a paintbench shop" in told or "it is no text" in told


def test_an_export_that_was_cut_short_is_refused_wherever_it_was_cut(worked: Shop) -> None:
    text = exported(worked)
    for length in range(40, len(text) - 2, len(text) // 50):
        assert "damaged or cut short" in refusal(text[:length])


def test_a_figure_that_was_changed_on_the_way_is_noticed(worked: Shop) -> None:
    text = exported(worked)
    at = text.index('"total_ml":') + len('"total_ml":')
    changed = text[:at] + ("2" if text[at] != "2" else "3") + text[at + 1 :]
    assert "its sum does not agree" in refusal(changed)


@pytest.mark.parametrize(
    ("table", "change", "told"),
    [
        ("part", {"count": "many"}, "row 1 of part: count:"),
        ("part", {"colour": "red"}, "row 1 of part: colour:"),
        ("reading", {"at": "2025-06-11T09:00:00"}, "row 1 of reading: at:"),
        ("reading", {"air_c": None}, "row 1 of reading: air_c:"),
    ],
)
def test_a_row_that_cannot_be_is_named(
    worked: Shop, table: str, change: dict[str, Any], told: str
) -> None:
    form = json.loads(exported(worked))
    form["tables"][table][0].update(change)
    assert told in refusal(summed(form))


def test_rows_that_do_not_fit_together_are_not_half_brought_in(worked: Shop, empty: Shop) -> None:
    form = json.loads(exported(worked))
    form["tables"]["step"][-1]["part_id"] = 77
    told = refused(backups.import_shop(empty, read(summed(form))))
    assert "the rows of step do not fit" in str(told)
    done(backups.import_shop(empty, read(exported(worked))))


def test_nothing_is_brought_into_a_shop_that_is_open(worked: Shop, shop: Shop) -> None:
    before = state(shop)
    told = refused(backups.import_shop(shop, read(exported(worked))))
    assert "there is a shop here already" in str(told)
    assert state(shop) == before


def test_an_export_never_writes_over_a_file(worked: Shop, tmp_path: Path) -> None:
    file = tmp_path / "shop.json"
    done(backups.export_to(worked, file))
    before = file.read_bytes()
    assert before.decode() == exported(worked)
    assert "there is a file already" in str(refused(backups.export_to(worked, file)))
    assert file.read_bytes() == before


def test_an_export_where_nothing_can_be_written_leaves_nothing(
    worked: Shop, tmp_path: Path
) -> None:
    told = refused(backups.export_to(worked, tmp_path / "not there" / "shop.json"))
    assert "no such file or directory" in str(told)


DAMAGED = "log entry 3 (written {hour}) is not as it was written; "
WHOLE_IN = "paintbench backups says which backups have it whole"


def test_a_damaged_entry_is_named_as_it_goes_out_and_as_it_comes_in(
    worked: Shop, empty: Shop, tmp_path: Path
) -> None:
    with closing(sqlite3.connect(worked.store.place or "")) as other, other:
        other.execute("UPDATE journal SET text = 'x' WHERE id = 3")
        (at,) = other.execute("SELECT at FROM journal WHERE id = 3").fetchone()
    told = DAMAGED.format(hour=day_words(datetime.fromisoformat(at)))
    file = tmp_path / "shop.json"
    no = refused(backups.export_to(worked, file))
    assert (no.read, file.exists()) == (told + WHOLE_IN, False)
    out = io.StringIO()
    assert backups.export_shop(worked, out) == no
    assert out.getvalue() == ""
    assert done(backups.export_to(worked, file, damaged_too=True)).notes == (told + WHOLE_IN,)
    assert "its log is damaged" in str(refused(backups.import_shop(empty, read(file.read_text()))))
    came = done(backups.import_shop(empty, read(file.read_text()), damaged_too=True))
    assert came.notes[0] == told + "if there is an earlier export or backup, use that"
    assert check(empty).faults[0].startswith(told)
    (copied,) = done(backups.back_up(worked, str(tmp_path / "copy.db"), None)).notes
    assert copied.startswith(told)


def test_a_text_of_an_earlier_version_gets_its_checksums_as_it_is_brought_in(
    worked: Shop, empty: Shop
) -> None:
    form = json.loads(exported(worked))
    had = [line.pop("checksum") for line in form["tables"]["journal"]]
    done(backups.import_shop(empty, read(summed({**form, "version": 2}))))
    assert check(empty).faults == ()
    again = json.loads(exported(empty))["tables"]["journal"]
    assert [line["checksum"] for line in again] == had


def changed(shop: Shop, change: Callable[[dict[str, Any]], object]) -> str:
    """An export in which something was changed, with a sum that agrees."""
    form = json.loads(exported(shop))
    change(form["tables"])
    return summed(form)


def setting(tables: dict[str, Any], key: str) -> dict[str, Any]:
    """The row of a setting."""
    found: dict[str, Any] = next(row for row in tables["setting"] if row["key"] == key)
    return found


def image_of(tables: dict[str, Any], table: str) -> dict[str, Any]:
    """The first row of a table as an entry of the log has it."""
    changes = (change for entry in tables["journal"] for change in entry["changes"])
    found: dict[str, Any] = next(c["after"] for c in changes if c["table"] == table and c["after"])
    return found


INSTRUMENT = dict.fromkeys(("number", "calibrated", "check_by"), "")
MORE_OF_READINGS: dict[str, Any] = {
    **dict.fromkeys(("face", "grade", "instrument", "surface"), ""),
    **{"step_id": None, "less_um": 0.0, "struck": False},
}
MEASURED = {"id": 1, "part_id": 1, "at": "2025-06-09T07:00:00+00:00", "painter": "Kit"}

ODD: dict[str, tuple[Callable[[dict[str, Any]], object], str]] = {
    "an instrument of no kind": (
        lambda t: t["instrument"].append(
            {"name": "G1", "kind": "ruler", "error": None, "gone": False, **INSTRUMENT}
        ),
        "row 1 of instrument: kind: ",
    ),
    "readings of no kind": (
        lambda t: t["measurement"].append(
            {**MEASURED, "kind": "dtf", "readings": [80.0], **MORE_OF_READINGS}
        ),
        "row 1 of measurement: kind: ",
    ),
    "a step that wants measured what nobody can": (
        lambda t: t["step"][0]["plan"].update(measure=["dtf"]),
        "row 1 of step: plan",
    ),
    "a clock of junk": (
        lambda t: setting(t, "clock").update(value=[1, 2]),
        "of setting: value of 'clock'",
    ),
    "a setting nobody knows": (
        lambda t: t["setting"].append({"key": "colour", "value": 1}),
        "of setting: value of 'colour': wanted one of house, clock",
    ),
    "a night of words": (
        lambda t: setting(t, "house")["value"].update(night_c="cold"),
        "of setting: value of 'house'.night_c: read \"cold\"; Input should be a valid number",
    ),
    "a night colder than any": (
        lambda t: setting(t, "house")["value"].update(night_c=-200.0),
        "of setting: value of 'house': night -200 C: from -30 to 50 C",
    ),
    "a probe of which the minutes are a word": (
        lambda t: setting(t, "house")["value"].update(probe={"air": "/a", "every_min": "soon"}),
        "of setting: ",
    ),
    "a week of two days": (
        lambda t: setting(t, "house")["value"].update(week=[None, None]),
        "of setting: value of 'house'.week: read [null, null]; ",
    ),
    "a night in quotes": (
        lambda t: setting(t, "house")["value"].update(night_c="11"),
        "of setting: value of 'house'.night_c: read \"11\"; Input should be a valid number",
    ),
    "a plan with minutes in quotes": (
        lambda t: t["step"][0]["plan"].update(least_s="600"),
        'row 1 of step: plan.least_s: read "600"; Input should be a valid number',
    ),
    "a row image with a count in quotes": (
        lambda t: image_of(t, "part").update(count="2"),
        'count: read "2"; Input should be a valid integer',
    ),
    "a plan of a route without steps": (
        lambda t: t["route"][1]["plan"].update(steps="none"),
        'row 2 of route: plan.steps: read "none"; ',
    ),
    "a kind of step nobody knows": (
        lambda t: t["step"][0]["plan"].update(kind="polish"),
        'row 1 of step: plan.kind: read "polish"; ',
    ),
    "a number past every database's": (
        lambda t: t["reading"][0].update(id=2**70),
        "row 1 of reading: id: read a figure of 22 digits; wanted at most 9007199254740992",
    ),
    "a number past PostgreSQL's": (
        lambda t: t["reading"][0].update(id=2**40),
        "row 1 of reading: id: read 1099511627776; Input should be less than",
    ),
    "a number one past the largest": (
        lambda t: t["reading"][0].update(id=1_000_000_001),
        "Input should be less than or equal to 1000000000",
    ),
    "no number": (
        lambda t: t["reading"][0].update(air_c=float("nan")),
        "row 1 of reading: air_c: read nan; wanted a finite figure",
    ),
    "no end of a number": (
        lambda t: t["product"][0]["sheet"].update(full_cure=[float("inf")]),
        "row 1 of product: sheet.full_cure.1: read inf; wanted a finite figure",
    ),
    "half a letter": (
        lambda t: t["part"][0].update(name="\ud800"),
        'row 1 of part: name: read "\\ud800"; wanted text without control characters',
    ),
    "a colour for the terminal": (
        lambda t: t["painter"][0].update(name="\x1b[31mKit"),
        "row 1 of painter: name: read",
    ),
    "a painter without a name": (
        lambda t: t["painter"][0].update(name=""),
        "row 1 of painter: name: it is empty",
    ),
    "a tag as long as a letter": (
        lambda t: t["part"][0].update(tag="7" * 61),
        "row 1 of part: tag: it is too long (61 characters)",
    ),
    "letters that climb": (
        lambda t: t["part"][0].update(owner="Z" + "\u0335\u0321\u0327\u0328" * 9),
        "row 1 of part: owner: it has letters that cannot be shown",
    ),
    "lists in lists": (
        lambda t: t["tool"][0]["plan"].update(name=nested(60)),
        "nested 41 deep; at most 40",
    ),
    "a line of the log that changes nothing known": (
        lambda t: t["journal"][0].update(changes=[{"table": "users", "before": {}, "after": {}}]),
        "row 1 of journal: changes.1: read",
    ),
    "a row image that cannot be": (
        lambda t: t["journal"][0]["changes"][0]["after"].update(colour="red"),
        'row 1 of journal: changes.1.colour: read "red"; ',
    ),
}


def nested(deep: int) -> list[Any]:
    """A list in a list in a list."""
    return [nested(deep - 1)] if deep else []


@pytest.mark.parametrize("what", ODD)
def test_what_could_not_be_opened_is_refused_with_row_and_field(worked: Shop, what: str) -> None:
    change, told = ODD[what]
    assert told in refusal(changed(worked, change))


def test_figures_of_thousands_of_digits_and_nesting_without_end_are_refused_in_a_line(
    worked: Shop,
) -> None:
    text = exported(worked)
    long = text.replace(f'"version":{newest()}', f'"version":{"9" * 6000}')
    deep = text.replace('"tables":{', f'"tables":{"[" * 900}{"]" * 900},"others":{{')
    assert "a figure of thousands of digits" in refusal(long)
    assert "damaged" in refusal(deep)


def test_what_only_the_bench_stumbles_over_is_refused_before_anything_is_kept(
    worked: Shop, empty: Shop
) -> None:
    """Work at the end of all calendars: each row by itself can be read."""

    def at_the_end_of_time(tables: dict[str, Any]) -> None:
        for step in tables["step"]:
            if step["first_at"]:
                step["first_at"] = step["last_at"] = "9999-12-31T23:59:59+00:00"

    told = refused(backups.import_shop(empty, read(changed(worked, at_the_end_of_time))))
    assert "cannot be read" in str(told)
    done(backups.import_shop(empty, read(exported(worked))))


def test_no_hash_of_a_pin_is_in_an_export_and_who_had_one_is_named(
    worked: Shop, empty: Shop
) -> None:
    by, other, *_ = bench_view.read_bench(worked).painters
    done(set_pin(worked, by, "4711"))
    text = exported(worked)
    assert "scrypt" not in text
    answer = done(backups.import_shop(empty, read(text)))
    assert answer.notes == (f"no PIN travels in an export: {by} set a new one",)
    assert exported(empty) == text
    assert check(empty).faults == ()
    assert by not in bench_view.read_bench(empty).with_pin
    told = refused(set_trained(empty.with_pin("4711"), by, other, True))
    assert told.rule == f"{by} had a PIN where this data came from; no PIN travels in an export"
    done(set_pin(empty, by, "1234"))
    done(set_trained(empty.with_pin("1234"), by, other, True))


def test_an_export_of_an_earlier_version_with_hashes_brings_none_in(
    worked: Shop, empty: Shop
) -> None:
    def with_hash(tables: dict[str, Any]) -> None:
        tables["painter"][0]["pin"] = "scrypt 16384 8 1 aa bb"
        image = {**tables["painter"][0]}
        tables["journal"][-1]["changes"] = [{"table": "painter", "before": image, "after": image}]

    earlier = {**json.loads(changed(worked, with_hash)), "version": 2}
    done(backups.import_shop(empty, read(summed(earlier))))
    assert "scrypt" not in exported(empty)
    with empty.store.reading() as session:
        assert {painter.pin for painter in bench_rows.every_painter(session)} == {"set", ""}

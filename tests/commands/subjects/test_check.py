"""`paintbench check`: what was changed behind the program's back is found and named."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.opening import check
from bench.shop.parts import placement, steps
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from ..running import Paintbench, run_main


@pytest.fixture
def worked(shop: Shop, paintbench: Paintbench) -> Paintbench:
    """A shop in which something was done, swapped and undone."""
    assert isinstance(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"), Outcome)
    assert isinstance(placement.place(shop, 2, "Kit", route="zinc-new", shape="axle"), Outcome)
    assert isinstance(placement.move(shop, 1, "Mo", to=2, swap=True), Outcome)
    assert isinstance(steps.begin(shop, 1, "Mo"), Outcome)
    assert paintbench("undo", "--by", "Kit").code == 0
    return paintbench


def behind_its_back(data: Path, change: str) -> None:
    """Change the file as another program would."""
    with sqlite3.connect(data) as other:
        other.execute(change)
    other.close()


def test_a_shop_in_order_is_whole(worked: Paintbench) -> None:
    ran = worked("check")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == "the data is whole; 6 log entries replayed, the bench agrees\n"
    assert worked("check", "--json").json() == {
        "ok": True,
        "lines": 6,
        "faults": [],
        "rights": [],
    }


def test_what_others_have_rights_to_is_said_and_left_as_it_is(
    worked: Paintbench, data: Path
) -> None:
    data.parent.chmod(0o755)
    data.chmod(0o644)
    ran = worked("check")
    assert ran.code == 0
    assert ran.out.splitlines()[1:] == [
        f"others have rights to {data.parent}: chmod 700 {data.parent}",
        f"others have rights to {data}: chmod 600 {data}",
    ]
    assert oct(data.stat().st_mode & 0o777) == "0o644"
    data.parent.chmod(0o770)
    data.chmod(0o660)
    assert "others" not in worked("check").out, "a group that was given the right to write"


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (
            "UPDATE part SET name = 'Boat' WHERE id = 1",
            'part 1: name is "Boat", the journal says "Frame"',
        ),
        (
            "UPDATE step SET status = 'done' WHERE number = 2 AND part_id = 1",
            'step 2: status is "done", the journal says "todo"',
        ),
        (
            "DELETE FROM painter WHERE name = 'Mo'",
            "painter 2: the journal knows it, but it is gone",
        ),
        (
            "INSERT INTO stand (number, name) VALUES (40, '')",
            "stand 40: it is there, but the journal knows nothing of it",
        ),
        ("DELETE FROM journal WHERE id = 1", "the journal knows nothing of it"),
        (
            "UPDATE part SET stand = 33 WHERE id = 1",
            "part row 1 points at a stand that is not there",
        ),
    ],
)
def test_a_row_that_differs_from_the_journal_is_named(
    worked: Paintbench, data: Path, change: str, fault: str
) -> None:
    behind_its_back(data, change)
    ran = worked("check")
    assert ran.code == 1
    assert fault in ran.out
    assert ran.err.startswith("the data is not whole (")
    as_json = worked("check", "--json")
    assert as_json.code == 1
    assert not as_json.json()["ok"]
    assert any(fault in line for line in as_json.json()["faults"])


def in_the_middle(data: Path, spoil: Callable[[bytearray], None]) -> None:
    """Spoil the bytes of a file that has everything in it."""
    with sqlite3.connect(data) as other:
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        other.execute("PRAGMA journal_mode = DELETE")
    other.close()
    held = bytearray(data.read_bytes())
    spoil(held)
    data.write_bytes(held)


def test_a_damaged_page_is_found_in_one_line_and_not_a_traceback(
    worked: Paintbench, shop: Shop, data: Path
) -> None:
    shop.store.close()

    def zero_the_last_pages(held: bytearray) -> None:
        half = len(held) // 2 // 4096 * 4096
        held[half:] = bytes(len(held) - half)

    in_the_middle(data, zero_the_last_pages)
    ran = worked("check")
    assert ran.code == 1
    assert "Traceback" not in ran.out + ran.err
    assert (
        "the file:" in ran.out or "cannot be read to its end" in ran.out or "malformed" in ran.err
    )


@pytest.mark.parametrize(
    "change",
    [
        'UPDATE journal SET changes = replace(changes, \'"hold": ""\', \'"hole": ""\')',
        "UPDATE journal SET changes = replace(changes, '\"revision\"', '\"revisioN\"')",
        "UPDATE journal SET changes = replace(changes, '\"left_at\": null', '\"meft_at\": null')",
        'UPDATE journal SET changes = replace(changes, \'"table": "part"\', \'"table": "qart"\')',
        "UPDATE journal SET changes = replace(changes, '\"table\"', '\"uable\"')",
        "UPDATE journal SET changes = replace(changes, '\"after\"', '\"aftes\"')",
        "UPDATE journal SET changes = '[17]' WHERE id = 2",
        "UPDATE journal SET changes = '17' WHERE id = 2",
        "UPDATE journal SET changes = '{' WHERE id = 2",
        "UPDATE journal SET changes = x'ff' WHERE id = 2",
        "UPDATE journal SET at = 17 WHERE id = 2",
        "UPDATE journal SET at = x'ff' WHERE id = 2",
        "UPDATE step SET first_at = 17.5 WHERE id = 1",
        "UPDATE step SET plan = x'00' WHERE id = 1",
        "UPDATE part SET revision = x'ff' WHERE id = 1",
        "UPDATE setting SET value = '{\"zone\"' WHERE key = 'house'",
    ],
)
def test_whatever_is_damaged_the_look_ends_with_an_answer(
    worked: Paintbench, shop: Shop, data: Path, change: str
) -> None:
    behind_its_back(data, change)
    found = check(shop)
    assert found.faults
    assert all("\n" not in fault for fault in found.faults)
    assert worked("check").code == 1


def test_no_action_is_done_on_a_file_with_a_page_of_zeros(
    worked: Paintbench, shop: Shop, data: Path
) -> None:
    """One page after the other; the first is the file's head, which is refused when it is opened."""
    shop.store.close()
    in_the_middle(data, lambda _: None)
    whole = data.read_bytes()
    for page in range(1, len(whole) // 4096, 9):
        held = bytearray(whole)
        held[page * 4096 : (page + 1) * 4096] = bytes(4096)
        data.write_bytes(held)
        ran = worked("reading", "--air", "15C", "--by", "Kit")
        assert ran.code == 1, page
        assert "the data is damaged" in ran.err, page
        for side in ("-wal", "-shm"):
            data.with_name(data.name + side).unlink(missing_ok=True)


@pytest.mark.parametrize("words", [("check",), ("status",), ("reading", "--air", "15C")])
def test_an_empty_file_is_no_whole_shop(
    clock: ManualClock, tmp_path: Path, words: tuple[str, ...]
) -> None:
    file = tmp_path / "empty.db"
    file.touch()
    ran = run_main(clock, "--db", str(file), *words)
    assert ran.code == 1
    assert ran.err.startswith(f"no shop's data here ({file}: the file is empty)")
    assert file.stat().st_size == 0


def test_data_without_a_line_in_its_log_is_not_whole(clock: ManualClock, tmp_path: Path) -> None:
    open_store(str(tmp_path / "new.db")).close()
    ran = run_main(clock, "--db", str(tmp_path / "new.db"), "check")
    assert ran.code == 1
    assert "there is no entry in its log" in ran.out

"""The main job through the command line: every stage shows what the shared table says."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.databases import pytest_generate_tests
from tests.main_job import STAGES, STAND, Action, Shown

from .running import Paintbench

__all__ = ["pytest_generate_tests"]

ON_PART = {"begin", "finish", "pass", "not-yet", "join", "take-off"}
VALUES = {"route", "shape", "zone", "mark", "minutes", "with"}


def moment(at: tuple[int, int, int]) -> datetime:
    """An instant of the table, in UTC."""
    day, hour, minute = at
    date = (MONDAY + timedelta(days=day)).replace(hour=hour, minute=minute)
    return date.astimezone(UTC)


def words(action: Action) -> list[str]:
    """The action as somebody types it."""
    do = action["do"]
    typed = [do]
    if do == "mix":
        typed += [action["product"], "--need", f"{action['need_ml']}ml"]
    elif do == "reading":
        typed += ["--air", f"{action['air_c']}C", "--rh", f"{action['rh_pct']}%"]
        typed += ["--metal", f"{action['metal_c']}C"]
    elif do == "bin":
        typed.append(action["pot"])
    else:
        typed.append(str(STAND))
    for name in sorted(VALUES & action.keys()):
        typed += [f"--{name}", str(action[name])]
    if action.get("all_faces"):
        typed.append("--all-faces")
    if "ago_min" in action:
        typed += ["--ago", f"{action['ago_min']}min"]
    return [*typed, "--by", action["by"]]


def expected(shown: Shown) -> dict[str, Any]:
    """The table's row with its wall times as the JSON writes them."""
    return {
        key: moment(value).isoformat(timespec="seconds") if isinstance(value, tuple) else value
        for key, value in shown.items()
    }


def test_a_galvanised_frame_from_bare_zinc_to_cured(
    paintbench: Paintbench, clock: ManualClock
) -> None:
    paintbench("shop", "--day", "20C", "--night", "20C", "--by", "Kit")
    for told, action, shown in STAGES:
        clock.set(moment(action["at"]))
        if action["do"] != "wait":
            ran = paintbench(*words(action))
            assert (ran.code, ran.err) == (0, ""), told
        stand = paintbench("status", "--json").json()["stands"][STAND - 1]
        want = expected(shown)
        assert {key: stand[key] for key in want} == want, told
    checked = paintbench("check")
    assert (checked.code, checked.err) == (0, "")


def test_the_rear_zone_rinsed_late_stays_in_the_journal_and_on_the_list_until_it_is_rinsed(
    paintbench: Paintbench, clock: ManualClock
) -> None:
    paintbench("shop", "--day", "20C", "--night", "20C", "--by", "Kit")
    for _, action, shown in STAGES:
        clock.set(moment(action["at"]))
        if action["do"] != "wait":
            assert paintbench(*words(action)).code == 0
        if shown["state"] == "rinse now":
            break
    wants = paintbench("status", "--json").json()["wants"]
    assert [(want["word"], want["stand"]) for want in wants] == [("rinse now", STAND)]
    assert wants[0]["text"] == "Frame: rinse REAR NOW"
    table = paintbench("status").out
    assert "!!! RINSE NOW" in table
    assert "+1 min" in table
    assert "zone REAR" in table

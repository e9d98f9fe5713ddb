"""What a kiosk may use: only what files that root alone can change say, whatever is in the data."""

from __future__ import annotations

import os
from datetime import UTC, timedelta
from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data import restore
from bench.shop.data.background import BackgroundJob
from bench.shop.data.backup_retention import MEGABYTE
from bench.shop.data.backups import OUTSIDE, back_up, back_up_if_due, backup_places
from bench.shop.environment.probe_text import Probes
from bench.shop.environment.probes import OUTSIDE as PROBE_OUTSIDE
from bench.shop.environment.probes import ProbePolling, read_probe
from bench.shop.settings.kiosk_limits import (
    ANYTHING,
    NOTHING,
    AllowedFolders,
    KioskLimits,
    alarm_command_to_run,
    kiosk_limits,
)
from bench.shop.settings.settings_change import set_alarm, set_settings

ME = os.getuid()


@pytest.fixture
def etc(tmp_path: Path) -> Path:
    """Where root's files are; root is whoever runs the tests."""
    folder = tmp_path / "etc"
    folder.mkdir(mode=0o755)
    return folder


def write(folder: Path, *lines: str, name: str = "kiosk.env", mode: int = 0o644) -> None:
    file = folder / name
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    file.chmod(mode)


def at_once(job: BackgroundJob) -> None:
    job()


def kiosk(tmp_path: Path) -> KioskLimits:
    """Probes and backups below one folder."""
    (tmp_path / "in").mkdir()
    folder = (str(tmp_path / "in"),)
    return KioskLimits(
        True, probes=AllowedFolders("P", folder), backups=AllowedFolders("B", folder)
    )


# -- root's files ---------------------------------------------------------------------------------


def test_the_second_file_of_root_stands_above_the_first(etc: Path, tmp_path: Path) -> None:
    siren = tmp_path / "my siren"
    siren.write_text("#!/bin/sh\n")
    siren.chmod(0o755)
    write(
        etc, "# a word", "PAINTBENCH_PROBE_ROOTS=/sys/devices:/run", "PAINTBENCH_BACKUP_ROOTS=/mnt"
    )
    more = ("PAINTBENCH_PROBE_ROOTS = /srv:here", f"PAINTBENCH_ALARM_COMMAND='{siren}' --loud")
    write(etc, *more, name="kiosk.local.env")
    allowed = kiosk_limits(etc, ME)
    assert allowed.kiosk
    assert allowed.command == (str(siren), "--loud")
    assert allowed.probes == AllowedFolders("PAINTBENCH_PROBE_ROOTS", ("/srv",)), (
        "only whole paths count"
    )
    assert allowed.backups == AllowedFolders("PAINTBENCH_BACKUP_ROOTS", ("/mnt",))
    assert allowed.faults == ()


def test_without_roots_files_a_kiosk_may_use_nothing(etc: Path) -> None:
    assert kiosk_limits(etc, ME) == NOTHING
    assert kiosk_limits(etc / "gone", ME) == NOTHING


def test_a_file_that_somebody_else_owns_or_may_change_is_ignored_and_that_is_said(
    etc: Path,
) -> None:
    write(etc, "PAINTBENCH_ALARM_COMMAND=/bin/true")
    assert kiosk_limits(etc, ME).command == ("/bin/true",)
    for owner, mode, folder_mode in (
        (ME + 1, 0o644, 0o755),
        (ME, 0o664, 0o755),
        (ME, 0o646, 0o755),
        (ME, 0o644, 0o777),
    ):
        (etc / "kiosk.env").chmod(mode)
        etc.chmod(folder_mode)
        allowed = kiosk_limits(etc, owner)
        assert allowed.command == ()
        (fault,) = allowed.faults
        assert "kiosk.env is not used (somebody else could change it): only root" in str(fault)


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("siren", "siren is no whole path"),
        ("/nowhere/siren", "/nowhere/siren is no program"),
        ("/etc/passwd", "/etc/passwd is no program"),
        ("/bin", "/bin is no program"),
        ("/bin/sh -c 'x'", "sh is a shell"),
        ("/bin/true | /bin/cat", "a command with | needs a shell"),
        ("/bin/true 'x", "cannot be read (No closing quotation)"),
    ],
)
def test_roots_own_command_is_a_program_that_is_there(etc: Path, command: str, why: str) -> None:
    write(etc, f"PAINTBENCH_ALARM_COMMAND={command}")
    allowed = kiosk_limits(etc, ME)
    assert allowed.command == ()
    (fault,) = allowed.faults
    assert f"PAINTBENCH_ALARM_COMMAND{'' if 'cannot' in why else ':'} {why}" in str(fault)


# -- the command ----------------------------------------------------------------------------------


def test_a_command_in_the_shops_data_is_run_on_no_kiosk() -> None:
    stored = ("/opt/relay", "on")
    roots = KioskLimits(True, ("/opt/siren",))
    assert alarm_command_to_run(ANYTHING, stored).words == stored
    for allowed, words in ((NOTHING, ()), (roots, ("/opt/siren",))):
        command = alarm_command_to_run(allowed, stored)
        assert command.words == words
        assert "from the shop's data: not run on a kiosk" in str(command.not_run)
        assert "/etc/paintbench/kiosk.local.env" in str(command.not_run)
    assert alarm_command_to_run(roots, ()).not_run is None


def test_an_older_command_that_needs_a_shell_is_run_nowhere_and_the_remedy_is_said() -> None:
    command = alarm_command_to_run(ANYTHING, ("/bin/sh", "-c", "play a"))
    assert command.words == ()
    assert "write it as a script" in str(command.not_run)


def test_on_a_kiosk_a_command_is_not_set_even_to_none(shop: Shop) -> None:
    for command in (["/opt/relay"], []):
        answer = set_alarm(shop.within(NOTHING), "Kit", bell=True, command=command)
        assert isinstance(answer, Refusal)
        assert "PAINTBENCH_ALARM_COMMAND=/PATH" in str(answer)
    assert read_bench(shop).house.bell is False, "half of it is not done either"
    assert isinstance(set_alarm(shop.within(NOTHING), "Kit", bell=True), Outcome)


# -- places ---------------------------------------------------------------------------------------


def test_a_place_holds_what_lies_below_it_once_every_link_is_followed(tmp_path: Path) -> None:
    inside, outside = tmp_path / "in", tmp_path / "inner"
    inside.mkdir()
    outside.mkdir()
    (inside / "escape").symlink_to(outside)
    (outside / "back").symlink_to(inside)
    places = AllowedFolders("P", (str(inside),))
    held = ("in", "in/air", "in/deep/er", "inner/back/air", "in/../in/air")
    not_held = ("inner", "inner/air", "in/../inner/air", "in/escape/air", "in/..", "a\0b")
    assert [path for path in held if not places.hold(tmp_path / path)] == []
    assert [path for path in not_held if places.hold(f"{tmp_path}/{path}")] == []
    assert not AllowedFolders("P").hold("/"), "nothing listed, nothing held"


@pytest.mark.sqlite  # a server keeps its own copies
def test_probes_and_a_second_place_are_taken_only_below_the_places(
    shop: Shop, tmp_path: Path
) -> None:
    here = shop.within(kiosk(tmp_path))
    for wrong in (str(tmp_path / "x"), f"{tmp_path}/in/../x"):
        for answer in (
            set_settings(here, "Kit", probe={"air": wrong}),
            set_settings(here, "Kit", backup_to=wrong),
        ):
            assert isinstance(answer, Refusal)
            assert f"a kiosk uses no file in {wrong}: allowed: {tmp_path}/in; " in str(answer)
    right = str(tmp_path / "in" / "air")
    assert isinstance(set_settings(here, "Kit", probe={"air": right}, backup_to=right), Outcome)
    assert isinstance(set_settings(here, "Kit", probe={"air": ""}, backup_to=""), Outcome)
    assert isinstance(set_settings(shop, "Kit", probe={"air": str(tmp_path / "x")}), Outcome)


def test_a_probe_in_the_shops_data_is_not_read_from_elsewhere(shop: Shop, tmp_path: Path) -> None:
    allowed = kiosk(tmp_path)
    for name in ("in/air", "air"):
        (tmp_path / name).write_text("18.5\n")
    (tmp_path / "in" / "link").symlink_to(tmp_path / "air")
    assert read_probe(str(tmp_path / "in" / "a*"), "air", allowed.probes) == 18.5
    for name in ("air", "a*r", "in/link", "in/li*"):
        assert read_probe(str(tmp_path / name), "air", allowed.probes) == PROBE_OUTSIDE
    polling = ProbePolling(at_once)
    polling.tick(
        shop.within(allowed), Probes({"air": str(tmp_path / "air")}, timedelta(minutes=10))
    )
    assert "air probe: not in a place that root lists" in polling.faults(0.0)[0]
    polling.tick(shop, Probes({"air": str(tmp_path / "air")}, timedelta(minutes=5)))
    assert polling.faults(0.0) == ()


@pytest.mark.sqlite
def test_a_second_place_in_the_shops_data_is_neither_written_to_nor_read_from(
    shop: Shop, data: Path, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    assert isinstance(set_settings(shop, "Kit", backup_to=str(stick)), Outcome)
    assert isinstance(back_up(shop, str(stick), None), Outcome)
    (copy,) = stick.iterdir()
    here, second = shop.within(kiosk(tmp_path)), read_bench(shop).house.second_place
    now, places = shop.clock.now(), here.allowed.backups
    folders = backup_places(
        str(data), second, now, UTC, may_thin=True, most_bytes=MEGABYTE, places=places
    )
    what = folders[1]
    assert back_up_if_due(what).fault == OUTSIDE
    made = back_up(here, "", second)
    assert isinstance(made, Outcome)
    assert made.notes == (f"NOT in {stick}: {OUTSIDE}",)
    assert list(stick.iterdir()) == [copy]
    assert copy in restore.offers(str(data))
    assert copy not in restore.offers(str(data), places)

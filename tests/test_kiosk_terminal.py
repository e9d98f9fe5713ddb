"""The kiosk in a real terminal: no byte of a keyboard ends it, and the service stops it cleanly."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import pytest

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.parts import holds_and_rework, placement
from bench.store.schema.tables import SettingRow
from bench.testing import ManualClock

from .clock_on_file import PLACE, put
from .shop.doing import begin_over
from .terminal import terminal

EVERY_BYTE = [bytes([n]).decode("latin-1") for n in (*range(0x20), 0x7F) if n != 0x1B]
"""What a keyboard sends for ctrl and a letter or sign, but for Escape, which begins other keys."""


def test_in_a_real_terminal_no_control_byte_ends_the_kiosk(today: Path) -> None:
    """ctrl+c, ctrl+z and ctrl+\\ would be signals, ctrl+s and ctrl+q would stop the terminal's flow."""
    with terminal(today, PAINTBENCH_KIOSK="1") as window:
        window.wait_until(lambda p: "6  EMPTY" in p)
        for byte in EVERY_BYTE:
            window.child.send(byte)
        window.press("?")
        window.wait_until(lambda p: "Words" in p or "keys" in p.lower())
        window.press("0")
        window.wait_until(lambda p: "6  EMPTY" in p)
        assert window.child.isalive()


def test_elsewhere_in_a_real_terminal_ctrl_q_ends_it(today: Path) -> None:
    with terminal(today) as window:
        window.wait_until(lambda p: "6  EMPTY" in p)
        window.press("\x11")
        window.child.expect("\\x1b\\[\\?1049l")
        window.child.wait()
        assert window.child.exitstatus == 0


def test_a_kiosk_is_stopped_cleanly_by_whoever_started_it(today: Path) -> None:
    """What the service does at a shutdown: SIGTERM, and the screen is put back."""
    with terminal(today, PAINTBENCH_KIOSK="1") as window:
        window.wait_until(lambda p: "6  EMPTY" in p)
        window.child.kill(15)
        window.child.expect("\\x1b\\[\\?1049l")
        window.child.wait()
        assert window.child.exitstatus == 0


# -- the alarm's command ------------------------------------------------------------------------

ON_FILE = (sys.executable, "-m", "tests.clock_on_file")


@pytest.fixture
def late(shop: Shop, data: Path, clock: ManualClock, tmp_path: Path) -> dict[str, str]:
    """A wash past its longest, a command in the data as an import would leave it, and the clock."""
    assert isinstance(placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket"), Outcome)
    for _ in range(2):
        assert isinstance(holds_and_rework.skip(shop, 2, "Kit", "already done"), Outcome)
    assert isinstance(begin_over(shop, 2, "Kit", "measured at the part"), Outcome)
    script = tmp_path / "shell"
    script.write_text(f"#!/bin/sh\n: > {tmp_path}/marker\n")
    script.chmod(0o755)
    with shop.store.writing() as session:
        row = session.get(SettingRow, "house")
        assert row is not None
        row.value = {**row.value, "alarm_command": [str(script)]}
        session.add(row)
        session.commit()
    shop.store.close()
    put(clock.now() + timedelta(minutes=16), 0, tmp_path / "clock")
    return {PLACE: str(tmp_path / "clock")}


def test_on_a_kiosk_no_command_from_the_keys_or_the_data_is_run(
    late: dict[str, str], data: Path, tmp_path: Path
) -> None:
    """Slash, 8, 5, 8, 2 lead to the command; an alarm that stands is told at once after a start."""
    marker = tmp_path / "marker"
    with terminal(data, program=ON_FILE, PAINTBENCH_KIOSK="1", **late) as window:
        window.wait_until(lambda p: "from the shop's data: not run on a kiosk" in p)
        for key in "/8582":
            window.press(key)
        window.wait_until(lambda p: "on a kiosk no alarm command is typed" in p)
    with terminal(data, program=ON_FILE, PAINTBENCH_KIOSK="1", **late) as window:
        window.wait_until(lambda p: "from the shop's data: not run on a kiosk" in p)
    assert not marker.exists()
    with terminal(data, program=ON_FILE, **late) as window:
        window.wait_until(lambda _: marker.exists())

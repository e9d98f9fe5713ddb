"""The kiosk in a real terminal: no byte of a keyboard ends it, and the service stops it cleanly."""

from __future__ import annotations

from pathlib import Path

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

"""Wrong PINs as the data keeps them: how many of a painter since the last right one."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from bench.process.refusals.refusal import Refusal
from bench.shop.people.pins import WrongPins
from bench.store.databases.database import Session
from bench.store.log.pin_marks import PIN_SET
from bench.store.queries import bench_rows
from bench.store.schema.tables import SettingRow

WRONG_PINS = "wrong PINs"
"""The setting: by painter how many, under which start of the computer, and how long that was on."""

WRONG_PIN, RIGHT_PIN = "wrong PIN", "right PIN"
"""The actions of the log entries that count one more, and begin the count again."""


def has_pin(pin_hash: str) -> bool:
    """Say whether a painter has a PIN here, of what the table keeps."""
    return bool(pin_hash) and pin_hash != PIN_SET


def refuse_old_pin(painter: str) -> Refusal:
    """Refuse to sign for a painter whose PIN stayed where the data came from."""
    return Refusal(
        f"{painter} had a PIN where this data came from; no PIN travels in an export",
        "",
        f"set a new one first: paintbench pin --by {painter}, or / and set-up on the bench",
    )


def wrong_pins(session: Session, painter: str) -> WrongPins | None:
    """Find the wrong PINs of a painter since the last right one."""
    setting: Any = bench_rows.setting(session, WRONG_PINS) or {"of": {}}
    return WrongPins(**setting["of"][painter]) if painter in setting["of"] else None


def keep_wrong_pins(session: Session, painter: str, wrong: WrongPins | None) -> None:
    """Put them where ``wrong_pins`` finds them; None: there are none."""
    row = session.get(SettingRow, WRONG_PINS) or SettingRow(key=WRONG_PINS, value={"of": {}})
    others = {name: count for name, count in row.value["of"].items() if name != painter}
    row.value = {"of": others if wrong is None else {**others, painter: asdict(wrong)}}
    session.add(row)

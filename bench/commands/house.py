"""The shop's own settings, and what its probes say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bench.commands.call import Call
from bench.commands.plain import cut, shown, write_json, write_line
from bench.process.probe import Fault, Measured, Probes
from bench.process.refusal import Refusal
from bench.process.setting_list import SETTINGS, Kind
from bench.shop.acting import Done
from bench.shop.house import set_house
from bench.shop.probe import NO_ANSWER_S, Said, said_now
from bench.shop.sight import look

WAIT_S = NO_ANSWER_S


def shop(call: Call, by: str) -> Done | Refusal:
    """Set what is given of the shop's settings."""
    given: dict[str, Any] = {"probe": {}}
    for each in SETTINGS:
        typed = getattr(call.args, each.option.replace("-", "_"), None) if each.option else None
        if typed is not None:
            into = given[each.inside] if each.inside else given
            into[each.key] = _value(each.kind, typed)
    return set_house(call.shop, by, **given)


def _value(kind: Kind, typed: Any) -> Any:
    """What an option says, as the setting is handed in."""
    if kind == "yes":
        return typed == "yes"
    if kind == "folder":
        return typed and str(Path(typed).expanduser().absolute())
    return float(typed) if kind == "minutes" else typed


def probe(call: Call) -> Refusal | None:
    """What each probe says now. Nothing is written down."""
    probes = look(call.shop).house.probes
    if probes is None:
        return Refusal("no probe is set", "", "paintbench shop --air-probe PATH")
    said = said_now(probes, WAIT_S)
    if call.args.json:
        write_json(call.out, _data(probes, said))
        return None
    for what, path in probes.paths.items():
        write_line(call.out, f"{what:<9} {cut(_words(what, said[what]), 34)} {shown(path)}")
    return None


def _words(what: Measured, said: Said) -> str:
    if isinstance(said, Fault):
        return f"FAULT: {said.words}"
    return f"{said:.1f} {'%' if what == 'humidity' else 'C'}"


def _data(probes: Probes, said: dict[Measured, Said]) -> dict[str, Any]:
    return {
        "every_min": probes.every.total_seconds() / 60,
        "probes": [
            {
                "probe": what,
                "path": path,
                "value": None if isinstance(said[what], Fault) else said[what],
                "unit": "%" if what == "humidity" else "C",
                "fault": _fault(said[what]),
            }
            for what, path in probes.paths.items()
        ],
    }


def _fault(said: Said) -> str | None:
    return said.words if isinstance(said, Fault) else None

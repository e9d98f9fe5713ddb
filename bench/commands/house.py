"""The shop's own settings, and what its probes say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bench.commands.call import Call
from bench.commands.plain import cut, shown, write_json, write_line
from bench.process.probe import MEASURED, Fault, Measured, Probes
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.house import set_house
from bench.shop.probe import NO_ANSWER_S, Said, said_now
from bench.shop.sight import look

WAIT_S = NO_ANSWER_S


def shop(call: Call, by: str) -> Done | Refusal:
    """Set the usual night and day, the hours and holidays, the probes, the units."""
    args = call.args
    paths = {what: getattr(args, f"{what}_probe") for what in MEASURED}
    return set_house(
        call.shop,
        by,
        night_c=args.night,
        day_c=args.day,
        week=args.hours,
        probe={what: path for what, path in paths.items() if path is not None},
        probe_every_min=None if args.probe_every is None else float(args.probe_every),
        units=args.units,
        theme=args.theme,
        far_after_min=None if args.far_after is None else float(args.far_after),
        holidays=args.holiday or (),
        no_holidays=args.no_holiday or (),
        clearance_min=None if args.clearance is None else args.clearance / 60,
        measured_by=args.measured_by,
        measured_on=args.measured_on,
        cup_ml=args.cup,
        cup_step_ml=args.cup_step,
        always_in=None if args.always_in is None else args.always_in == "yes",
        backup_to=args.backup_to and str(Path(args.backup_to).expanduser().absolute()),
    )


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

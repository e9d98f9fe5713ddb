"""What the shop's probes say now."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, shown
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.environment.probe_text import Fault, ProbeQuantity, Probes
from bench.shop.environment.probes import NO_ANSWER_S, ProbeAnswer, said_now

WAIT_S = NO_ANSWER_S


def probe(call: Call) -> Report | Refusal:
    """Report what each probe says now. Nothing is written down."""
    probes = read_bench(call.shop).house.probes
    if probes is None:
        return Refusal("no probe is set", "", "paintbench shop --air-probe PATH")
    said = said_now(probes, WAIT_S)
    return Report(_data(probes, said), _lines(probes, said))


def _lines(probes: Probes, said: dict[ProbeQuantity, ProbeAnswer]) -> Iterator[str]:
    for what, path in probes.paths.items():
        yield f"{what:<9} {cut(_words(what, said[what]), 34)} {shown(path)}"
        if isinstance(fault := said[what], Fault):
            yield f"{'':<9} {fault.remedy}"


def _words(what: ProbeQuantity, said: ProbeAnswer) -> str:
    if isinstance(said, Fault):
        return f"FAULT: {said.words}"
    return f"{said:.1f} {'%' if what == 'humidity' else 'C'}"


def _data(probes: Probes, said: dict[ProbeQuantity, ProbeAnswer]) -> dict[str, Any]:
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


def _fault(said: ProbeAnswer) -> str | None:
    return said.words if isinstance(said, Fault) else None

"""What the shop's probes say now."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, plain
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.environment.probe_text import ProbeFault, ProbeQuantity, Probes
from bench.shop.environment.probes import NO_ANSWER_S, ProbeAnswer, ask_probes

WAIT_S = NO_ANSWER_S


def probe(call: Call) -> Report | Refusal:
    """Report what each probe says now. Nothing is written down."""
    probes = read_bench(call.shop).house.probes
    if probes is None:
        return Refusal("no probe is set", "", "paintbench shop --air-probe PATH")
    answers = ask_probes(probes, WAIT_S)
    return Report(_data(probes, answers), _lines(probes, answers))


def _lines(probes: Probes, answers: dict[ProbeQuantity, ProbeAnswer]) -> Iterator[str]:
    for quantity, path in probes.paths.items():
        yield f"{quantity:<9} {cut(_words(quantity, answers[quantity]), 34)} {plain(path)}"
        if isinstance(fault := answers[quantity], ProbeFault):
            yield f"{'':<9} {fault.remedy}"


def _words(quantity: ProbeQuantity, answer: ProbeAnswer) -> str:
    if isinstance(answer, ProbeFault):
        return f"FAULT: {answer.words}"
    return f"{answer:.1f} {'%' if quantity == 'humidity' else 'C'}"


def _data(probes: Probes, answers: dict[ProbeQuantity, ProbeAnswer]) -> dict[str, Any]:
    return {
        "every_min": probes.every.total_seconds() / 60,
        "probes": [
            {
                "probe": quantity,
                "path": path,
                "value": None if isinstance(answers[quantity], ProbeFault) else answers[quantity],
                "unit": "%" if quantity == "humidity" else "C",
                "fault": _fault(answers[quantity]),
            }
            for quantity, path in probes.paths.items()
        ],
    }


def _fault(answer: ProbeAnswer) -> str | None:
    return answer.words if isinstance(answer, ProbeFault) else None

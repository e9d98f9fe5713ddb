"""The instruments a surface is measured with."""

from __future__ import annotations

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import ascii_only
from bench.process.stock.instruments import due_words, instrument_words
from bench.shop.core.bench_view import read_bench
from bench.shop.stock.instruments import instruments as every_instrument


def instruments(call: Call) -> Report:
    """Report every instrument that is in use, when it was calibrated, and whose check is due."""
    there = [each for each in every_instrument(call.shop) if not each.gone]
    today = read_bench(call.shop).local(call.shop.clock.now()).date()
    lines = []
    for each in there:
        lines.append(ascii_only(instrument_words(each)))
        if due := due_words(each, today):
            lines.append(f"  {ascii_only(due)}")
    data = [
        {
            **{name: getattr(each, name) for name in ("name", "kind", "number", "error")},
            "calibrated": each.calibrated.isoformat() if each.calibrated else None,
            "check_by": each.check_by.isoformat() if each.check_by else None,
            "check_due": bool(due_words(each, today)),
        }
        for each in there
    ]
    return Report({"instruments": data}, lines or ["none: paintbench instrument add --help"])

"""What is recorded about a painter, from the command line."""

from __future__ import annotations

from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.painters import set_trained

TRAINED = {"yes": True, "no": False, "unknown": None}


def painter(call: Call, by: str) -> Done | Refusal:
    """Record whether a painter is trained for isocyanate; PAINTBENCH_PIN signs it."""
    return set_trained(call.shop, by, call.args.painter, TRAINED[call.args.trained])

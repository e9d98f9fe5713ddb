"""Whether an alarm is heard."""

from __future__ import annotations

from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.house import set_alarm


def alarm(call: Call, by: str) -> Done | Refusal:
    """Set the bell and the shop's own command."""
    args = call.args
    bell = None if args.bell is None else args.bell == "on"
    return set_alarm(call.shop, by, bell=bell, command=args.command_words)

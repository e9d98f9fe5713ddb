"""A painter's PIN from the command line: never as a word that others see in a list of programs."""

from __future__ import annotations

import sys
from getpass import getpass

from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.painters import set_pin


def pin(call: Call, by: str) -> Done | Refusal:
    """Give a PIN, or take it away with an empty line; PAINTBENCH_PIN signs with the old one."""
    if sys.stdin.isatty():
        typed = getpass("New PIN, four figures (Enter alone: none): ")
        if typed != getpass("The same again: "):
            return Refusal("the two PINs are not the same", "", "try again")
    else:
        typed = sys.stdin.readline().strip()
    return set_pin(call.shop, by, typed)

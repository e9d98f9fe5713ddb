"""Lots on the command line."""

from __future__ import annotations

from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.shop import lots
from bench.shop.acting import Done


def split(call: Call, by: str) -> Done | Refusal:
    """Some pieces of a lot become a lot of their own."""
    return lots.split(call.shop, call.target, by, call.args.count, stand=call.args.to)


def merge(call: Call, by: str) -> Done | Refusal:
    """Another lot is put with this one."""
    return lots.merge(call.shop, call.target, by, call.args.other)


def count(call: Call, by: str) -> Done | Refusal:
    """Bungs and contact points are counted."""
    args = call.args
    return lots.count_points(
        call.shop,
        call.target,
        by,
        bungs_in=args.bungs_in,
        bungs_out=args.bungs_out,
        contacts=args.contacts,
        contacts_done=args.touched_up,
    )

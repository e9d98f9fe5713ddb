"""Keeping the shop's data: out of it, and into a new place."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from bench.commands.call import Call, Placing
from bench.commands.plain import write_json, write_line
from bench.commands.status import iso
from bench.process.refusal import Refusal
from bench.settings import on_a_server
from bench.shop import backup as copies
from bench.shop import restore as restoring
from bench.shop.acting import Done
from bench.shop.backup import ON_A_SERVER, back_up
from bench.shop.data import open_data
from bench.shop.restore import Offer
from bench.shop.sight import look

STANDARD = "-"
"""In the place of a file: the standard output, or input."""


def backup(call: Call) -> Done | Refusal:
    """A copy made now."""
    return back_up(call.shop, call.args.to, look(call.shop).house.second_place)


def backups(call: Placing) -> Refusal | None:
    """Every copy there is, newest first. The data itself may be damaged, or gone."""
    if on_a_server(call.place):
        return ON_A_SERVER
    found = [restoring.offer(call.place, path) for path in restoring.offers(call.place)]
    if call.args.json:
        write_json(call.out, {"backups": [_data(one) for one in found]})
        return None
    if not found:
        return Refusal("there is no backup", str(Path(call.place).parent), "paintbench backup")
    for one in found:
        if isinstance(one, Refusal):
            write_line(call.out, f"{one}")
        else:
            write_line(call.out, f"{one.file}")
            write_line(call.out, f"    {restoring.upto_words(one)}; {restoring.missing_words(one)}")
    return None


def _data(one: Offer | Refusal) -> dict[str, Any]:
    if isinstance(one, Refusal):
        return {"good": False, "why": str(one)}
    last = one.contents.last
    return {
        "good": True,
        "file": str(one.file),
        "line": last.number if last else 0,
        "at": iso(last.at) if last else None,
        "missing": len(one.missing),
        "missing_known": one.known and not one.other,
    }


def restore(call: Placing) -> Done | Refusal:
    """A copy put in the place of the data, after it was said what would be missing."""
    if on_a_server(call.place):
        return ON_A_SERVER
    offer = restoring.offer(call.place, Path(call.args.file))
    if isinstance(offer, Refusal):
        return offer
    if offer.loses and not call.args.yes:
        return Refusal(
            restoring.missing_words(offer), str(offer.file), "add --yes; what is there now is kept"
        )
    return restoring.restore(call.place, offer.file, call.clock, call.terminal)


def export(call: Call) -> Done | Refusal | None:
    """The whole shop as one JSON text."""
    if call.args.file == STANDARD:
        copies.export_shop(call.shop, call.out)
        return None
    return copies.export_to(call.shop, Path(call.args.file))


def bring_in(call: Placing) -> Done | Refusal:
    """Fill a new place with an export. What cannot be read is refused before one is made."""
    file = call.args.file
    try:
        raw = sys.stdin.buffer.read() if file == STANDARD else Path(file).read_bytes()
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        return Refusal(f"{file} cannot be read", why, "nothing was changed")
    name = "what came in" if file == STANDARD else file
    whole = copies.read_export(raw, name)
    if isinstance(whole, Refusal):
        return whole
    shop = open_data(call.place, call.clock, call.terminal, may_be_new=True)
    if isinstance(shop, Refusal):
        return shop
    try:
        return copies.import_shop(shop, whole)
    finally:
        shop.store.close()

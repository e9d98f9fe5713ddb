"""Commands that look back: the sheet of a part, and looking one up."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bench.commands.call import Call
from bench.commands.plain import json_text
from bench.commands.status import iso
from bench.process.refusal import Refusal
from bench.process.ringing import Ring
from bench.records.as_ical import ical
from bench.records.forms import FORMS, write_file
from bench.shop.partsheet import sheet_of
from bench.shop.ringing import Ringing, ringing


def sheet(call: Call) -> Refusal | None:
    """The record of one part, in one of its forms."""
    found = sheet_of(call.shop, call.target)
    if isinstance(found, Refusal):
        return found
    form = "json" if call.args.json else call.args.form
    return out(call, FORMS[form].write(found))


def calendar(call: Call) -> Refusal | None:
    """What is ahead of one part or of the bench, for a phone."""
    args = call.args
    target = None if args.stand is None and args.tag is None else call.target
    found = ringing(call.shop, target)
    if isinstance(found, Refusal):
        return found
    if args.json:
        return out(
            call, json_text({"clock": _clock(found), "rings": [_ring(r) for r in found.rings]})
        )
    return out(call, ical(found))


def _clock(found: Ringing) -> str:
    return "wrong" if found.doubtful else "ok"


def _ring(ring: Ring) -> dict[str, Any]:
    return {"kind": ring.kind, "at": iso(ring.at), "title": ring.title, "told": ring.told}


def out(call: Call, told: str) -> Refusal | None:
    """Into the file that was named, or on the terminal."""
    if call.args.out:
        return write_file(Path(call.args.out), told)
    encoding = getattr(call.out, "encoding", None) or "utf-8"
    call.out.write(told.encode(encoding, "backslashreplace").decode(encoding))
    return None

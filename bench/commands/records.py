"""Commands that look back: the sheet of a part, and looking one up."""

from __future__ import annotations

from pathlib import Path

from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.records.forms import FORMS, write_file
from bench.shop.partsheet import sheet_of


def sheet(call: Call) -> Refusal | None:
    """The record of one part, in one of its forms."""
    found = sheet_of(call.shop, call.target)
    if isinstance(found, Refusal):
        return found
    form = "json" if call.args.json else call.args.form
    return out(call, FORMS[form].write(found))


def out(call: Call, told: str) -> Refusal | None:
    """Into the file that was named, or on the terminal."""
    if call.args.out:
        return write_file(Path(call.args.out), told)
    encoding = getattr(call.out, "encoding", None) or "utf-8"
    call.out.write(told.encode(encoding, "backslashreplace").decode(encoding))
    return None

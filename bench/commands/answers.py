"""Which function answers which command word."""

from __future__ import annotations

from collections.abc import Callable

from bench.commands import lists, mixing, work
from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.shop.acting import Done

READERS: dict[str, Callable[[Call], Refusal | None]] = {
    "status": lists.status,
    "journal": lists.journal,
    "check": lists.check_data,
    "products": lists.products,
    "routes": lists.routes,
    "shapes": lists.shapes,
}

WRITERS: dict[str, Callable[[Call, str], Done | Refusal]] = {
    "place": work.place,
    "begin": work.begin,
    "finish": work.finish,
    "pass": work.pass_test,
    "not-yet": work.not_yet,
    "join": work.join,
    "another-coat": work.another_coat,
    "move": work.move,
    "take-off": work.take_off,
    "hold": work.hold,
    "release": work.release,
    "skip": work.skip,
    "rework": work.rework,
    "earlier": work.earlier,
    "undo": work.take_back,
    "mix": mixing.mix,
    "bin": mixing.bin_pot,
    "reading": mixing.reading,
}

"""The data as a whole: a shop opened, the demo, copies made and put back, exports."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from bench.commands.core.call import Call, DataCall
from bench.commands.core.console import Report
from bench.commands.core.input_files import STANDARD, bytes_of, no_regular_file
from bench.commands.core.plain_text import write_line
from bench.commands.reports.bench_data import iso
from bench.process.calendar.demo_start import MORNING
from bench.process.refusals.refusal import Refusal
from bench.settings import on_a_server, place_words
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data import backups as copies
from bench.shop.data import missing_entries
from bench.shop.data import restore as restoring
from bench.shop.data.backups import ON_A_SERVER, back_up
from bench.shop.data.missing_entries import MissingEntries
from bench.shop.data.opening import fill_new, why_not_new
from bench.shop.data.restore import RestoreOffer
from bench.shop.seeds import seed_files
from bench.shop.seeds.demo import open_demo
from bench.shop.seeds.first_start import is_new, open_shop
from bench.shop.seeds.throwaway_demo import throwaway_demo


def open_new(call: Call) -> Outcome | Refusal:
    """Open a new shop with its painters and stands."""
    try:
        stock = seed_files.load(seed_files.folder())
    except seed_files.BadSeed as fault:
        return Refusal(str(fault))
    return open_shop(call.shop, stock, call.args.painters, call.args.stands)


def demo(call: DataCall) -> int | Outcome | Refusal:
    """Show a throwaway demo shop on the screen; with --db write one into a new file, to keep."""
    console, starts = call.console, call.args.at
    try:
        if call.args.db and starts is not None:
            remedy = "a file goes by this computer's clock: leave out --at, or --db"
            return Refusal("--at is for the demo on the screen", "", remedy)
        if call.args.db:
            return _keep_demo(call)
        waits = partial(write_line, console.err)
        shop = throwaway_demo(console.clock, starts or MORNING, waits)
    except seed_files.BadSeed as fault:
        return Refusal(str(fault))
    if isinstance(shop, Refusal):
        return shop
    try:
        return console.start(shop, demo=True)
    finally:
        shop.store.close()


def _keep_demo(call: DataCall) -> Outcome | Refusal:
    """Write the demo shop into a new file, so that the command line can be tried on it."""
    where = place_words(call.place)

    def fill(shop: Shop) -> Outcome | Refusal:
        if not is_new(shop):
            return Refusal("there is a shop here already", where, "nothing was changed")
        try:
            return open_demo(shop, seed_files.folder())
        except seed_files.BadSeed as fault:
            return Refusal(str(fault))

    opened = why_not_new(call.place) or fill_new(
        call.place, call.console.clock, call.console.terminal, fill
    )
    if isinstance(opened, Refusal):
        return opened
    look_at_it = f"paintbench --db {shlex.quote(where)} status"
    return Outcome(f"the demo shop is in {where}", notes=(look_at_it,))


def backup(call: Call) -> Outcome | Refusal:
    """Make a copy now."""
    return back_up(call.shop, call.args.to, read_bench(call.shop).house.second_place)


def backups(call: DataCall) -> Report | Refusal:
    """Report every copy there is, newest first. The data itself may be damaged, or gone."""
    if on_a_server(call.place):
        return ON_A_SERVER
    files = restoring.offers(call.place)
    copies = [restoring.offer_of(call.place, path) for path in files]
    if not copies and not call.args.json:
        return Refusal("there is no backup", str(Path(call.place).parent), "paintbench backup")
    further = missing_entries.missing_entries(call.place, everywhere=True)
    room = restoring.room_of(call.place, files)
    data = {"backups": [_data(copy) for copy in copies], "room": room}
    return Report(data, _lines(copies, further, room))


def _lines(
    copies: list[RestoreOffer | Refusal], further: MissingEntries | None, room: str
) -> Iterator[str]:
    if further:
        yield f"{further.words}: {further.remedy}"
    for copy in copies:
        if isinstance(copy, Refusal):
            yield str(copy)
        else:
            yield str(copy.file)
            beyond = f", {copy.further} further than the data" if copy.further else ""
            yield f"    {restoring.upto_words(copy)}{beyond}; {restoring.missing_words(copy)}"
    if room:
        yield room


def _data(offer: RestoreOffer | Refusal) -> dict[str, Any]:
    if isinstance(offer, Refusal):
        return {"good": False, "why": str(offer)}
    last = offer.contents.last
    return {
        "good": True,
        "file": str(offer.file),
        "line": last.number if last else 0,
        "at": iso(last.at) if last else None,
        "missing": len(offer.missing),
        "further": offer.further,
        "missing_known": offer.known and not offer.other,
    }


def restore(call: DataCall) -> Outcome | Refusal:
    """Replace the data by a copy, after it was said what would be missing."""
    if on_a_server(call.place):
        return ON_A_SERVER
    file = Path(call.args.file)
    if refused := no_regular_file(call.args.file) or restoring.too_large(call.place, file):
        return refused
    offer = restoring.offer_of(call.place, file)
    if isinstance(offer, Refusal):
        return offer
    if offer.loses and not call.args.yes:
        return Refusal(
            restoring.missing_words(offer), str(offer.file), "add --yes; what is there now is kept"
        )
    return restoring.restore(call.place, offer.file, call.console.clock, call.console.terminal)


def keep_data(call: Call) -> Outcome | Refusal:
    """Answer that the data is right as it is, though a backup goes further."""
    return missing_entries.accept_shorter_data(call.shop)


def export(call: Call) -> Outcome | Refusal | None:
    """Write the whole shop as one JSON text."""
    args = call.args
    how = {"without_names": args.without_names, "damaged_too": args.damaged_too}
    if args.file == STANDARD:
        return copies.export_shop(call.shop, call.out, **how)
    return copies.export_to(call.shop, Path(args.file), **how)


def bring_in(call: DataCall) -> Outcome | Refusal:
    """Fill a new place with an export. What cannot be read is refused before one is made."""
    file = call.args.file
    raw = bytes_of(file, copies.MOST_EXPORT_BYTES, copies.may_be_export)
    if isinstance(raw, Refusal):
        return replace(raw, remedy=f"{raw.remedy}; nothing was changed")
    name = "what came in" if file == STANDARD else file
    whole = copies.read_export(raw, name)
    if isinstance(whole, Refusal):
        return whole
    return fill_new(
        call.place,
        call.console.clock,
        call.console.terminal,
        lambda shop: copies.import_shop(shop, whole, damaged_too=call.args.damaged_too),
    )

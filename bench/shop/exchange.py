"""Taking the whole shop out as one JSON text, and bringing one in."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TextIO

from bench.process.refusal import Refusal
from bench.shop.acting import Done, Shop
from bench.shop.files import kept_by, only_new
from bench.store import check, exchange
from bench.store.backup import BackupFault, made_whole
from bench.store.exchange import NotReadable, Whole

__all__ = ["Whole", "export_shop", "export_to", "import_shop", "read_export"]


def export_shop(shop: Shop, out: TextIO) -> int:
    """Write the whole shop, journal included; answers how many lines that has."""
    return exchange.write(shop.store, out)


def export_to(shop: Shop, file: Path) -> Done | Refusal:
    """Write the whole shop to a file that is not there yet."""
    if refused := only_new(file, kept_by(shop)):
        return refused
    try:
        with (
            made_whole(file.absolute()) as part,
            part.open("x", encoding="ascii", newline="\n") as out,
        ):
            lines = export_shop(shop, out)
    except BackupFault as fault:
        return Refusal("the export could not be written", f"{file}: {fault}", "give another path")
    return Done(f"the whole shop is in {file}: {lines} lines of the journal")


def read_export(raw: bytes, name: str) -> Whole | Refusal:
    """An export as it was read from somewhere. name: where from."""
    try:
        return exchange.read(io.TextIOWrapper(io.BytesIO(raw), encoding="utf-8-sig").read())
    except (NotReadable, UnicodeDecodeError) as fault:
        why = str(fault) if isinstance(fault, NotReadable) else "it is no text"
        return Refusal(f"{name} cannot be brought in", why, "nothing was changed")


def import_shop(shop: Shop, whole: Whole) -> Done | Refusal:
    """Fill an empty shop with an export, all of it or nothing."""
    try:
        with shop.store.writing() as session:
            if not exchange.is_empty(session):
                return Refusal(
                    "there is a shop here already",
                    "",
                    "give a new place with --db; nothing was changed",
                )
            exchange.fill(session, whole)
            session.commit()
    except NotReadable as fault:
        return Refusal("it cannot be brought in", str(fault), "nothing was changed")
    notes = (
        ("its journal and its tables differ: paintbench check",) if check.faults(shop.store) else ()
    )
    return Done(f"the shop is brought in: {whole.lines} lines of the journal", notes=notes)

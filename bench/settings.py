"""What the environment says: where the shop's data is, and what kind of terminal this is."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path


def data_place(given: str | None, environment: Mapping[str, str]) -> str:
    """The database: --db first, then PAINTBENCH_DB, then the XDG data directory."""
    if given:
        return given
    if environment.get("PAINTBENCH_DB"):
        return environment["PAINTBENCH_DB"]
    home = environment.get("XDG_DATA_HOME")
    root = Path(home) if home else Path.home() / ".local" / "share"
    return str(root / "paintbench" / "shop.db")


def is_kiosk(environment: Mapping[str, str]) -> bool:
    """Whether the terminal is the bench's alone: PAINTBENCH_KIOSK, and not 0, no, off or false.

    A word that means nothing here counts as yes: a slip of the pen must not open a shell.
    """
    said = environment.get("PAINTBENCH_KIOSK", "").strip().lower()
    return said not in ("", "0", "no", "off", "false")


def on_a_server(place: str) -> bool:
    """Whether a place is the address of a database and no path."""
    return "://" in place


def place_words(place: str) -> str:
    """A place as it is shown and written down: an address without its password and its options."""
    if not on_a_server(place):
        return place
    scheme, _, rest = place.partition("://")
    name, at, address = rest.partition("@")
    # Whatever else is there may be a part of a password: an @ in it, or one without a host.
    address = (address if at else rest).partition("?")[0].rpartition("@")[2]
    host, slash, database = address.partition("/")
    whole = host.rpartition(":")[2].isdecimal() or host.endswith("]")
    name = f"{name.partition(':')[0]}@" if at else ""
    return f"{scheme}://{name}{host if whole else host.partition(':')[0]}{slash}{database}"


def terminal_name(environment: Mapping[str, str]) -> str:
    """What the journal calls this terminal."""
    return environment.get("PAINTBENCH_TERMINAL") or f"{os.uname().nodename[:20]}"

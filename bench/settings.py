"""What the environment says: where the shop's data is, and what kind of terminal this is."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

TRUE_COLOUR = 1 << 24

Glyphs = Literal["ascii", "console", "full"]
"""Plain ASCII; what the Linux console's fonts have besides; all we draw with."""


def data_place(db_option: str | None, environment: Mapping[str, str]) -> str:
    """Return the database: --db first, then PAINTBENCH_DB, then the XDG data directory."""
    if db_option:
        return db_option
    if environment.get("PAINTBENCH_DB"):
        return environment["PAINTBENCH_DB"]
    home = environment.get("XDG_DATA_HOME")
    root = Path(home) if home else Path.home() / ".local" / "share"
    return str(root / "paintbench" / "shop.db")


def sheets_folder(place: str | None, environment: Mapping[str, str]) -> Path:
    """Return where the screen writes sheets: beside the data, or where a file of it would be."""
    file = place or data_place(None, {**environment, "PAINTBENCH_DB": ""})
    return Path(file).absolute().parent / "sheets"


def is_kiosk(environment: Mapping[str, str]) -> bool:
    """Say whether the terminal is the bench's alone: PAINTBENCH_KIOSK, not 0, no, off or false.

    A word that means nothing here counts as yes: a slip of the pen must not open a shell.
    """
    answer = environment.get("PAINTBENCH_KIOSK", "").strip().lower()
    return answer not in ("", "0", "no", "off", "false")


def on_a_server(place: str) -> bool:
    """Say whether a place is the address of a database and no path."""
    return "://" in place


def place_words(place: str) -> str:
    """Return a place as it is shown and written down: without its password and its options."""
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
    """Return what the log calls this terminal."""
    return environment.get("PAINTBENCH_NAME") or f"{os.uname().nodename[:20]}"


@dataclass(frozen=True)
class Profile:
    """Say what a terminal can show. colours: none, 16, 256 or TRUE_COLOUR. unknown: a word that was
    said of it and means nothing here."""

    colours: int
    glyphs: Glyphs
    unknown: str = ""


FULL = Profile(TRUE_COLOUR, "full")
FORCED = {"console": Profile(16, "console"), "plain": Profile(0, "ascii"), "full": FULL}
"""What PAINTBENCH_TERMINAL may say. It stands above everything the environment says else."""

_WITHOUT_COLOUR = ("", "dumb", "unknown", "vt52", "vt100", "vt102", "vt220", "vt320", "vt420")
_COERCED = ("C.UTF-8", "C.utf8", "UTF-8")
"""What Python itself writes into LC_CTYPE where the locale is C (PEP 538)."""


def terminal_profile(environment: Mapping[str, str], encoding: str) -> Profile:
    """Say what the terminal can show, by the environment alone; the terminal is not asked.

    encoding: of the stream that is drawn on. Outside UTF-8 nothing but ASCII is drawn, whatever is
    said.
    """
    utf8 = encoding.lower().replace("-", "").replace("_", "") == "utf8"
    forced_name = environment.get("PAINTBENCH_TERMINAL", "").strip().lower()
    if (forced := FORCED.get(forced_name)) is not None:
        return Profile(forced.colours, forced.glyphs if utf8 else "ascii")
    term = environment.get("TERM", "").lower()
    glyphs: Glyphs = "console" if term.startswith("linux") else "full"
    if not utf8 or _in_c(environment):
        glyphs = "ascii"
    return Profile(_colours(environment, term), glyphs, forced_name)


def _colours(environment: Mapping[str, str], term: str) -> int:
    """Count the colours: 0 if NO_COLOR is not empty (no-color.org), else by TERM, COLORTERM."""
    if environment.get("NO_COLOR") or term in _WITHOUT_COLOUR or term.endswith("-m"):
        return 0
    if term.startswith("linux"):
        return 16
    if environment.get("COLORTERM", "").lower() in ("truecolor", "24bit") or "direct" in term:
        return TRUE_COLOUR
    return 256 if "256color" in term else 16


def _in_c(environment: Mapping[str, str]) -> bool:
    """Say whether the locale is C or POSIX, also where Python itself made it one of UTF-8."""
    everything, signs, language = (environment.get(n, "") for n in ("LC_ALL", "LC_CTYPE", "LANG"))
    locale = everything or ("" if signs in _COERCED else signs) or language
    return locale in ("", "C", "POSIX")

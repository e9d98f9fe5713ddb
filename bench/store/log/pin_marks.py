"""What may be read of a PIN outside its table: whether there is one, and never its hash.

Four figures are guessed from any hash: there are only ten thousand of them. So the hash stays in
the table of painters; the log, an export and what is brought in from one say only ``PIN_SET``.
"""

from __future__ import annotations

from typing import Any

from bench.store.schema.tables import Painter

PIN_SET = "set"
"""Instead of a hash. In the table itself: the painter had a PIN where the data came from."""

SIDES = ("before", "after")

PAINTERS = str(Painter.__tablename__)


def without_hash(picture: dict[str, Any]) -> dict[str, Any]:
    """Give a painter's row as plain values without the hash of the PIN."""
    return {**picture, "pin": PIN_SET} if picture.get("pin") else picture


def changes_without_hash(changes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Give a log entry's row images without the hash of any PIN."""
    return [
        {**change, **{side: without_hash(change[side]) for side in SIDES if change.get(side)}}
        if change["table"] == PAINTERS
        else change
        for change in changes
    ]

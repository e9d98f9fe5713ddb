"""What a person typed, fit to be kept and shown: plain letters, and not too many."""

from __future__ import annotations

import unicodedata
from itertools import groupby

from bench.process.refusal import Refusal

MOST_NAME = 60
"""Longest name or reason kept; longer ones do not fit a stand."""

MOST_MARKS = 3
"""As many as any living script puts on one letter; more climb into the lines above."""


def clean_name(text: str, what: str, most: int = MOST_NAME) -> str | Refusal:
    """The text without stray spaces, or why not: empty, too long, control characters.

    Letters come composed (Unicode's NFC), and none wears more than MOST_MARKS marks.
    """
    name = unicodedata.normalize("NFC", " ".join(word for word in text.split(" ") if word))
    if not name:
        return Refusal(f"{what} is empty", "", "type at least one letter")
    if len(name) > most:
        return Refusal(f"{what} is too long", f"{len(name)} characters", f"at most {most}")
    odd = [c for c in name if not c.isprintable()]
    if odd:
        return Refusal(
            f"{what} has a control character", repr(odd[0]), "use letters and figures only"
        )
    marks = [len(list(run)) for on, run in groupby(name, unicodedata.combining) if on]
    if max(marks, default=0) > MOST_MARKS:
        return Refusal(f"{what} has letters that cannot be shown", "", "use plain letters")
    return name

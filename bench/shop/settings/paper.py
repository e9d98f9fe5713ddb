"""What the shop prints on: the size of its paper, and its letterhead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name

PaperSize = Literal["a4", "letter"]
"""A4 of ISO 216, or the Letter of North America."""

PAPER_SIZES: tuple[PaperSize, ...] = get_args(PaperSize)
PAPER_NAMES: Mapping[str, str] = {"a4": "A4", "letter": "Letter"}

MOST_LINES = 5
"""The shop's name, and up to four lines below it."""

LINE_END = "|"


@dataclass(frozen=True)
class Paper:
    """What a page is printed on. letterhead: the shop's name first; empty for none."""

    size: PaperSize = "a4"
    letterhead: tuple[str, ...] = ()

    @property
    def shop(self) -> str:
        """Return the shop's name; empty where nobody typed a letterhead."""
        return self.letterhead[0] if self.letterhead else ""


def paper_of(stored: Mapping[str, Any]) -> Paper:
    """Read the paper out of the settings as they are stored."""
    lines = str(stored["letterhead"]).split(LINE_END)
    size: PaperSize = "letter" if stored["paper"] == "letter" else "a4"
    return Paper(size, tuple(line.strip() for line in lines if line.strip()))


def change_paper(
    values: dict[str, Any], size: str | None, letterhead: str | None
) -> list[str] | Refusal:
    """Change what was given of the settings; answers what changed, in words.

    letterhead: its lines parted by ``|``; empty for none.
    """
    words = []
    if size is not None:
        values["paper"] = size
        words.append(f"prints on {PAPER_NAMES[size]}")
    if letterhead is not None:
        lines = [line for line in letterhead.split(LINE_END) if line.strip()]
        if len(lines) > MOST_LINES:
            right = f"the shop's name and up to {MOST_LINES - 1} lines below it"
            return Refusal("the letterhead is too long", f"{len(lines)} lines", right)
        clean = [clean_name(line, "a line of the letterhead") for line in lines]
        if refused := next((line for line in clean if isinstance(line, Refusal)), None):
            return refused
        values["letterhead"] = f" {LINE_END} ".join(map(str, clean))
        words.append(f"letterhead {values['letterhead'] or 'none'}")
    return words

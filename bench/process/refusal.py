"""What the bench answers when something may not be done."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Refusal:
    """A rule said no. A value, not an exception: nothing was changed.

    rule: the rule in words; read: the figure or word it was judged on; remedy: what would make it
    right; may_override: a painter may go on all the same with a reason, which stays on the sheet.
    """

    rule: str
    read: str = ""
    remedy: str = ""
    may_override: bool = False

    def __str__(self) -> str:
        told = f"{self.rule} ({self.read})" if self.read else self.rule
        return f"{told}: {self.remedy}" if self.remedy else told

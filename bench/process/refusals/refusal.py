"""What the bench answers when something may not be done."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Overridable = Literal["never", "reason", "air supply"]
"""By what a rule is overridden: by nothing, by a reason of its own, or by another air supply that a
second person looks after."""


@dataclass(frozen=True)
class Refusal:
    """A rule said no. A value, not an exception: nothing was changed.

    rule: the rule in words; read: the figure or word it was judged on; remedy: what to do.
    name: the rule's short name, empty where it has none (see ``rules``); override: by what it can
    be overridden; reasons: those offered for it; also: the other rules in the way.
    """

    rule: str
    read: str = ""
    remedy: str = ""
    name: str = ""
    override: Overridable = "never"
    reasons: tuple[str, ...] = ()
    also: tuple[Refusal, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"{self.against}: {self.remedy}" if self.remedy else self.against

    @property
    def against(self) -> str:
        """The rule and what it was judged on, without what to do."""
        return f"{self.rule} ({self.read})" if self.read else self.rule

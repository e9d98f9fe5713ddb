"""One call of the command line: what was asked, and of which shop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TextIO

from bench.clock import Clock
from bench.process.refusal import Refusal
from bench.shop.acting import Shop, Target
from bench.shop.sight import look


@dataclass(frozen=True)
class Call:
    """``args`` as the parser gave them; answers are written to ``out``."""

    shop: Shop
    args: Namespace
    out: TextIO

    @property
    def target(self) -> Target:
        """The part that is meant: a stand's number, or a tag."""
        target: Target = self.args.tag if self.args.stand is None else self.args.stand
        return target

    @property
    def at(self) -> datetime | None:
        """When it happened, None for just now."""
        if self.args.ago is None:
            return None
        return self.shop.clock.now() - timedelta(seconds=self.args.ago)

    def painter(self) -> str | Refusal:
        """Who did it. Where there is only one painter, nobody has to say so."""
        if self.args.by is not None:
            return str(self.args.by)
        names = look(self.shop).painters
        if len(names) == 1:
            return names[0]
        return Refusal("who did it is not said", "", f"add --by and one of {', '.join(names)}")


@dataclass(frozen=True)
class Placing:
    """One call that is about the place of a shop's data, whatever is there."""

    place: str
    args: Namespace
    out: TextIO
    clock: Clock
    terminal: str

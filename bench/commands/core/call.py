"""One call of the command line: what was asked, and of which shop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TextIO

from bench.commands.core.console import Console
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop

NO_ARGUMENTS = {"entry", "db", "by", "doubtful", "json"}
"""What a command line says besides what is handed to the shop's function."""

OVERRIDES = {"override", "air_supply", "second"}


@dataclass(frozen=True)
class Call:
    """Hold one call: ``args`` as the parser gave them; answers are written to ``out``."""

    shop: Shop
    args: Namespace
    out: TextIO

    @property
    def at(self) -> datetime | None:
        """Return when it happened, None for just now."""
        if self.args.ago is None:
            return None
        return self.shop.clock.now() - timedelta(seconds=self.args.ago)

    def arguments(self) -> dict[str, Any] | Refusal:
        """Return what the options read, by the names of the parameters of the shop's functions.

        "at" for what ``--ago`` says, "override" for all that answers the rules in the way.
        """
        values = {
            name: value for name, value in vars(self.args).items() if name not in NO_ARGUMENTS
        }
        if "ago" in values:
            del values["ago"]
            values["at"] = self.at
        if OVERRIDES & values.keys():
            override = self._override()
            if isinstance(override, Refusal):
                return override
            values = {name: value for name, value in values.items() if name not in OVERRIDES}
            values["override"] = override
        return values

    def _override(self) -> Override | Refusal | None:
        """Return what was answered to the rules in the way; None where nothing was."""
        pairs: list[tuple[str, str]] = getattr(self.args, "override", [])
        supply, second = getattr(self.args, "air_supply", ""), getattr(self.args, "second", "")
        reasons = dict(pairs)
        if len(reasons) < len(pairs):
            twice = next(name for name in reasons if [rule for rule, _ in pairs].count(name) > 1)
            return Refusal(f"two reasons for {twice}", "", "give one reason for each rule")
        return Override(reasons, supply, second) if reasons or supply or second else None

    def painter(self) -> str | Refusal:
        """Return who did it. Where there is only one painter, nobody has to say so."""
        if self.args.by is not None:
            return str(self.args.by)
        names = read_bench(self.shop).painters
        if len(names) == 1:
            return names[0]
        choices = " or ".join(f"--by {name}" for name in names)
        return Refusal("the painter is not named", "", choices)


@dataclass(frozen=True)
class DataCall:
    """Hold one call that is about the place of a shop's data, whatever is there."""

    place: str
    args: Namespace
    console: Console

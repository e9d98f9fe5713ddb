"""What a run of the command line reads and writes besides the shop's data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol, TextIO

from bench.clock import Clock
from bench.commands.core.plain_text import write_json, write_line
from bench.settings import terminal_name

if TYPE_CHECKING:
    from bench.process.refusals.refusal import Refusal
    from bench.shop.core.transaction import Shop


class ScreenStart(Protocol):
    """Starts the full-screen program and gives its exit code."""

    def __call__(self, shop: Shop, *, demo: bool) -> int:
        """Run until it is closed."""
        ...


@dataclass(frozen=True)
class Console:
    """Hold what starts the screens, the clock, the environment and both outputs."""

    start: ScreenStart
    clock: Clock
    environment: Mapping[str, str]
    out: TextIO
    err: TextIO

    @property
    def terminal(self) -> str:
        """Return what the journal calls this terminal."""
        return terminal_name(self.environment)


@dataclass(frozen=True)
class Report:
    """Hold what a command that reads has to say: data for programs, lines for people.

    Both are written once the shop's data is closed again, so they ask nothing more of it.
    refusal: why it still ends as a refusal.
    """

    data: dict[str, Any]
    lines: Iterable[str]
    refusal: Refusal | None = None

    def write(self, out: TextIO, *, as_json: bool) -> None:
        """Write it in one of its two forms."""
        if as_json:
            write_json(out, self.data)
            return
        for line in self.lines:
            write_line(out, line)

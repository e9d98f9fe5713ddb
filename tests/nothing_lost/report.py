"""The one table of what was tried by force: attack, tries, what was lost, what was wrong besides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field


@dataclass
class Row:
    """One attack: how often it was tried, and what was wrong afterwards."""

    attack: str
    tries: int = 0
    lost: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    notes: str = ""

    def look(self, where: str, fault: str) -> None:
        """Count one more try, and what was wrong after it, if anything was."""
        self.tries += 1
        if fault:
            kind = self.lost if fault.startswith("lost") else self.faults
            kind.append(f"{where}: {fault}")

    @property
    def wrong(self) -> list[str]:
        """All that was wrong."""
        return [*self.lost, *self.faults]


def table(rows: Iterable[Row]) -> Iterator[str]:
    """Give the table in lines, and below it all that was wrong."""
    rows = list(rows)
    wide = max(len(row.attack) for row in rows)
    yield f"{'attack':<{wide}}  {'tries':>7}  {'lost':>5}  {'faults':>6}"
    for row in rows:
        figures = f"{row.tries:>7,}  {len(row.lost):>5}  {len(row.faults):>6}"
        yield f"{row.attack:<{wide}}  {figures}  {row.notes}".rstrip()
    for row in rows:
        yield from row.wrong

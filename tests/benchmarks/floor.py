"""The floor: a bare Textual program that imports SQLModel and draws one label."""

from __future__ import annotations

import sqlmodel
from textual.app import App, ComposeResult
from textual.widgets import Label


class Floor(App[None]):
    """Nothing but a label."""

    def compose(self) -> ComposeResult:
        """One label."""
        yield Label(f"floor {bool(sqlmodel)}")


if __name__ == "__main__":
    Floor().run(mouse=False)

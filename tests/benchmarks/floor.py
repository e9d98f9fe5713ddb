"""The floor: a bare Textual program that imports SQLModel and draws one label."""

from __future__ import annotations

import sqlmodel
from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Label


class Floor(App[None]):
    """Nothing but a label, which says the key that was pressed."""

    def compose(self) -> ComposeResult:
        """One label."""
        yield Label(f"floor {bool(sqlmodel)}")

    def on_key(self, event: events.Key) -> None:
        """Another text, for the time from a key to a picture."""
        self.query_one(Label).update(f"floor {event.key}")


if __name__ == "__main__":
    Floor().run(mouse=False)

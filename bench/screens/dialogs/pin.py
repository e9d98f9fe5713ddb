"""A painter's PIN by keypad: signing with it, and setting it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from bench.process.refusals.refusal import Refusal
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, Method, active_keys
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.people import painters
from bench.shop.people.pins import PIN_LENGTH
from bench.widgets.lines import Line, line, text_lines, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

P = ParamSpec("P")


class PinPad(BenchScreen[str | None]):
    """Four figures, shown as stars. Answers them, "" where none were typed, None for back."""

    ANSWER_LINES = 0

    def __init__(self, title: str, notes: Sequence[str] = ()) -> None:
        super().__init__()
        self.heading, self.notes, self.typed = title, list(notes), ""

    def body(self, width: int, height: int) -> list[Line]:
        """Show the heading and a star a figure."""
        lines = title_lines(self.heading, width) + text_lines(self.notes, width, indent=2)
        stars = "*" * len(self.typed) + "." * (PIN_LENGTH - len(self.typed))
        return [*lines, line("", width), line(f"   PIN {' '.join(stars)}", width, "bold")]

    def keys_now(self) -> Sequence[KeyWord]:
        """Offer Enter for all four figures, or for none."""
        idle: list[Method] = [PinPad.write if len(self.typed) == PIN_LENGTH else PinPad.take]
        if not self.typed:
            idle = [PinPad.rub_out]
        return active_keys(self.KEYS, idle)

    def write(self, figure: str) -> None:
        """Add a figure."""
        self.typed = (self.typed + figure)[:PIN_LENGTH]

    def rub_out(self) -> None:
        """Take the last figure back."""
        self.typed = self.typed[:-1]

    def take(self) -> None:
        """Answer all four figures, or none."""
        if len(self.typed) in (0, PIN_LENGTH):
            self.dismiss(self.typed)

    KEYS = (
        KeyWord(tuple("0123456789"), "0-9", "type", each=write),
        KeyWord(("-", "backspace"), "-", "rub out", rub_out),
        KeyWord(("enter",), "Enter", "take", take),
        KeyWord(("/",), "/", "back", BenchScreen.back),
    )


async def sign(bench: Paintbench) -> str | None:
    """The PIN of the painter; "" where there is none, None for back."""
    if bench.painter not in bench.view.with_pin:
        return ""
    notes = ["This is signed: your name stays with it in the log."]
    return await bench.push_screen_wait(PinPad(f"{bench.painter}: your PIN", notes))


async def do_signed(
    bench: Paintbench,
    function: Callable[Concatenate[Shop, P], Outcome | Refusal],
    *args: P.args,
    **kwargs: P.kwargs,
) -> Outcome | Refusal | None:
    """Ask for the painter's PIN and call a function of shop with it; None for back."""
    pin = await sign(bench)
    if pin is None:
        return None
    return bench.do(lambda shop: function(shop.with_pin(pin), *args, **kwargs))


async def set_pin(bench: Paintbench) -> None:
    """A PIN of one's own that signs overrides: given, changed or taken away."""
    name = bench.painter
    old = await sign(bench)
    if old is None:
        return
    notes = [
        "Four figures. It is asked for where you override a rule or correct a record.",
        "Enter alone removes the PIN.",
    ]
    new = await bench.push_screen_wait(PinPad(f"{name}: a new PIN", notes))
    if new is None:
        return
    again = await bench.push_screen_wait(PinPad(f"{name}: the same again")) if new else ""
    if again is None:
        return
    if again != new:
        bench.tell(Refusal("the two PINs are not the same", "", "try again"))
        return
    bench.do(lambda shop: painters.set_pin(shop.with_pin(old), bench.painter, new))

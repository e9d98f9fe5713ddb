"""How the program starts: its first screen, and the rest of its code once that stands."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.settings import FORCED, Profile
from bench.shop.seeds.first_start import is_new
from bench.shop.settings.kiosk_limits import KioskLimits

if TYPE_CHECKING:
    from bench.app import Paintbench


def show_first(bench: Paintbench) -> None:
    """Show the bench, or the questions that open a shop where nobody has opened it yet."""
    if is_new(bench.shop):
        from bench.screens.data.first_start import Opening

        bench.push_screen(Opening())
    else:
        bench.show_bench()


def start_fault(profile: Profile, allowed: KioskLimits) -> Refusal | None:
    """Say what cannot be read of the settings the program is started with; root's file first."""
    if allowed.faults:
        return allowed.faults[0]
    if not profile.unknown:
        return None
    read = f"read {profile.unknown!r}"
    return Refusal("PAINTBENCH_TERMINAL", read, f"one of {', '.join(FORCED)}")


def preload() -> None:
    """Load the screens that keys lead to, and collect garbage from here on, not from them."""
    from bench.screens.bench import stand_page  # noqa: F401
    from bench.screens.menus import palette  # noqa: F401

    gc.freeze()
    gc.enable()

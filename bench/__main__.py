"""`python -m bench` and the command `paintbench`."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, TextIO

from bench.commands.core.run import in_this_process, run
from bench.screen_process import run_apart
from bench.settings import TRUE_COLOUR, is_kiosk, terminal_profile

if TYPE_CHECKING:
    from bench.clock import Clock
    from bench.shop.core.transaction import Shop


COLOUR_SYSTEMS = {0: "standard", 16: "standard", 256: "256", TRUE_COLOUR: "truecolor"}
"""What Textual calls them. Where there are none, they are taken away later."""


def main(
    argv: Sequence[str] | None = None,
    *,
    clock: Clock | None = None,
    environment: Mapping[str, str] | None = None,
    out: TextIO | None = None,
    err: TextIO | None = None,
) -> int:
    """Run the program and give its exit code. What is not handed in is the real one."""
    # Loading makes very many things and throws few away: to look for rubbish doubles the time.
    gc.disable()
    words = sys.argv[1:] if argv is None else argv
    kiosk = is_kiosk(os.environ if environment is None else environment)
    start = partial(_full_screen, kiosk=kiosk, environment=environment or os.environ)
    apart = run_apart if argv is None else in_this_process
    try:
        return run(
            words,
            start=start,
            clock=clock,
            environment=environment,
            out=out,
            err=err,
            apart=apart,
        )
    finally:
        gc.enable()


def _full_screen(shop: Shop, *, demo: bool, kiosk: bool, environment: Mapping[str, str]) -> int:
    # Textual draws on the standard error stream, and reads this once, when it is imported.
    profile = terminal_profile(environment, sys.stderr.encoding or "")
    os.environ["TEXTUAL_COLOR_SYSTEM"] = COLOUR_SYSTEMS[profile.colours]
    from bench.app import Paintbench
    from bench.shop.settings.kiosk_limits import ANYTHING, kiosk_limits

    allowed = kiosk_limits() if kiosk else ANYTHING
    app = Paintbench(shop, demo=demo, allowed=allowed, profile=profile)
    return app.run_to_its_end()


if __name__ == "__main__":
    sys.exit(main())

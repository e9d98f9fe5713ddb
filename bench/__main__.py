"""`python -m bench` and the command `paintbench`."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, TextIO

from bench.commands.run import run
from bench.settings import is_kiosk

if TYPE_CHECKING:
    from bench.clock import Clock
    from bench.shop.acting import Shop


def main(
    argv: Sequence[str] | None = None,
    *,
    clock: Clock | None = None,
    environment: Mapping[str, str] | None = None,
    out: TextIO | None = None,
    err: TextIO | None = None,
) -> int:
    """Run the program and give its exit code. What is not handed in is the real one."""
    words = sys.argv[1:] if argv is None else argv
    kiosk = is_kiosk(os.environ if environment is None else environment)
    start = partial(_full_screen, kiosk=kiosk)
    return run(words, start=start, clock=clock, environment=environment, out=out, err=err)


def _full_screen(shop: Shop, *, demo: bool, kiosk: bool) -> int:
    from bench.app import run as run_bench

    return run_bench(shop, demo=demo, kiosk=kiosk)


if __name__ == "__main__":
    sys.exit(main())

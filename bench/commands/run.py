"""From the words of the command line to an exit code. Never a traceback on the terminal."""

from __future__ import annotations

import gc
import os
import sys
import tempfile
import traceback
from argparse import Namespace
from collections.abc import Mapping, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TextIO

from bench.clock import Clock, ServerClock, SystemClock
from bench.commands import sums
from bench.commands.overriding import how_to_override
from bench.commands.parser import parse
from bench.commands.plain import write_line
from bench.process.refusal import Refusal
from bench.settings import data_place, on_a_server, terminal_name

if TYPE_CHECKING:
    from bench.shop.acting import Done, Shop, StoreFault

DONE, REFUSED, WRONG_USAGE, INTERRUPTED = 0, 1, 2, 130

PLACED = ("backups", "restore", "import")
"""Commands about the place of the data: what is there need not be a shop that can be opened."""

FAULT_LOG = "paintbench-faults.log"


class Start(Protocol):
    """Starts the full-screen program and gives its exit code."""

    def __call__(self, shop: Shop, *, demo: bool) -> int:
        """Run until it is closed."""
        ...


@dataclass(frozen=True)
class Outside:
    """What a run reads and writes besides the shop's data."""

    start: Start
    clock: Clock
    environment: Mapping[str, str]
    out: TextIO
    err: TextIO


def run(
    words: Sequence[str],
    *,
    start: Start,
    clock: Clock | None = None,
    environment: Mapping[str, str] | None = None,
    out: TextIO | None = None,
    err: TextIO | None = None,
) -> int:
    """Do what the words say. 0 done, 1 refused by a rule or a fault, 2 wrong usage."""
    outside = Outside(
        start,
        clock or SystemClock(),
        os.environ if environment is None else environment,
        out or sys.stdout,
        err or sys.stderr,
    )
    if odd := next((word for word in words if not _in_utf_8(word)), ""):
        write_line(outside.err, f"paintbench: error: read {odd[:40]!a}; wanted letters in UTF-8")
        return WRONG_USAGE
    try:
        with redirect_stdout(outside.out), redirect_stderr(outside.err):
            args = parse(words)
    except SystemExit as leaving:
        return int(leaving.code or DONE)
    place = data_place(args.db, outside.environment)
    if clock is None and on_a_server(place):
        outside = replace(outside, clock=ServerClock())
    try:
        code = _answered(_do(args, place, outside), outside)
        outside.out.flush()
    except BrokenPipeError:
        return _reader_gone(outside.out)
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as fault:
        return _faulted(fault, place, outside)
    return code


def _in_utf_8(word: str) -> bool:
    """Whether all its bytes were letters; those that were not come as lone surrogates (PEP 383)."""
    return not any("\ud800" <= letter <= "\udfff" for letter in word)


def _do(args: Namespace, place: str, outside: Outside) -> int | Done | Refusal | None:
    """The exit code of the full-screen program or a sum, or a command's answer."""
    if args.command == "sum":
        return sums.run(args.words, outside.out, outside.err)
    from bench.shop.acting import StoreFault

    try:
        if args.command == "demo":
            return _demo(args, outside)
        if args.command in PLACED:
            return _placed(args, place, outside)
        return _opened(args, place, outside)
    except StoreFault as fault:
        return _not_just_now(fault)


def _opened(args: Namespace, place: str, outside: Outside) -> int | Done | Refusal | None:
    from bench.shop.data import open_data, open_or_shut

    terminal = terminal_name(outside.environment)
    if args.command is None:
        shop = open_or_shut(place, outside.clock, terminal)
    else:
        new = args.command == "open"
        shop = open_data(place, outside.clock, terminal, may_be_new=new)
    if isinstance(shop, Refusal):
        return shop
    try:
        if args.command is None:
            return outside.start(shop, demo=False)
        return _command(shop, args, outside)
    finally:
        shop.store.close()


def _command(shop: Shop, args: Namespace, outside: Outside) -> Done | Refusal | None:
    from bench.commands import clock, opening
    from bench.commands.answers import KEEPERS, READERS, WRITERS
    from bench.commands.call import Call
    from bench.shop.opening import is_new

    gc.enable()
    call = Call(shop.with_pin(outside.environment.get("PAINTBENCH_PIN", "")), args, outside.out)
    if args.command == "open":
        return opening.open_new(call)
    if args.command != "check" and is_new(shop):
        return Refusal("nobody has opened this shop yet", "", "paintbench open --help")
    if args.command in READERS:
        if told := clock.warning(shop):
            write_line(outside.err, told)
        return READERS[args.command](call)
    if args.command in KEEPERS:
        return KEEPERS[args.command](call)
    if args.command != "set-clock":
        refused = clock.refused(shop, doubtful=args.doubtful)
        if refused is not None:
            return refused
    by = call.painter()
    return by if isinstance(by, Refusal) else WRITERS[args.command](call, by)


def _demo(args: Namespace, outside: Outside) -> int | Done | Refusal:
    """A throwaway demo shop on the screen, or with --db one in a new file that is kept."""
    from bench.commands import opening
    from bench.shop.acting import StoreFault

    if args.db:
        try:
            return opening.keep_demo(args.db, outside.clock, terminal_name(outside.environment))
        except StoreFault as fault:
            return _not_just_now(fault)
    shop = opening.throwaway_demo(outside.clock)
    if isinstance(shop, Refusal):
        return shop
    try:
        return outside.start(shop, demo=True)
    finally:
        shop.store.close()


def _placed(args: Namespace, place: str, outside: Outside) -> Done | Refusal | None:
    from bench.commands.answers import PLACERS
    from bench.commands.call import Placing

    terminal = terminal_name(outside.environment)
    return PLACERS[args.command](Placing(place, args, outside.out, outside.clock, terminal))


def _not_just_now(fault: StoreFault) -> Refusal:
    from bench.shop.data import WHAT_TO_DO

    if fault.kind == "damaged":
        return Refusal("the data is damaged", str(fault), WHAT_TO_DO)
    if fault.kind == "uncertain":
        right = "it may be there: look at paintbench journal before you do it again"
        return Refusal(fault.words, str(fault), right)
    return Refusal("the data cannot be read or written just now", str(fault), fault.remedy)


def _answered(answer: int | Done | Refusal | None, outside: Outside) -> int:
    if answer is None:
        return DONE
    if isinstance(answer, int):
        return answer
    if isinstance(answer, Refusal):
        for rule in (answer, *answer.also):
            write_line(outside.err, str(rule))
            if how := how_to_override(rule):
                write_line(outside.err, f"  {how}")
        return REFUSED
    write_line(outside.out, answer.text)
    for note in answer.notes:
        write_line(outside.out, f"  {note}")
    return DONE


def _reader_gone(out: TextIO) -> int:
    """Whoever read our output has left, as `head` does. What was asked for is done."""
    if out is sys.stdout:
        # Python flushes once more when it ends, and would complain then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return DONE


def _faulted(fault: Exception, place: str, outside: Outside) -> int:
    """One line for whoever is at the keys, the rest into a file for whoever mends it."""
    kept = _logged(fault, place, outside.clock)
    where = f"; what happened is in {kept}" if kept else ""
    told = str(fault).partition("\n")[0][:200]
    write_line(outside.err, f"paintbench stopped: {type(fault).__name__}: {told}{where}")
    return REFUSED


def _logged(fault: Exception, place: str, clock: Clock) -> Path | None:
    report = f"{clock.now().isoformat()}\n{''.join(traceback.format_exception(fault))}\n"
    folders = [Path(tempfile.gettempdir())]
    if not on_a_server(place):
        folders.insert(0, Path(place).parent)
    for folder in folders:
        try:
            with (folder / FAULT_LOG).open("a", encoding="utf-8", errors="backslashreplace") as log:
                log.write(report)
        except (OSError, ValueError):
            continue
        return folder / FAULT_LOG
    return None

"""From the words of the command line to an exit code. Never a traceback on the terminal."""

from __future__ import annotations

import gc
import os
import sys
import traceback
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TextIO

from bench.clock import Clock, ServerClock, SystemClock
from bench.commands.core.console import Console, Report, ScreenStart
from bench.commands.core.fault_log import write_fault
from bench.commands.core.input_files import no_path
from bench.commands.core.plain_text import write_line
from bench.process.refusals.refusal import Refusal
from bench.settings import data_place, on_a_server

if TYPE_CHECKING:
    from bench.commands.core.call import Call
    from bench.commands.core.command import Command
    from bench.shop.core.transaction import Outcome, Shop, StoreFault

    Answer = int | Outcome | Report | Refusal | None

DONE, REFUSED, WRONG_USAGE, INTERRUPTED = 0, 1, 2, 130


Apart = Callable[[Callable[[], int], str], int]
"""Runs a program that needs the terminal, given where the data is, and returns its exit code."""


def in_this_process(program: Callable[[], int], place: str) -> int:
    """Run it just so."""
    del place
    return program()


def run(
    words: Sequence[str],
    *,
    start: ScreenStart,
    clock: Clock | None = None,
    environment: Mapping[str, str] | None = None,
    out: TextIO | None = None,
    err: TextIO | None = None,
    apart: Apart = in_this_process,
) -> int:
    """Do what the words say. 0 done, 1 refused by a rule or a fault, 2 wrong usage.

    apart: runs what shows the full screen.
    """
    console = Console(
        start,
        clock or SystemClock(),
        os.environ if environment is None else environment,
        out or sys.stdout,
        err or sys.stderr,
    )
    if odd := next((word for word in words if not _in_utf_8(word)), ""):
        write_line(console.err, f"paintbench: error: read {odd[:40]!a}; wanted letters in UTF-8")
        return WRONG_USAGE
    try:
        with redirect_stdout(console.out), redirect_stderr(console.err):
            args = _parsed(words)
    except SystemExit as leaving:
        return int(leaving.code or DONE)
    place = data_place(args.db, console.environment)
    if clock is None and on_a_server(place):
        console = replace(console, clock=ServerClock())
    if _is_full_screen(args):
        return apart(partial(_run, args, place, console), place)
    return _run(args, place, console)


def _is_full_screen(args: Namespace) -> bool:
    """Say whether the words ask for the bench on the full screen, or for the demo on it."""
    return args.entry is None or (args.entry.name == "demo" and not args.db)


def _run(args: Namespace, place: str, console: Console) -> int:
    """Do it and give the exit code, whatever happens."""
    try:
        code = _write_answer(_do(args, place, console), args, console)
        console.out.flush()
    except BrokenPipeError:
        return _reader_gone(console.out)
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as fault:
        return _faulted(fault, place, console)
    return code


def _in_utf_8(word: str) -> bool:
    """Say whether all its bytes were letters; those that were not are lone surrogates (PEP 383)."""
    return not any("\ud800" <= letter <= "\udfff" for letter in word)


def _parsed(words: Sequence[str]) -> Namespace:
    """Read the words. The bench starts without any, and then nobody waits for the table."""
    if not words:
        return Namespace(entry=None, db=None)
    from bench.commands.core.parser import parse

    return parse(words)


def _do(args: Namespace, place: str, console: Console) -> Answer:
    """Run what was asked for, once what it needs is there (``command.CommandKind``)."""
    command: Command | None = args.entry
    if command is not None and command.kind == "sums":
        exit_code: int = command.function()(args.words, console.out, console.err)
        return exit_code
    if command is not None and command.kind == "explains":
        report: Report = command.function()(args)
        return report
    if not on_a_server(place) and (refused := no_path(place)):
        return replace(refused, remedy="give another place with --db")
    from bench.shop.core.transaction import StoreFault

    try:
        if command is not None and command.kind == "places":
            from bench.commands.core.call import DataCall

            answer: Answer = command.function()(DataCall(place, args, console))
            return answer
        return _opened(command, args, place, console)
    except StoreFault as fault:
        return _not_just_now(fault)


def _opened(command: Command | None, args: Namespace, place: str, console: Console) -> Answer:
    """Run a command on the shop's data, or without one the full-screen program.

    That starts also where the data cannot be read just now.
    """
    from bench.shop.data.opening import open_data, open_for_screen

    if command is None:
        shop = open_for_screen(place, console.clock, console.terminal)
    else:
        new = command.kind == "opens"
        shop = open_data(place, console.clock, console.terminal, may_be_new=new)
    if isinstance(shop, Refusal):
        return shop
    try:
        if command is None:
            return console.start(shop, demo=False)
        return _command(shop, command, args, console)
    finally:
        shop.store.close()


def _command(shop: Shop, command: Command, args: Namespace, console: Console) -> Answer:
    from bench.commands.core.call import Call
    from bench.commands.subjects import clock
    from bench.shop.data import missing_entries
    from bench.shop.data.opening import damage_refusal
    from bench.shop.seeds.first_start import is_new

    gc.enable()
    command = command.as_asked(args)
    kind = command.kind
    call = Call(shop.with_pin(console.environment.get("PAINTBENCH_PIN", "")), args, console.out)
    if kind not in ("opens", "checks") and is_new(shop):
        remedy = "paintbench open --help; where an import was cut off, import again"
        return Refusal("nobody has opened this shop yet", "", remedy)
    if waits := missing_entries.refuse_if_missing(shop):
        if kind in ("writes", "sets clock", "opens"):
            return waits
        if kind == "reads":
            write_line(console.err, str(waits))
    if kind in ("reads", "checks") and (warning := clock.warning(shop)):
        write_line(console.err, warning)
    if kind == "writes":
        refused = damage_refusal(shop) or clock.refused(shop, doubtful=args.doubtful)
        if refused is not None:
            return refused
    if kind in ("writes", "sets clock"):
        return _by_painter(call, command)
    answer: Answer = command.function()(call)
    return answer


def _by_painter(call: Call, command: Command) -> Outcome | Refusal:
    """Run what somebody has to have done."""
    by = call.painter()
    if isinstance(by, Refusal):
        return by
    answer: Outcome | Refusal
    if not command.is_forwarded:
        answer = command.function()(call, by)
        return answer
    arguments = call.arguments()
    if isinstance(arguments, Refusal):
        return arguments
    answer = command.function()(call.shop, by=by, **arguments)
    return answer


def _not_just_now(fault: StoreFault) -> Refusal:
    from bench.shop.data.opening import WHAT_TO_DO

    if fault.kind == "damaged":
        return Refusal("the data is damaged", str(fault), WHAT_TO_DO)
    if fault.kind == "uncertain":
        right = "it may be there: look at paintbench journal before you do it again"
        return Refusal(fault.words, str(fault), right)
    words = "the data cannot be read or written just now"
    return Refusal(fault.words if fault.lasts else words, str(fault), fault.remedy)


def _write_answer(answer: Answer, args: Namespace, console: Console) -> int:
    """Write down what came of it, and return the exit code."""
    if isinstance(answer, Report):
        answer.write(console.out, as_json=args.json)
        answer = answer.refusal
    if answer is None:
        return DONE
    if isinstance(answer, int):
        return answer
    if isinstance(answer, Refusal):
        for rule in (answer, *answer.also):
            write_line(console.err, str(rule))
            if how := _how_to_override(rule):
                write_line(console.err, f"  {how}")
        return REFUSED
    write_line(console.out, answer.text)
    for note in answer.notes:
        write_line(console.out, f"  {note}")
    return DONE


def _how_to_override(rule: Refusal) -> str:
    """Write the words that would override a rule; empty where nothing does."""
    if rule.override == "air supply":
        return f'{rule.name}: only with --air-supply "what feeds the mask" --second NAME'
    if rule.override == "reason":
        return f'to override it: --override {rule.name}="the reason"'
    return ""


def _reader_gone(out: TextIO) -> int:
    """Leave quietly: whoever read our output has gone, as `head` does. The work is done."""
    if out is sys.stdout:
        # Python flushes once more when it ends, and would complain then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return DONE


def _faulted(fault: Exception, place: str, console: Console) -> int:
    """Write one line for whoever is signed in, the rest into a file for whoever repairs it."""
    when = console.clock.now().isoformat()
    fault_log = write_fault(f"{when}\n{''.join(traceback.format_exception(fault))}\n", place)
    log_words = f"; what happened is in {fault_log}" if fault_log else ""
    first_line = str(fault).partition("\n")[0][:200]
    write_line(console.err, f"paintbench stopped: {type(fault).__name__}: {first_line}{log_words}")
    return REFUSED

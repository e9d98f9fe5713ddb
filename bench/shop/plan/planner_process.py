"""The planner in a process of its own: it holds up no key, and one key ends it.

What it proves with takes hundreds of megabytes and half a second to import, and neither comes into
the process of the screen. It ends by itself when the process that asked is gone.
"""

from __future__ import annotations

import os
import pickle
import queue
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import IO, Protocol

EARLY = "the planner was ended from outside, or the computer ran out of memory"

NICE = 10
"""A planner gets what time of the processor the screen leaves over."""


class Question(Protocol):
    """Something that takes long to answer. It is sent to the process, and its answers sent back."""

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell each answer, the best one last; tell returns False where no more is wanted."""


@dataclass(frozen=True)
class Ended:
    """No more answers come. fault: what went wrong, nothing where all went well."""

    fault: str = ""


class PlannerProcess:
    """Answers one question. ``end`` may be called at any time, from any thread, more than once."""

    def __init__(self, question: Question) -> None:
        self._answers: queue.SimpleQueue[object] = queue.SimpleQueue()
        self._process: subprocess.Popen[bytes] | None = None
        try:
            self._process = process = _started()
        except OSError as fault:  # no memory for it, or too many processes
            self._answers.put(Ended(f"the planner cannot be started: {fault.strerror}"))
            return
        threading.Thread(target=self._converse, args=(process, question), daemon=True).start()

    def come(self) -> list[object]:
        """Return the answers that came since the last call, without waiting; Ended is the last."""
        answers: list[object] = []
        with suppress(queue.Empty):
            while True:
                answers.append(self._answers.get_nowait())
        return answers

    def wait(self) -> Iterator[object]:
        """Yield each answer when it comes, Ended last."""
        while True:
            answer = self._answers.get()
            yield answer
            if isinstance(answer, Ended):
                return

    def end(self) -> None:
        """Stop it at once; what it answered so far can still be read."""
        if self._process is not None:
            self._process.kill()

    def _converse(self, process: subprocess.Popen[bytes], question: Question) -> None:
        last = Ended(EARLY)
        assert process.stdin is not None
        assert process.stdout is not None
        # Its input stays open: by its end the process notices that nobody is there any more.
        with suppress(OSError), process.stdin, process.stdout:
            with suppress(OSError):
                pickle.dump(question, process.stdin)
                process.stdin.flush()
            with suppress(EOFError, pickle.UnpicklingError):
                while not isinstance(answer := pickle.load(process.stdout), Ended):
                    self._answers.put(answer)
                last = answer
        process.wait()
        self._answers.put(last)


def _started() -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", f"from {__name__} import main; main()"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        # A group of its own: a key that interrupts the program is not meant for it. No session of
        # its own: Linux divides the processor between sessions first, and only inside one does it
        # count that the planner gives way (sched(7), "The autogroup feature").
        process_group=0,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )


def main() -> None:
    """Answer the question that comes in, as this process."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints is no answer
    os.nice(NICE)
    question: Question = pickle.load(sys.stdin.buffer)
    threading.Thread(target=_ends_with, args=(sys.stdin.buffer,), daemon=True).start()
    try:
        question.answer(partial(_tell, answers))
        ended = Ended()
    except MemoryError:
        ended = Ended("the computer has too little memory for a plan")
    except Exception as fault:
        ended = Ended(f"a fault in the planner ({type(fault).__name__}: {fault})")
    _tell(answers, ended)


def _tell(answers: IO[bytes], answer: object) -> bool:
    pickle.dump(answer, answers)
    answers.flush()
    return True


def _ends_with(asked: IO[bytes]) -> None:
    asked.read(1)
    os._exit(1)

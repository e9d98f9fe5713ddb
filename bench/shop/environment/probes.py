"""Reading the files of the shop's probes, and writing down what they say.

A file can hang for good: a bus without its sensor, a network folder, a pipe. So each is read on a
thread of its own that nobody waits for and that does not keep the program from ending.
"""

from __future__ import annotations

import os
import queue
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from glob import glob

from bench.process.clocks.reading_doubts import Doubt, confirms, doubt_of
from bench.process.clocks.temperature import Reading
from bench.process.wording.time_text import format_duration
from bench.shop.core.transaction import Shop
from bench.shop.data.background import BackgroundJob, on_a_thread
from bench.shop.environment.probe_text import ProbeFault, ProbeQuantity, Probes, probe_value
from bench.shop.environment.readings import believed, take_reading
from bench.shop.settings.kiosk_limits import PROBE_ROOTS, WHERE, AllowedFolders
from bench.store.schema.tables import PROBE

MOST_BYTES = 4096

NO_ANSWER_S = 10.0
"""A 1-wire sensor takes about a second; what has not answered by then hangs (common practice)."""

AGAIN_S = 60.0
"""How soon a probe at fault is tried again (common practice, no source)."""

BACK_S = 600.0
"""So long it is said that a probe answers again (a painter's look at the bench, house rule)."""

ProbeAnswer = float | ProbeFault
ProbeRequest = tuple[ProbeQuantity, str]

HANGS = ProbeFault("no answer")
OUTSIDE = ProbeFault("not in a place that root lists", f"{PROBE_ROOTS} in {WHERE} lists them")


def read_probe(path: str, what: ProbeQuantity, places: AllowedFolders | None = None) -> ProbeAnswer:
    """Give what a probe's file says now, or what is wrong. May take as long as the file takes.

    places: where the file has to lie; None: anywhere.

    A ``*`` in the path stands for what changes from one start of the computer to the next, such as
    the number of a hwmon; one file has to be meant.
    """
    if "*" in path:
        paths = glob(path)
        if len(paths) != 1:
            return ProbeFault(f"{len(paths) or 'no'} files by that name: one is wanted")
        path = paths[0]
    if places is not None and not places.hold(path):
        return OUTSIDE
    try:
        with open(path, "rb") as file:
            text = file.read(MOST_BYTES).decode("utf-8", errors="replace")
    except OSError as fault:
        return ProbeFault(os.strerror(fault.errno).lower() if fault.errno else "cannot be read")
    except ValueError:
        return ProbeFault("that is no path")
    return probe_value(text, path, what)


def ask_probes(probes: Probes, wait_s: float = NO_ANSWER_S) -> dict[ProbeQuantity, ProbeAnswer]:
    """Ask all probes at once; one that hangs is at fault after ``wait_s``."""
    answers: dict[ProbeQuantity, ProbeAnswer] = dict.fromkeys(probes.paths, HANGS)

    def ask(what: ProbeQuantity, path: str) -> BackgroundJob:
        return lambda: answers.update({what: read_probe(path, what)})

    for thread in [on_a_thread(ask(*request)) for request in probes.paths.items()]:
        thread.join(wait_s)
        wait_s = wait_s if not thread.is_alive() else 0.0
    return dict(answers)


@dataclass(frozen=True)
class _Trouble:
    """A probe that gives no figure, and since when, in seconds of a clock that never jumps."""

    fault: ProbeFault
    since_s: float


class ProbePolling:
    """Asks the probes in rounds and writes a reading down after each; asking never waits.

    With a probe at fault it tries again soon, and only once that has gone on for a whole interval
    is a reading written down without it: for a moment's fault the metal is not taken to be as warm
    as the air. Without the air there is no reading. One far off the last is not written down before
    a second one minutes later agrees.
    """

    def __init__(self, start: Callable[[BackgroundJob], object] = on_a_thread) -> None:
        self._start = start
        self._answers: queue.SimpleQueue[tuple[ProbeRequest, ProbeAnswer]] = queue.SimpleQueue()
        self._being_read: set[ProbeRequest] = set()
        self._probes: Probes | None = None
        self._places: AllowedFolders | None = None
        self._round: dict[ProbeRequest, ProbeAnswer | None] = {}
        self._round_s = self._next_s = float("-inf")
        self._troubles: dict[ProbeQuantity, _Trouble] = {}
        self._air_c: float | None = None
        self._written_s = float("-inf")
        self._back: dict[ProbeQuantity, tuple[float, float]] = {}
        self._first: Reading | None = None
        self._doubt: Doubt | None = None

    def tick(self, shop: Shop, probes: Probes | None) -> None:
        """Begin a round that is due, or close the one under way. Raises StoreFault."""
        now_s, self._places = shop.clock.monotonic(), shop.allowed.probes
        if probes != self._probes:
            self._probes, self._round, self._troubles, self._back = probes, {}, {}, {}
            self._first = self._doubt = None
            self._next_s = now_s
        self._take_in()
        if probes is None:
            return
        if not self._round and now_s >= self._next_s:
            self._begin(probes.paths, now_s)
            self._take_in()
        waiting = any(answer is None for answer in self._round.values())
        if self._round and (not waiting or now_s - self._round_s >= NO_ANSWER_S):
            answers = {
                what: HANGS if answer is None else answer
                for (what, _), answer in self._round.items()
            }
            self._round = {}
            self._close(shop, probes, answers, now_s)

    def faults(self, now_s: float) -> tuple[str, ...]:
        """List what is wrong with which probe and for how long, and what answers again."""
        wrong = tuple(
            f"{what} probe: {trouble.fault.words}, "
            f"{format_duration(max(now_s - trouble.since_s, 60))}"
            for what, trouble in self._troubles.items()
        )
        wrong += tuple(self._back_words(now_s - BACK_S))
        return (*wrong, self._doubt.words()) if self._doubt else wrong

    def _back_words(self, since_s: float) -> Iterator[str]:
        """Say of each probe that answers again since a moment how long it was silent."""
        for what, (back_s, silent_s) in self._back.items():
            if back_s > since_s:
                yield f"{what} probe: back after {format_duration(silent_s)}"

    def remedies(self) -> tuple[str, ...]:
        """Say of each probe at fault which file it is read from, and what to do."""
        paths = self._probes.paths if self._probes is not None else {}
        return tuple(
            f"{what} probe {paths[what]}: {trouble.fault.words}: {trouble.fault.remedy}"
            for what, trouble in self._troubles.items()
        )

    @property
    def air_c(self) -> float | None:
        """The air in C as its probe says it now while another is at fault; None if none is.

        It is not written down before the others answer or their faults last.
        """
        return self._air_c if self._troubles else None

    def _begin(self, paths: Mapping[ProbeQuantity, str], now_s: float) -> None:
        self._round_s = now_s
        self._round = dict.fromkeys(paths.items())
        for request in self._round:
            # One that still hangs from an earlier round is not asked again: threads are not free.
            if request not in self._being_read:
                self._being_read.add(request)
                self._start(self._reads(request))

    def _reads(self, request: ProbeRequest) -> BackgroundJob:
        (what, path), places = request, self._places
        return lambda: self._answers.put((request, read_probe(path, what, places)))

    def _take_in(self) -> None:
        while not self._answers.empty():
            request, answer = self._answers.get()
            self._being_read.discard(request)
            if request in self._round:
                self._round[request] = answer

    def _close(
        self, shop: Shop, probes: Probes, answers: Mapping[ProbeQuantity, ProbeAnswer], now_s: float
    ) -> None:
        before = self._troubles
        self._troubles = {
            what: _Trouble(answer, self._since(what, now_s))
            for what, answer in answers.items()
            if isinstance(answer, ProbeFault)
        }
        every_s = probes.every.total_seconds()
        self._back |= {
            what: (now_s, now_s - trouble.since_s)
            for what, trouble in before.items()
            if what not in self._troubles and now_s - trouble.since_s >= every_s
        }
        lasting = all(now_s - trouble.since_s >= every_s for trouble in self._troubles.values())
        air_c = _figure_of(answers, "air")
        self._air_c = air_c
        if air_c is None or not lasting:
            self._next_s = now_s + min(AGAIN_S, every_s)
            return
        rh_pct, metal_c = _figure_of(answers, "humidity"), _figure_of(answers, "metal")
        new = Reading(shop.clock.now(), air_c, rh_pct, metal_c)
        last = believed(shop)
        doubt = doubt_of(new, last, probes.doubt_c)
        if not self._is_believed(new, last, probes):
            self._next_s = now_s + min(AGAIN_S, every_s)
            return
        self._next_s, self._air_c = now_s + every_s, None
        take_reading(
            shop,
            PROBE,
            air_c=air_c,
            rh_pct=rh_pct,
            metal_c=metal_c,
            not_within=probes.every - timedelta(seconds=1),
            jump=doubt,
            back="; ".join(self._back_words(self._written_s)),
        )
        self._written_s = now_s

    def _is_believed(self, new: Reading, last: Sequence[Reading], probes: Probes) -> bool:
        """Whether a reading is written down now; else it is kept in mind for a second one."""
        self._doubt = doubt_of(new, last, probes.doubt_c)
        if self._doubt is None:
            self._first = None
            return True
        if self._first is None or doubt_of(new, [self._first], probes.doubt_c):
            self._first = new
        if not confirms(new, self._first, probes.doubt_c):
            return False
        self._first = self._doubt = None
        return True

    def _since(self, what: ProbeQuantity, now_s: float) -> float:
        return self._troubles[what].since_s if what in self._troubles else now_s


def _figure_of(answers: Mapping[ProbeQuantity, ProbeAnswer], what: ProbeQuantity) -> float | None:
    answer = answers.get(what)
    return answer if isinstance(answer, float) else None

"""The alarms of this terminal: raised at the tick, answered by a key, sounded if it is wanted."""

from __future__ import annotations

import asyncio
from collections import deque
from datetime import timedelta
from typing import TYPE_CHECKING

from bench.process.attention.alarms import (
    AGAIN_S,
    AWAY_S,
    Alarm,
    Alarms,
    Cause,
    answer_alarms,
    update_alarms,
)
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_duration
from bench.shop.core.transaction import Outcome
from bench.shop.environment.alarm_command import Sounder
from bench.shop.queries import log
from bench.shop.settings.kiosk_limits import AlarmCommand, alarm_command_to_run

if TYPE_CHECKING:
    from bench.app import Paintbench

LINES_BACK = 300
"""How far back the last line of a painter is looked for; a probe writes one every few minutes."""

READ_S = 2.0
"""A younger alarm takes no key: it was meant for what stood there before (a painter's look lasts so
long, house rule)."""

OLD_ANSWER = timedelta(minutes=1)
"""An alarm that rises so long after the last key takes a refusal away: "leave it on" is not to
stand under "rinse it" (house rule)."""


class AlarmWatch:
    """What is up on this terminal, when somebody last pressed a key, and the sounder.

    Answers are kept in memory and by each terminal for itself: after a restart what still holds
    rises again, and a screen in another room has to be answered there.
    """

    def __init__(self, bench: Paintbench) -> None:
        self._bench = bench
        self.known = Alarms()
        self._rose_s: dict[Cause, float] = {}
        self._key_at: timedelta | None = None
        self._to_sound: deque[tuple[str, str]] = deque()
        self._sounding = False
        self._sounder = Sounder()

    def begin(self) -> None:
        """Start, as if nobody had been there since the last entry of the log."""
        shop = self._bench.shop
        # What the clock or a probe wrote down by itself was nobody's.
        painters = self._bench.view.painters
        newest = log.last_line_at(shop, painters, LINES_BACK)
        gone = max(shop.clock.now() - newest, timedelta(0)) if newest else timedelta(0)
        self._key_at = shop.clock.up() - gone
        self._look(gone.total_seconds())

    def watch(self) -> None:
        """Raise what has come up since, forget what holds no longer."""
        if self._key_at is not None:
            gone_s = (self._bench.shop.clock.up() - self._key_at).total_seconds()
            self._look(gone_s if gone_s >= AWAY_S else None)

    def _look(self, gone_s: float | None) -> None:
        clock, now = self._bench.shop.clock, self._bench.now()
        holding = self._bench.view.alarming(now)
        up_s = clock.up().total_seconds()
        self.known, risen = update_alarms(self.known, holding, now, up_s, gone_s)
        if risen:
            self._rose_s |= dict.fromkeys((alarm.cause for alarm in risen), clock.monotonic())
            if isinstance(self._bench.said, Refusal) and self.without_a_key() >= OLD_ANSWER:
                self._bench.said = None
            self._sound(risen)
        if len(self._rose_s) > len(self.known.up):
            self._rose_s = {alarm.cause: self._rose_s[alarm.cause] for alarm in self.known.up}

    def without_a_key(self) -> timedelta:
        """How long ago the last key was pressed at this terminal."""
        up = self._bench.shop.clock.up()
        return timedelta(0) if self._key_at is None else up - self._key_at

    def key_pressed(self) -> None:
        """Note that somebody is here. It raises nothing: an alarm is seen before its key."""
        if self._key_at is not None:
            self._key_at = self._bench.shop.clock.up()

    def to_answer(self) -> tuple[Alarm, ...]:
        """What Enter answers on any screen just now: of the alarms that have stood for READ_S the
        topmost, or the whole list of what came up while nobody was there."""
        at_s = self._bench.shop.clock.monotonic()
        stood = {cause for cause, rose_s in self._rose_s.items() if at_s - rose_s >= READ_S}
        return self.known.next_answered(stood)

    def answer(self) -> tuple[Alarm, ...]:
        """Somebody has seen what there is to answer: give that."""
        seen = self.to_answer()
        self.known = answer_alarms(self.known, seen, self._bench.shop.clock.up().total_seconds())
        if len(seen) > 1:
            self._bench.tell(Outcome(f"answered: {len(seen)} alarms; what is not done comes back"))
        elif seen:
            self._bench.tell(Outcome(_answered(seen[0])))
        return seen

    # -- bell and sounder ------------------------------------------------------

    def _sound(self, risen: tuple[Alarm, ...]) -> None:
        if self._bench.view.house.bell:
            self._bench.bell()
        command = self._command()
        if not command.words:
            if command.not_run is not None:
                self._bench.tell(command.not_run)
            return
        wanted = ((alarm.want.word, alarm.place) for alarm in risen)
        self._to_sound.extend(entry for entry in wanted if entry not in self._to_sound)
        if not self._sounding:
            self._sounding = True
            self._bench.run_worker(self._sound_all(), exit_on_error=False)

    def _command(self) -> AlarmCommand:
        return alarm_command_to_run(self._bench.shop.allowed, self._bench.view.house.alarm_command)

    async def _sound_all(self) -> None:
        """One after the other; the command waits in a thread, the bench does not."""
        try:
            while self._to_sound:
                words = [*self._command().words, *self._to_sound.popleft()]
                limit_s = self._bench.view.house.alarm_command_s
                fault = await asyncio.to_thread(self._sounder.run, words, limit_s)
                if fault:
                    self._bench.tell(Refusal("alarm command failed", "", fault))
        finally:
            self._sounding = False

    def stop(self) -> None:
        """Stop the command: the program ends."""
        self._to_sound.clear()
        self._sounder.stop()


def _answered(alarm: Alarm) -> str:
    text = f"answered: {alarm.want.word} {alarm.where}"
    again_s = AGAIN_S.get(alarm.want.word)
    return f"{text}; reminds again in {format_duration(again_s)}" if again_s else text

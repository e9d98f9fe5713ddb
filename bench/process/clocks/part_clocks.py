"""A part's clocks on the calendar, worked out once per change and only compared per tick."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cached_property
from itertools import takewhile

from bench.process.clocks.conditions import Conditions, conditions_at, is_old
from bench.process.clocks.reading_log import Readings
from bench.process.clocks.stand_state import Clocks, name_of_test
from bench.process.clocks.temperature import LOOK_AHEAD_DAYS, READ_AGAIN, Hours, Reading, stretches
from bench.process.clocks.windows import Span, Weather, cure_span, put_back, spans_of
from bench.process.parts.part import REPAIRS, Part, StepRecord
from bench.process.sheets.product import SAND_TEST, Limits, Product
from bench.trade.ageing import COLDEST_C, Side
from bench.trade.log import Log

READINGS_BEFORE = timedelta(days=7)
"""How far before the oldest clock that runs readings matter: as far as events are put back."""

Logs = Mapping[Side, Log]
"""The temperatures for openings, and those for closings."""

LOOKED_AHEAD = timedelta(days=LOOK_AHEAD_DAYS)


@dataclass(frozen=True)
class Environment:
    """What the shop knows about its air: readings, hours, and the sheets of its products.

    readings: oldest first. drawn: temperatures that were drawn already, by when they begin; the
    same readings and hours with other sheets share them.
    """

    readings: Sequence[Reading]
    hours: Hours
    products: Mapping[str, Product]
    drawn: dict[datetime, Logs] = field(default_factory=dict, compare=False, repr=False)

    def newest(self) -> Reading | None:
        """Return the last reading, None when there is none."""
        return self.readings[-1] if self.readings else None

    def weather(self, limits: Limits | None = None) -> Weather:
        """Return the temperatures and humidity from any instant on, for a coat of these limits."""
        if limits is None or not limits.minds_humidity:
            return Weather(self._since, self.dry_until)
        ages_at = limits.rh_least_pct, limits.rh_stall_pct
        if ages_at not in self._by_humidity:
            self._by_humidity[ages_at] = self._standing_still(limits)
        opens = self._by_humidity[ages_at]

        def temperatures(since: datetime, side: Side) -> Log:
            return (opens if side == "opening" else self)._since(since, side)

        return Weather(temperatures, self.dry_until)

    @cached_property
    def _by_humidity(self) -> dict[tuple[float, float], Environment]:
        """Cache the answers of ``_standing_still`` by least and most humidity in percent."""
        return {}

    def _standing_still(self, limits: Limits) -> Environment:
        """Return the weather, too cold to age wherever the humidity read is wrong for the coat.

        A humidity holds until another is read.
        """
        readings: list[Reading] = []
        ages = True
        for reading in self.readings:
            ages = ages if reading.rh_pct is None else limits.ages_at(reading.rh_pct)
            readings.append(reading if ages else replace(reading, metal_c=COLDEST_C))
        return Environment(tuple(readings), self.hours, self.products)

    def dry_until(
        self, since: datetime, damp: datetime, dry: datetime, over_pct: float
    ) -> datetime:
        """Return until when a surface lasts that in damp air lasts from ``since`` to ``damp``.

        dry: how long it would in dry air. A humidity that was read counts for ``READ_AGAIN``; the
        first one over the limit, in percent, makes it damp from the beginning. What is read once
        it is over changes nothing any more.
        """
        before = takewhile(lambda reading: not is_old(reading.at, since), self.back_from(since))
        first = next((reading for reading in before if reading.rh_pct is not None), None)
        later = (reading for reading in self.during(since, dry) if reading.at > since)
        lasts = min(damp, dry)
        for reading in (*([first] if first else []), *later):
            if reading.at >= lasts:
                break
            if reading.rh_pct is not None and reading.rh_pct > over_pct:
                return damp
            if reading.rh_pct is not None:
                lasts = min(dry, max(lasts, reading.at + READ_AGAIN))
        return lasts

    def paint_c(self, at: datetime) -> float | None:
        """Return how warm paint in a pot is, as last read before ``at``; None when nothing was.

        A pot stands in the air, however cold the metal is that was rolled in. Of a probe's jump
        that nobody answered and the reading before it the colder counts: a pot then rests longer.
        """
        newest = next((reading.air_c for reading in self.back_from(at)), None)
        before = next(self._before_a_jump(at), None)
        return newest if newest is None or before is None else min(newest, before.air_c)

    def conditions(self, at: datetime) -> Conditions | None:
        """Give what is known of the air and of surfaces at an instant; None where nothing was read.

        After a probe's jump that nobody answered, what was known before it is in it too.
        """
        air = conditions_at(self.back_from(at), at)
        jump = self.hours.unanswered
        if air is None or jump is None:
            return air
        return replace(air, before=conditions_at(self._before_a_jump(at), jump.since))

    def _before_a_jump(self, at: datetime) -> Iterator[Reading]:
        """Yield the readings before a probe's jump that nobody answered by then, newest first."""
        jump = self.hours.unanswered
        if jump is not None and jump.since <= at:
            yield from (
                reading for reading in self.back_from(jump.since) if reading.at < jump.since
            )

    def back_from(self, at: datetime) -> Iterator[Reading]:
        """Return the readings up to an instant, newest first."""
        place = bisect_right(self.readings, at, key=_read_at)
        return (self.readings[n] for n in range(place - 1, -1, -1))

    def during(self, since: datetime, until: datetime) -> Sequence[Reading]:
        """Give the readings of a while with the last one before it, oldest first."""
        first = max(bisect_right(self.readings, since, key=_read_at) - 1, 0)
        return self.readings[first : bisect_right(self.readings, until, key=_read_at)]

    def with_more(self, more: Iterable[Reading]) -> Environment:
        """Return it with later readings; only the temperatures that they change are drawn again."""
        added, before = sorted(more, key=_read_at), Readings.of(self.readings)
        if not added:
            return self
        readings = before.with_more(added)
        if not before or added[0].at < before[0].at:
            return replace(self, readings=readings, drawn={})
        since = min(before[-1].at, added[0].at)
        last = bisect_right(readings, since, key=_read_at) - 1
        ahead = stretches(readings[last:], self.hours, since)
        logs: Logs = {
            side: log.redrawn(since.timestamp(), ahead[side])
            for side, log in self._from(before[0].at).items()
        }
        return replace(self, readings=readings, drawn={before[0].at: logs})

    def only_since(self, since: datetime) -> Environment:
        """Return it without the readings that tell nothing of ``since`` or later."""
        first = max(bisect_left(self.readings, since, key=_read_at) - 1, 0)
        if first == 0:
            return self
        readings = Readings.of(self.readings)[first:]
        first_s = readings[0].at.timestamp()
        logs_by_side = self._from(self.readings[0].at)
        logs: Logs = {side: log.without(first_s) for side, log in logs_by_side.items()}
        return replace(self, readings=readings, drawn={readings[0].at: logs})

    def _since(self, since: datetime, side: Side) -> Log:
        """Return the temperatures from an instant on, drawn from few starts for many clocks."""
        newest = self.newest()
        if newest is not None and self.readings[0].at <= since <= newest.at + LOOKED_AHEAD:
            return self._from(self.readings[0].at)[side]
        day = since.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
        return self._from(day)[side]

    def _from(self, start: datetime) -> Logs:
        if start not in self.drawn:
            by_side = stretches(self.readings, self.hours, start)
            self.drawn[start] = {side: Log.of(by_side[side]) for side in by_side}
        return self.drawn[start]


def _read_at(reading: Reading) -> datetime:
    return reading.at


def clocks_of(part: Part, around: Environment, *, doubtful: bool = False) -> Clocks:
    """Return the spans that decide the part's next step. doubtful: the computer's clock is off."""
    finished, current = part.clock_step(), part.current()
    if finished is None or current is None or finished.last_at is None:
        own = _own_spans(part, current, around) if current is not None else ()
        return Clocks(own=own, doubtful=doubtful)
    clocks = clocks_after(part, finished, around, doubtful=doubtful)
    clocks = replace(clocks, own=_own_spans(part, current, around))
    test = name_of_test(finished, around.products.get(finished.step.product))
    if current.step.name in REPAIRS and finished.step.kind == "coat":
        test = SAND_TEST
    if current.step.kind != "cure":
        return replace(clocks, test=test)
    return replace(clocks, test=current.step.test or test, cure=cure_of(part, current, around))


def _own_spans(part: Part, coat: StepRecord, around: Environment) -> tuple[Span, ...]:
    """Return the bands of a coat in hand that another follows, counted from its first face."""
    following = [record for record in part.steps if record.number > coat.number]
    to_follow = next((r for r in following if r.status == "todo"), None)
    if coat.step.kind != "coat" or coat.first_at is None or not coat.open_marks():
        return ()
    if to_follow is None or to_follow.step.kind != "coat":
        return ()
    as_finished = replace(coat, status="done", last_at=coat.first_at)
    return clocks_after(part, as_finished, around).spans


def clocks_after(
    part: Part,
    record: StepRecord,
    around: Environment,
    *,
    weather: Weather | None = None,
    doubtful: bool = False,
) -> Clocks:
    """Return the clocks of what one finished step leaves behind.

    weather: the temperatures it has, where they are drawn already; doubtful: the clock is wrong.
    """
    assert record.last_at is not None
    product, newest = around.products.get(record.step.product), around.newest()
    read_at = newest.at if newest else None
    limits = product.limits if product and record.step.kind == "coat" else None
    spans = spans_of(part, record, product, weather or around.weather(limits))
    spans = tuple(_as_far_as_read(span, read_at) for span in spans)
    return Clocks(spans, read_at=read_at, doubtful=doubtful)


def readings_since(
    now: datetime, parts: Iterable[Part], mixed: Iterable[datetime] = ()
) -> datetime:
    """Return from when on readings matter to the clocks of parts, pots and one mixed ``now``."""
    return oldest_clock_start(now, parts, mixed) - READINGS_BEFORE


def oldest_clock_start(
    now: datetime, parts: Iterable[Part], mixed: Iterable[datetime] = ()
) -> datetime:
    """Find when the oldest clock began that still runs. mixed: when each pot was."""
    return min([now, *mixed, *(at for part in parts for at in clocks_began_at(part))])


def clocks_began_at(part: Part) -> Iterator[datetime]:
    """Yield when the clocks that ``clocks_of`` works out began."""
    last = part.clock_step()
    for record in (*([last] if last else []), *part.done_coats()[-1:]):
        first_at = part.coat_first_at(record)
        if first_at is not None:
            yield first_at


def _as_far_as_read(span: Span, read_at: datetime | None) -> Span:
    """Mark a time that hangs on temperature as an estimate where nobody read a thermometer."""
    return replace(span, basis="guess") if span.aged and read_at is None else span


def cure_of(part: Part, cure: StepRecord, around: Environment) -> Span | None:
    """Return the span from the last coat's last face to full cure; None without a coat.

    A "not yet" puts its end back.
    """
    coats = part.done_coats()
    product = around.products.get(coats[-1].step.product) if coats else None
    if product is None or coats[-1].last_at is None:
        return None
    span = cure_span(part, coats[-1], product, around.weather(product.limits))
    if cure.not_before and span.end and cure.not_before > span.end:
        span = put_back(span, cure.not_before)
    newest = around.newest()
    return _as_far_as_read(span, newest.at if newest else None)

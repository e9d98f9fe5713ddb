"""What a reading means for painting: dew point, the metal's margin over it, a product's limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import takewhile

from bench.process.clocks.temperature import READ_AGAIN, Reading
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Limits
from bench.process.wording.time_text import format_duration
from bench.trade.air import Limit, Verdict, verdict

SURFACE_FOLLOWS = timedelta(hours=1)
"""So long before the newest air a surface reading still tells of the surface (common practice, no
source): steel follows the air within hours, so an older one may hide how cold it is."""

UNANSWERED_TEXT = "the probe's jump is not answered yet, so what it read before counts too"

WASH_LEAST_C, WASH_MOST_C = 5.0, 30.0
"""Surface temperatures in C at which the time of a wash holds (common practice, no source): colder
it hardly bites, hotter it dries on."""

LIMITS: dict[Limit, rules.Rule] = {
    "dew point": rules.DEW_POINT,
    "humidity": rules.HUMIDITY,
    "cold": rules.TOO_COLD,
    "warm": rules.TOO_WARM,
}
"""The rule of each limit that a reading can break."""


def is_old(read_at: datetime, now: datetime) -> bool:
    """Return whether what was read then tells nothing of now any more: more than four hours ago."""
    return now - read_at > READ_AGAIN


@dataclass(frozen=True)
class Conditions:
    """Holds what is known of the air and of surfaces in it, from one or more readings.

    newest: the last reading; damp, surface: the last ones with a humidity, and with a surface
    temperature. A probe seldom reads both. before: what was known before a probe's jump that no
    painter answered yet; each limit is then judged by the worse of the two.
    """

    newest: Reading
    damp: Reading | None
    surface: Reading | None
    before: Conditions | None = None

    @property
    def surface_known(self) -> bool:
        """Give whether the surface was read with the newest air, or less than an hour before it."""
        surface = self.surface
        return surface is not None and self.newest.at - surface.at <= SURFACE_FOLLOWS

    @property
    def coldest_c(self) -> float:
        """Return the surface temperature to judge cold and dew by.

        It is the lower of an older one and newer air.
        """
        return min(self._surfaces_c)

    @property
    def warmest_c(self) -> float:
        """Return the surface temperature to judge heat by: the higher of the two."""
        return max(self._surfaces_c)

    @property
    def by_air(self) -> bool:
        """Return whether cold and dew are judged by the air, taken for the surface."""
        surfaces = (self.surface, self.before.surface if self.before else None)
        return self.coldest_c not in (
            reading.metal_c for reading in surfaces if reading is not None
        )

    @property
    def _surfaces_c(self) -> tuple[float, ...]:
        surface, before = self.surface, self.before._surfaces_c if self.before else ()
        if surface is None or surface.metal_c is None:
            return (self.newest.air_c, *before)
        newer = () if surface is self.newest else (self.newest.air_c,)
        return (surface.metal_c, *newer, *before)

    @property
    def damps(self) -> tuple[tuple[Reading, float], ...]:
        """Return each reading that the dew point is judged by, with its humidity in percent."""
        before = self.before.damps if self.before else ()
        damp = self.damp
        return before if damp is None or damp.rh_pct is None else ((damp, damp.rh_pct), *before)

    def judged(self, limits: Limits | None = None, mark: str = "") -> Verdict | None:
        """Judge it against a product's limits, else the usual ones; None without a humidity.

        mark: that of the product's figures. Raises ValueError for a reading that cannot be right.
        """
        if self.damp is None:
            return None
        verdicts = (self._in(reading.air_c, rh_pct, limits, mark) for reading, rh_pct in self.damps)
        worst, *others = sorted(verdicts, key=lambda each: each.margin_c)
        broken = {name: words for each in (*others, worst) for name, words in each.broken}
        return replace(worst, broken=tuple(broken.items()))

    def _in(self, air_c: float, rh_pct: float, limits: Limits | None, mark: str) -> Verdict:
        """Judge the surfaces in air that was read."""
        air = (air_c, rh_pct)
        if limits is None:
            return verdict(*air, self.coldest_c)
        cold = verdict(
            *(*air, self.coldest_c),
            margin_least_c=limits.dew_margin_c,
            rh_most_pct=limits.rh_most_pct,
            metal_least_c=limits.metal_least_c,
            mark=mark,
        )
        heat = verdict(*air, self.warmest_c, metal_most_c=limits.metal_most_c, mark=mark)
        warm = tuple(limit for limit in heat.broken if limit[0] == "warm")
        return replace(cold, broken=(*cold.broken, *warm))


def conditions_at(newest_first: Iterable[Reading], at: datetime) -> Conditions | None:
    """Give what is known of the air at an instant; None where nothing was read before it.

    newest_first: the readings up to ``at``. The last one counts however old it is, those before
    it for four hours.
    """
    readings = iter(newest_first)
    newest = next(readings, None)
    if newest is None:
        return None
    fresh = [newest, *takewhile(lambda reading: not is_old(reading.at, at), readings)]
    damp = next((r for r in fresh if r.rh_pct is not None), None)
    return Conditions(newest, damp, next((r for r in fresh if r.metal_c is not None), None))


def usual_verdict(air: Conditions | None) -> Verdict | None:
    """Judge the air against the usual limits; None where it cannot be judged.

    There is no humidity, or one so low that it was misread.
    """
    try:
        return air.judged() if air else None
    except ValueError:
        return None


def judge_reading(reading: Reading) -> Verdict | None:
    """Judge one reading by itself against the usual limits, as ``usual_verdict``."""
    return usual_verdict(conditions_at([reading], reading.at))


def margin_doubt(margin_c: float, limits: Limits, error_c: float) -> str:
    """Say that a margin above the dew point is nearer to its minimum than a thermometer reads.

    error_c: of the surface thermometer, 0 where nobody recorded it. Empty where it is further off.

    >>> margin_doubt(3.2, Limits(), 0.5)
    "margin 3.2 C, minimum 3 C: within the surface thermometer's error of 0.5 C"
    >>> margin_doubt(3.6, Limits(), 0.5), margin_doubt(3.0, Limits(), 0)
    ('', '')
    """
    if not error_c or round(abs(margin_c - limits.dew_margin_c), 6) > error_c:
        return ""
    return (
        f"margin {margin_c:.1f} C, minimum {limits.dew_margin_c:g} C: within the surface "
        f"thermometer's error of {error_c:g} C"
    )


def margin_doubt_words(air: Conditions | None, limits: Limits, error_c: float) -> str:
    """Say the same of the air as it is known; empty where it cannot be judged."""
    try:
        verdict = air.judged(limits) if air is not None else None
    except ValueError:
        return ""
    return margin_doubt(verdict.margin_c, limits, error_c) if verdict is not None else ""


def conditions_against(
    air: Conditions | None,
    limits: Limits,
    at: datetime,
    mark: str = "",
    surface_error_c: float = 0.0,
) -> tuple[Refusal, ...]:
    """Return why not to coat in the air as last read before ``at``; empty where nothing forbids it.

    air: as it is known at ``at``; mark: that of the product's figures; surface_error_c: of the
    surface thermometer. Each limit that is broken is a refusal of its own, and so is a surface that
    may be colder than the air.
    """
    if air is None:
        rule = "no reading of the air"
        return (rules.NO_READING.refuses(rule, "none yet", "take a reading first"),)
    if is_old(air.newest.at, at):
        return (_too_old(air.newest, at),)
    try:
        verdict = air.judged(limits, mark)
    except ValueError as fault:
        rule = "the reading cannot be right"
        return (rules.READING_WRONG.refuses(rule, str(fault), "read it again"),)
    if verdict is None:
        figure = f"air {air.newest.air_c:g} C only"
        remedy = "read it too, for the dew point"
        return (rules.NO_HUMIDITY.refuses("humidity was not read", figure, remedy),)
    doubted = f"; {UNANSWERED_TEXT}" if air.before else ""
    near = margin_doubt(verdict.margin_c, limits, surface_error_c)
    broken = [
        _broken(name, words, doubted + (f"; {near}" if near and name == "dew point" else ""), air)
        for name, words in verdict.broken
    ]
    rh_pct = min(rh_pct for _, rh_pct in air.damps)
    if rh_pct < limits.rh_least_pct:
        figure = f"{rh_pct:g} % humidity, at least {limits.rh_least_pct:g}{mark} %"
        broken.append(rules.HUMIDITY.refuses("outside its limits", figure, "wait for damper air"))
    if not air.surface_known:
        broken.append(_surface_unknown(air))
    return tuple(broken)


def air_taken_words(air: Conditions | None) -> str:
    """Say that the air is taken for a surface nobody read; empty where the surface was."""
    if air is None or air.surface is not None:
        return ""
    return f"surface not read: air {air.newest.air_c:g} C taken for it"


def wash_against(
    air: Conditions | None, limits: Limits, at: datetime, mark: str = ""
) -> tuple[Refusal, ...]:
    """Return why not to wet a surface with a wash at ``at``; empty where its time holds.

    air: the surface or, marked, the air for it, read within four hours. limits: of the wash's
    product, which may be narrower; mark: that of its figures.
    """
    least_c = max(WASH_LEAST_C, limits.metal_least_c)
    most_c = min(WASH_MOST_C, limits.metal_most_c)
    if air is None:
        rule = "surface temperature not read"
        figure = f"the time of a wash holds from {least_c:g} to {most_c:g} C"
        return (rules.NO_READING.refuses(rule, figure, "take a reading first"),)
    if is_old(air.newest.at, at):
        return (_too_old(air.newest, at),)
    rule = "the time of a wash does not hold at this temperature"
    source = "air, surface not read," if air.by_air else "surface"
    if air.coldest_c < least_c:
        of_product = mark if least_c > WASH_LEAST_C else ""
        figure = f"{source} {air.coldest_c:g} C, from {least_c:g}{of_product} C on"
        return (rules.TOO_COLD.refuses(rule, figure, "warm it"),)
    if air.warmest_c > most_c:
        of_product = mark if most_c < WASH_MOST_C else ""
        figure = f"surface {air.warmest_c:g} C, up to {most_c:g}{of_product} C"
        return (rules.TOO_WARM.refuses(rule, figure, "cool it, out of the sun"),)
    return ()


def _too_old(newest: Reading, at: datetime) -> Refusal:
    age_s = (at - newest.at).total_seconds()
    age = f"{format_duration(age_s)} old, at most {READ_AGAIN.seconds // 3600} h"
    return rules.READING_OLD.refuses("the last reading is too old", age, "take a reading first")


def _surface_unknown(air: Conditions) -> Refusal:
    """Refuse air without a surface reading.

    Steel that was rolled in, or stood through a night, may be colder than the air.
    """
    if air.surface is None:
        figure = f"air {air.newest.air_c:g} C only"
    else:
        before = (air.newest.at - air.surface.at).total_seconds()
        figure = f"surface {air.surface.metal_c:g} C, read {format_duration(before)} before the air"
    rule = "the surface may be colder than the air"
    return rules.NO_SURFACE.refuses(rule, figure, "read the surface temperature")


def _broken(limit: Limit, words: str, doubted: str, air: Conditions) -> Refusal:
    """Refuse a broken limit, in the words of its sum: what was read, then what would be right."""
    figure, _, remedy = words.partition(": ")
    if air.by_air and limit in ("dew point", "cold"):
        figure += "; surface not read, air taken for it"
    return LIMITS[limit].refuses("outside its limits", f"{figure}{doubted}", remedy)

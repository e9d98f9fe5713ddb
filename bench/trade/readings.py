"""A set of dry-film readings, judged by the rule of ISO 19840, with the reason."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from bench.trade import checked

LEAST_NOMINAL_UM = 40.0
"""Thinner films are outside the scope of ISO 19840:2012 (seen); an etch primer is one."""

LEAST_SHARE = 0.8
"""No reading below this share of the nominal film: Vereniging Qualion on NEN-ISO 19840:2005."""

THIN_ONE_IN = 5
"""Readings below nominal must be fewer than one in five: the same answer."""

MOST_TIMES_NOMINAL = 3.0
"""No reading above this many times nominal, where the sheet has no most: the same answer."""

MOST_SPREAD_PCT = 30.0
"""Greatest less least, of the mean; past this take more readings (common practice, no source)."""

LEAST_READINGS = 5
"""On up to 1 m2: ISO 19840, from memory."""

LEAST_AREA_M2, MOST_AREA_M2 = 0.0001, 100_000.0

_READINGS_BY_M2 = ((1.0, 5), (3.0, 10), (10.0, 15), (30.0, 20), (100.0, 30))
"""Up to so many m2, so many readings: ISO 19840 as printed in JPCL, "DFT measurements: how many are
enough?"; up to 1 and from 3 to 10 m2 from memory."""

ROUGHNESS_UM = {"smooth": 0.0, "fine": 10.0, "medium": 25.0, "coarse": 40.0, "unknown": 25.0}
"""What a blasted profile adds to a reading: ISO 19840, from memory. Unblasted zinc is smooth."""


@dataclass(frozen=True)
class FilmVerdict:
    """What a set of readings says, in um after correction.

    ``accept`` is the rule's answer, for its ``reasons``; count: how many readings there are;
    wanted: how many there have to be.
    """

    mean_um: float
    least_um: float
    most_um: float
    spread_pct: float
    accept: bool
    reasons: tuple[str, ...]
    count: int
    wanted: int

    @property
    def uneven(self) -> str:
        """Say that the readings differ too much to lean on; empty where they do not."""
        if self.spread_pct <= MOST_SPREAD_PCT:
            return ""
        return f"they differ by {self.spread_pct:.0f} % of the mean, over {MOST_SPREAD_PCT:g} %"

    @property
    def take_more(self) -> bool:
        """Return whether the set is too small or too uneven, whatever the rule says."""
        return self.count < self.wanted or bool(self.uneven)

    @property
    def why(self) -> str:
        """Give the reasons for both in a sentence."""
        few = f"{self.count} readings of {self.wanted}" if self.count < self.wanted else ""
        more = (f"take more: {each}" for each in (few, self.uneven) if each)
        return "; ".join([*self.reasons, *more])


def judge(
    readings_um: Sequence[float],
    nominal_um: float,
    *,
    correction_um: float = 0.0,
    most_um: float | None = None,
    area_m2: float | None = None,
) -> FilmVerdict:
    """Accept or reject dry-film readings against a nominal film, and say why.

    Accepted when the mean is at least nominal, no reading is below 0.8 of it, fewer than 20 % of
    the readings are below it, and none is above ``most_um`` (else three times nominal).
    ``correction_um`` is taken off each reading (see ROUGHNESS_UM); readings over zinc come here
    with the zinc already off. ``area_m2`` asks for the standard's number of readings; without it
    five. More are asked for too when greatest less least is over 30 % of the mean.
    Range: nominal 40 to 3000 um; readings -200 to 10,000 um; correction 0 to 60 um.
    Readings are at random places: extra ones on spots that look thin do not enter the mean.
    Raises ValueError outside the range, without readings, for a mean at or under zero, and for a
    nominal film under 40 um, which the standard does not judge.
    Source: ISO 19840:2012 (scope and random places seen), the rules as Vereniging Qualion gives
    them for the edition of 2005 (vereniging-qualion.nl); correction from memory.

    >>> verdict = judge([72, 65, 58], 60)
    >>> verdict.mean_um, verdict.least_um, verdict.accept, verdict.take_more
    (65.0, 58.0, False, True)
    >>> print(verdict.why)
    1 of 3 below 60 um, 20 % or more; take more: 3 readings of 5
    """
    _check_nominal(nominal_um)
    films = _correct(readings_um, correction_um)
    mean_um = fmean(films)
    if mean_um <= 0:
        raise ValueError(
            f"read a mean of {mean_um:.4g} um, which is no film; wanted the gauge zeroed and the "
            "zinc or roughness taken off checked"
        )
    top_um = MOST_TIMES_NOMINAL * nominal_um if most_um is None else most_um
    checked.number(top_um, "maximum film, not below nominal,", "um", least=nominal_um, most=10_000)
    spread_pct = 100 * (max(films) - min(films)) / mean_um
    broken = _broken_rules(films, mean_um, nominal_um, top_um)
    summary = (
        f"mean {mean_um:.4g} um against {nominal_um:g}, least {min(films):.4g}, "
        f"most {max(films):.4g}"
    )
    return FilmVerdict(
        mean_um=mean_um,
        least_um=min(films),
        most_um=max(films),
        spread_pct=spread_pct,
        accept=not broken,
        reasons=tuple(broken or [summary]),
        count=len(films),
        wanted=LEAST_READINGS if area_m2 is None else least_readings(area_m2),
    )


def least_readings(area_m2: float) -> int:
    """Return the least number of readings for a painted area.

    5 up to 1 m2, 10 to 3, 15 to 10, 20 to 30, 30 to 100, then 10 more for each 100 m2 begun.
    Range: 0.0001 to 100,000 m2. Raises ValueError outside it.
    Source: ISO 19840; what was seen of its table, and where, stands at the table.

    >>> least_readings(7.5)
    15
    """
    checked.number(area_m2, "area", "m2", least=LEAST_AREA_M2, most=MOST_AREA_M2)
    for up_to_m2, count in _READINGS_BY_M2:
        if area_m2 <= up_to_m2:
            return count
    return 30 + 10 * math.ceil((area_m2 - 100) / 100)


def _check_nominal(nominal_um: float) -> None:
    if 0 <= nominal_um < LEAST_NOMINAL_UM:
        raise ValueError(
            f"nominal film: read {nominal_um:g} um; ISO 19840 starts at 40 um: hold a thinner "
            "film, such as an etch primer, by its wet film"
        )
    checked.number(nominal_um, "nominal film", "um", least=LEAST_NOMINAL_UM, most=3000)


def _correct(readings_um: Sequence[float], correction_um: float) -> list[float]:
    if not readings_um:
        raise ValueError("readings: read nothing; wanted five or more dry-film readings in um")
    checked.number(correction_um, "correction", "um", least=0, most=60)
    for n, reading in enumerate(readings_um, start=1):
        checked.number(reading, f"reading {n}", "um", least=-200, most=10_000)
    # Rounded so that 72.3 less 12.3 is 60 and not a hair below nominal.
    return [round(reading - correction_um, 6) for reading in readings_um]


def _broken_rules(
    films: Sequence[float], mean_um: float, nominal_um: float, top_um: float
) -> list[str]:
    floor_um = round(LEAST_SHARE * nominal_um, 6)
    thin = sum(1 for film in films if film < nominal_um)
    broken = []
    if round(mean_um, 6) < nominal_um:
        broken.append(f"mean {mean_um:.4g} um below {nominal_um:g} um")
    if min(films) < floor_um:
        broken.append(f"{min(films):.4g} um below {floor_um:g} um, 80 % of nominal")
    if THIN_ONE_IN * thin >= len(films):
        broken.append(f"{thin} of {len(films)} below {nominal_um:g} um, 20 % or more")
    if max(films) > top_um:
        broken.append(f"{max(films):.4g} um above the maximum, {top_um:g} um")
    return broken

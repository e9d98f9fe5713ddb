"""Instruments that a surface is measured with: when they were calibrated, when a check is due."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

INSTRUMENT_KINDS = {
    "film gauge": "um",
    "wet-film comb": "um",
    "profile gauge": "um",
    "salt meter": "uS/cm",
    "pH meter": "",
    "surface thermometer": "C",
    "cutter": "",
}
"""Each kind, and the unit of its error."""

_PINT = {"um": "micrometre", "uS/cm": "microsiemens / centimetre", "C": "delta_degC"}

_READS = {
    "zinc": "film gauge",
    "wft": "wet-film comb",
    "dft": "film gauge",
    "profile": "profile gauge",
    "salts": "salt meter",
    "crosscut": "cutter",
    "ph": "pH meter",
}
"""By kind of measurement, the kind of instrument that reads it."""

THERMOMETER = "surface thermometer"


@dataclass(frozen=True)
class Instrument:
    """An instrument. number: of its maker; error: of one reading, in its kind's unit.

    calibrated, check_by: days, None where nobody said; gone: it is no longer used.
    """

    name: str
    kind: str
    number: str = ""
    error: float | None = None
    calibrated: date | None = None
    check_by: date | None = None
    gone: bool = False


def error_unit(kind: str) -> str:
    """Return the unit of a kind's error as quantities are read in."""
    return _PINT.get(INSTRUMENT_KINDS[kind], "dimensionless")


def due_words(instrument: Instrument, on: date) -> str:
    """Say that a check was due on a day; empty where it was not, or nobody said when.

    >>> gauge = Instrument("G1", "film gauge", check_by=date(2026, 3, 1))
    >>> due_words(gauge, date(2026, 3, 1)), due_words(gauge, date(2026, 3, 2))
    ('', 'G1: its check was due 2026-03-01')
    """
    if instrument.check_by is None or on <= instrument.check_by:
        return ""
    return f"{instrument.name}: its check was due {instrument.check_by}"


def usual_instrument(instruments: Iterable[Instrument], measured: str) -> Instrument | None:
    """Return the only instrument in use that reads a kind of measurement; None of several.

    >>> gauge, salts = Instrument("G1", "film gauge"), Instrument("S1", "salt meter")
    >>> usual_instrument([gauge, salts], "dft").name
    'G1'
    >>> usual_instrument([gauge, Instrument("G2", "film gauge")], "dft")
    """
    fitting = [each for each in instruments if each.kind == _READS.get(measured) and not each.gone]
    return fitting[0] if len(fitting) == 1 else None


def instrument_words(instrument: Instrument) -> str:
    """Say what an instrument is, and how far it can be trusted.

    >>> instrument_words(Instrument("G1", "film gauge", "4711", 2, date(2026, 1, 5)))
    'G1 (film gauge, no. 4711, error 2 um, calibrated 2026-01-05)'
    """
    unit = f" {INSTRUMENT_KINDS[instrument.kind]}".rstrip()
    facts = [instrument.kind]
    facts += [f"no. {instrument.number}"] if instrument.number else []
    facts += [f"error {instrument.error:g}{unit}"] if instrument.error is not None else []
    calibrated = f"calibrated {instrument.calibrated}" if instrument.calibrated else ""
    facts.append(calibrated or "no calibration recorded")
    facts += [f"check due {instrument.check_by}"] if instrument.check_by else []
    facts += ["gone"] if instrument.gone else []
    return f"{instrument.name} ({', '.join(facts)})"

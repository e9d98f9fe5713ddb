"""What the file of a probe says: a temperature, a humidity, or what is wrong with it in words.

Four kinds of file are known by their names: Linux hwmon (``temp1_input``), iio
(``in_temp_input``, ``in_humidityrelative_input``), 1-wire (``w1_slave``, and ``temperature`` in a
sensor's own folder), and any other file with one number in it. Sources: the kernel's
documentation of those interfaces, from memory; the sensor's data sheet for its power-on value.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from pathlib import PurePath
from typing import Literal

from bench.process.calendar.thermometers import COLDEST_READING_C, WARMEST_READING_C

ProbeQuantity = Literal["air", "metal", "humidity"]
MEASURED: tuple[ProbeQuantity, ...] = ("air", "metal", "humidity")

POWER_ON_C = 85.0
"""What a common 1-wire sensor says until it has measured once (its data sheet, from memory)."""
DISCONNECTED_C = -127.0
"""What drivers say of a 1-wire sensor that does not answer (common practice, no source)."""

LONGEST_TEXT = 200
"""A probe's file is a line or two; more than this is some other file."""

_MILLI_C = re.compile(r"temp\d+_input|in_temp(_\w+)?_input")
_MILLI_PCT = re.compile(r"humidity\d+_input|in_humidityrelative(_\w+)?_input")
_RAW = re.compile(r"in_\w+_raw")
_SENSOR_FOLDER = re.compile(r"[0-9a-f]{2}-[0-9a-f]{12}", re.IGNORECASE)
_ONE_WIRE = re.compile(r"t=(-?[0-9]+)\s*$")
_WHOLE = re.compile(r"[+-]?[0-9]+")
_PLAIN = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)\s*(°?\s*C|%)?", re.IGNORECASE)


EVERY_MIN = 10.0
"""How often a probe is read where the shop does not say (common practice, no source)."""


@dataclass(frozen=True)
class Probes:
    """The files to read, and how long at least between two readings.

    doubt_c: so far off the last one, in C, a reading waits for a second one
    (``reading_doubts.doubt_of``).
    """

    paths: Mapping[ProbeQuantity, str]
    every: timedelta = timedelta(minutes=EVERY_MIN)
    doubt_c: float = 8.0


@dataclass(frozen=True)
class ProbeFault:
    """Why a probe gives no figure, in words, and what a painter does about it."""

    words: str
    remedy: str = "see that it is plugged in, else give its file in the settings"


def probe_value(text: str, path: str, what: ProbeQuantity) -> float | ProbeFault:
    """Read the temperature in C or the humidity in percent in the text of a probe's file.

    text: the whole file; path: decides how it is read; what: decides which figures are possible,
    -30 to 50 C for air and metal, over 0 to 100 % for humidity. Never raises.

    >>> probe_value("21062\\n", "/sys/class/hwmon/hwmon0/temp1_input", "air")
    21.062
    >>> broken = "aa : crc=57 NO\\naa t=21062\\n"
    >>> probe_value(broken, "/sys/bus/w1/devices/28-0/w1_slave", "metal").words
    'CRC not right'
    """
    value = _figure(text, PurePath(path), humidity=what == "humidity")
    if isinstance(value, ProbeFault):
        return value
    if what == "humidity" and not 0 < value <= 100:
        return ProbeFault(f"{value:g} % is no humidity")
    if what != "humidity" and not COLDEST_READING_C <= value <= WARMEST_READING_C:
        return ProbeFault(
            f"{value:g} C is outside {COLDEST_READING_C:g} to {WARMEST_READING_C:g} C"
        )
    return value


def _figure(text: str, path: PurePath, *, humidity: bool) -> float | ProbeFault:
    if not text.strip():
        return ProbeFault("the file is empty")
    if len(text) > LONGEST_TEXT:
        return ProbeFault("not a probe's file: too long")
    if _RAW.fullmatch(path.name):
        return ProbeFault("raw counts: give the file that ends in _input")
    one_wire = path.name == "w1_slave" or _is_one_wire(path)
    if humidity and (one_wire or _MILLI_C.fullmatch(path.name)):
        return ProbeFault("this file is a temperature")
    if not humidity and _MILLI_PCT.fullmatch(path.name):
        return ProbeFault("this file is a humidity")
    if path.name == "w1_slave":
        return _slave(text)
    if one_wire:
        return _sensor(_milli(text))
    if _MILLI_C.fullmatch(path.name) or _MILLI_PCT.fullmatch(path.name):
        return _milli(text)
    return _plain(text, humidity=humidity)


def _is_one_wire(path: PurePath) -> bool:
    """A file called temperature is in thousandths only where the kernel's 1-wire driver made it."""
    return path.name == "temperature" and bool(_SENSOR_FOLDER.fullmatch(path.parent.name))


def _slave(text: str) -> float | ProbeFault:
    """Nine bytes and the verdict on their sum, then the same bytes and the temperature."""
    lines = [line.strip() for line in text.strip().splitlines()]
    if lines[0].endswith("NO"):
        return ProbeFault("CRC not right")
    match = _ONE_WIRE.search(lines[-1])
    if not lines[0].endswith("YES") or match is None:
        return ProbeFault("not a 1-wire reading")
    bytes_read = lines[0].partition(":")[0].split()
    if bytes_read and not any(byte.strip("0") for byte in bytes_read):
        # Nine zeros have the sum zero, so the check does not notice a line that is dead.
        return ProbeFault("not connected: every byte is 0")
    return _sensor(int(match[1]) / 1000)


def _sensor(value: float | ProbeFault) -> float | ProbeFault:
    if value == POWER_ON_C:
        return ProbeFault("85 C: it has not measured since it was switched on")
    if value == DISCONNECTED_C:
        return ProbeFault("-127 C: not connected")
    return value


def _milli(text: str) -> float | ProbeFault:
    if not _WHOLE.fullmatch(text.strip()):
        return _not_a_number(text)
    return int(text) / 1000


def _plain(text: str, *, humidity: bool) -> float | ProbeFault:
    match = _PLAIN.fullmatch(text.strip())
    if match is None:
        return _not_a_number(text)
    if match[2] and (match[2] == "%") != humidity:
        return ProbeFault(f"this file is a {'temperature' if humidity else 'humidity'}")
    return float(match[1].replace(",", "."))


def _not_a_number(text: str) -> ProbeFault:
    printable = "".join(c if c.isprintable() else " " for c in text.strip())
    return ProbeFault(f"not a number: {printable[:20]}")

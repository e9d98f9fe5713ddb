"""What can be measured on a part: each kind with its unit, its plausible range, how many readings.

Routes and data sheets name kinds, so they stand beside them; what readings mean is judged in
``process/parts/measurements.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.trade import checked, film
from bench.trade.readings import LEAST_READINGS
from bench.trade.zinc import MOST_ZINC_UM


@dataclass(frozen=True)
class MeasurementKind:
    """One kind.

    unit: as it is shown, empty for a class; least, most: a reading outside is a slip; wanted: so
    many readings, on each face where a_face; over: the least is left out; whole: a class; words:
    what is chosen instead of a number; sized: a size class may follow the rating; method: the
    standard it is measured by.
    """

    key: str
    name: str
    unit: str = ""
    least: float = 0.0
    most: float = 0.0
    wanted: int = 1
    a_face: bool = False
    over: bool = False
    whole: bool = False
    words: tuple[str, ...] = ()
    sized: bool = False
    method: str = ""

    def check(self, reading: float) -> float:
        """Return a reading that can be right. Raises ValueError with the range."""
        bounds = {"over": self.least} if self.over else {"least": self.least}
        checked.number(reading, self.name, self.unit, most=self.most, **bounds)
        if self.whole and reading != int(reading):
            raise ValueError(f"{self.name} {reading:g}: a class is a whole number")
        return reading


BROKEN = "broken"
"""The sheet of water on a surface that is not clean."""

KINDS: dict[str, MeasurementKind] = {
    kind.key: kind
    for kind in (
        # Five spots: the trade's own sum of paint on zinc.
        MeasurementKind(
            "zinc", "zinc thickness", "um", 1, MOST_ZINC_UM, LEAST_READINGS, method="ISO 2808"
        ),
        # Three readings: common practice, no source.
        MeasurementKind("wft", "WFT", "um", 0, film.MOST_WET_UM, 3, over=True, method="ISO 2808"),
        MeasurementKind(
            *("dft", "DFT", "um", 0, film.MOST_DRY_UM, LEAST_READINGS),
            a_face=True,
            over=True,
            method="ISO 2808",
        ),
        # Range and five readings: common practice, no source.
        MeasurementKind("profile", "profile Rz", "um", 1, 300, 5, method="ISO 8503"),
        MeasurementKind("dust", "dust", most=5, whole=True, sized=True, method="ISO 8502-3"),
        # Range: common practice, no source.
        MeasurementKind("salts", "salts", "uS/cm", 0, 2000, method="ISO 8502-9"),
        MeasurementKind("crosscut", "cross-cut class", most=5, whole=True, method="ISO 2409"),
        MeasurementKind("ph", "rinse pH", most=14),
        MeasurementKind("water-break", "water break", words=("free", BROKEN)),
        # Grades of ISO 8501-1, from memory.
        MeasurementKind("rust", "rust grade", words=("A", "B", "C", "D"), method="ISO 8501-1"),
        MeasurementKind(
            *("preparation", "preparation grade"),
            words=("Sa 1", "Sa 2", "Sa 2 1/2", "Sa 3", "St 2", "St 3", "Be"),
            method="ISO 8501-1",
        ),
        # Ranges: common practice, no source.
        MeasurementKind("pull-off", "pull-off", "MPa", most=50, method="ISO 4624"),
        MeasurementKind("nozzle", "nozzle", "mm", 0, 5, over=True),
        MeasurementKind("gun-pressure", "air at the gun", "bar", 0, 10, over=True),
    )
}
"""The kinds by their keys, in the order of the work. Dust, cross-cut: 0 is the best class."""

FILM_KINDS: dict[str, Literal["wet", "dry"]] = {"wft": "wet", "dft": "dry"}
"""Those that measure the film of a coat, and which film."""


def kinds_words() -> str:
    """Name every kind, as a refusal does."""
    return ", ".join(KINDS)


@dataclass(frozen=True)
class Accepted:
    """Readings of one kind that are accepted, from least to most, in the kind's unit."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}
    kind: str
    least: float
    most: float

    def words(self) -> str:
        """Say the limits.

        >>> Accepted("salts", 0, 5).words(), Accepted("profile", 40, 75).words()
        ('at most 5 uS/cm', '40 to 75 um')
        """
        kind = KINDS[self.kind]
        unit = f" {kind.unit}" if kind.unit else ""
        if self.least <= kind.least:
            return f"at most {self.most:g}{unit}"
        return f"{self.least:g} to {self.most:g}{unit}"


def measured_fault(measure: tuple[str, ...], accept: tuple[Accepted, ...]) -> tuple[str, str]:
    """Say what is wrong with what a step or sheet names: the key and why; empty where nothing is.

    >>> measured_fault(("dtf",), ())[0]
    'measure'
    """
    for kind in measure:
        if kind not in KINDS:
            return "measure", f"no kind of measurement '{kind[:20]}'; one of {kinds_words()}"
    for limit in accept:
        limited = KINDS.get(limit.kind)
        if limited is None or limited.words:
            numbers = ", ".join(key for key, kind in KINDS.items() if not kind.words)
            return "accept", f"no limits of '{limit.kind[:20]}'; limits are of {numbers}"
        if limit.kind == "dft":
            return "accept", "the limits of the dry film are the product's 'film'; take 'dft' out"
        if not limited.least <= limit.least <= limit.most <= limited.most:
            return "accept", (
                f"{limit.kind} {limit.least:g} to {limit.most:g}; from {limited.least:g} to "
                f"{limited.most:g} {limited.unit}, smaller first".rstrip()
            )
    return "", ""

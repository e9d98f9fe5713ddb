"""What a product's data sheet says, as the bench needs it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from bench.process.sheets.measurement_kinds import Accepted
from bench.process.wording.time_text import doubt_mark
from bench.trade import ageing
from bench.trade.mixing import Ratio

Source = Literal["sheet", "placeholder"]
BandWord = Literal["wet", "flash", "drying", "wait", "open", "shut", "key"]
COATS = ("primer", "top coat", "sealer", "wax")
"""The kinds of product that a coat is made of: each says what it goes on with."""

TOO_SOON: tuple[BandWord, ...] = ("wet", "flash", "drying", "wait")
"""Bands in which nothing may go on yet; they end on a test."""

SHEET_C = 20.0
"""The temperature a time is for where the sheet names none (common practice, no source)."""

DEFAULT_TEST = "thumb on the coupon: no print, no drag"
"""Named when a product names no test of its own (common practice, no source)."""

WASH_TEST = "even all over: no bright patch, no white powder"
"""Named where neither a wash nor its product names a test (common practice, no source)."""

RUB_TEST = "solvent rub on the coupon"
"""Named after the closed middle of a window, where the sheet names none for it: cured enough not to
lift is another question than dry (common practice, no source)."""

FIGURES = (
    *("ratio", "thinner", "dilution", "bath", "densities", "volume_solids_pct", "film", "limits"),
    *("bands", "pot_life", "opened_life_s", "induction_s", "full_cure"),
)
"""The fields of a product that a data sheet has figures for."""

MOST_LINE = 200
"""Longest line of a sheet that is no name: a test, a caution, a reminder, notes."""

STRICT: dict[str, str] = {"extra": "forbid"}
"""An unknown key in a product or route is a spelling mistake, not something to pass over."""


class BadSheet(ValueError):
    """A product or route that contradicts itself: ``where`` is the path of keys to the fault.

    also: the other faults of the same text.
    """

    def __init__(
        self, where: tuple[str | int, ...], message: str, also: Iterable[BadSheet] = ()
    ) -> None:
        super().__init__(message)
        self.where, self.also = where, tuple(also)

    @property
    def each(self) -> tuple[BadSheet, ...]:
        """Return every fault, itself first."""
        return (self, *self.also)


def check_each(*checks: Callable[[], object]) -> None:
    """Run every check. Raises one BadSheet that holds the faults of all of them."""
    faults: list[BadSheet] = []
    for check in checks:
        try:
            check()
        except BadSheet as fault:
            faults += fault.each
    raise_each(faults)


def raise_each(faults: Sequence[BadSheet]) -> None:
    """Raise the first fault with the others behind it; nothing where there is none."""
    if faults:
        raise BadSheet(faults[0].where, str(faults[0]), faults[1:])


@dataclass(frozen=True)
class Until:
    """When a band ends, counted from the first or the last face.

    fixed_s: one time, at SHEET_C; table: time at metal temperatures; damp_s, at SHEET_C, replaces
    both when the air is above damp_over_rh_pct (bare steel rusts sooner in damp air). exact: the
    one time is the same at any temperature, a rule of law or of the shop's calendar.
    """

    __pydantic_config__: ClassVar = STRICT
    fixed_s: float | None = None
    table: ageing.TimeTable = ()
    damp_over_rh_pct: float | None = None
    damp_s: float | None = None
    exact: bool = False

    @property
    def times(self) -> ageing.TimeTable:
        """Return the sheet's times at temperatures; one time is the time at SHEET_C."""
        return self.table or ((SHEET_C, self.fixed_s or 0.0),)


@dataclass(frozen=True)
class Band:
    """A stretch of time under one rule. The last band of a list has no end.

    test: what is tested when a closed middle is over; empty: the usual one.
    """

    __pydantic_config__: ClassVar = STRICT
    word: BandWord
    until: Until | None = None
    test: str = ""


@dataclass(frozen=True)
class Film:
    """Dry film of one coat in micrometres; in_all_um: the most that all its coats may have."""

    __pydantic_config__: ClassVar = STRICT
    least_um: float
    target_um: float
    most_um: float
    in_all_um: float | None = None


@dataclass(frozen=True)
class Limits:
    """Conditions outside which the sheet says not to coat.

    rh_least_pct: a coat that cures by the water of the air stands still in drier air; rh_stall_pct:
    one whose water has to leave it stands still in damper air.
    """

    __pydantic_config__: ClassVar = STRICT
    metal_least_c: float = 5.0
    metal_most_c: float = 40.0
    rh_least_pct: float = 0.0
    rh_most_pct: float = 85.0
    rh_stall_pct: float = 100.0
    dew_margin_c: float = 3.0

    @property
    def minds_humidity(self) -> bool:
        """Return whether a coat ages by the humidity too."""
        return self.rh_least_pct > 0 or self.rh_stall_pct < 100

    def ages_at(self, rh_pct: float) -> bool:
        """Return whether a coat ages at a humidity, in percent."""
        return self.rh_least_pct <= rh_pct <= self.rh_stall_pct


@dataclass(frozen=True)
class Thinner:
    """How much thinner the sheet allows, and percent of what it means."""

    __pydantic_config__: ClassVar = STRICT
    least_pct: float
    most_pct: float
    of: Literal["base", "mixed", "total"]


@dataclass(frozen=True)
class Dilution:
    """Parts of water to one part of a cleaner or wash, by volume; 0 to 0 is as supplied."""

    __pydantic_config__: ClassVar = STRICT
    least: float
    most: float


@dataclass(frozen=True)
class Bath:
    """How warm a cleaner or wash itself is, in C."""

    __pydantic_config__: ClassVar = STRICT
    least_c: float
    most_c: float


@dataclass(frozen=True)
class Product:
    """One product. source is ``sheet`` once the shop typed its own, else ``placeholder``.

    placeholder: of a sheet that was typed, the FIGURES that nobody took from it.
    opened_life_s: how long an opened tin keeps, by its part; of what is not mixed, by "tin".
    hazards: names out of ``process/safety/hazards.py`` that its other fields do not say already.
    dilution, bath: of a cleaner or wash alone. accept: what has to be measured below it, such as
    salts or profile. issued: the day of its data sheet, as 2026-03-12; shelf_life_s: of a tin that
    was not opened, 0 where nobody typed it; voc_g_l: solvent in a litre ready to use. What is known
    of these decides nothing on the bench: it is shown.
    """

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    kind: Literal["cleaner", "wash", "primer", "top coat", "sealer", "wax", "thinner"]
    source: Source = "placeholder"
    placeholder: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    ratio: Ratio | None = None
    thinner: Thinner | None = None
    dilution: Dilution | None = None
    bath: Bath | None = None
    densities: dict[str, float] = field(default_factory=dict)
    volume_solids_pct: float | None = None
    film: Film | None = None
    isocyanate: bool = False
    water_borne: bool = False
    hazards: tuple[str, ...] = ()
    limits: Limits = Limits()
    bands: tuple[Band, ...] = ()
    pot_life: ageing.TimeTable = ()
    opened_life_s: dict[str, float] = field(default_factory=dict)
    induction_s: float = 0.0
    full_cure: ageing.TimeTable = ()
    test: str = ""
    tool: str = ""
    wear: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: str = ""
    accept: tuple[Accepted, ...] = ()
    colour: str = ""
    issued: str = ""
    shelf_life_s: float = 0.0
    flash_point_c: float | None = None
    voc_g_l: float | None = None

    @property
    def doubt(self) -> str:
        """Mark its name: ``?`` while one of its figures is a placeholder, else nothing."""
        return self.doubt_of()

    def doubt_of(self, *figures: str) -> str:
        """Mark what rests on these of its FIGURES, or on all: ``?`` while one is a placeholder."""
        return doubt_mark(self.source_of(*figures) == "placeholder")

    def source_of(self, *figures: str) -> Source:
        """Return where these of its FIGURES are from, or all: a placeholder among them decides."""
        if self.source == "placeholder" or set(figures or FIGURES) & set(self.placeholder):
            return "placeholder"
        return "sheet"

    @property
    def keeps_a_pot_clock(self) -> bool:
        """Return whether it starts to age when it is mixed or activated."""
        return bool(self.pot_life)

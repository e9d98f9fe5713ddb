"""What a product's data sheet says, as the bench needs it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import Accepted, measured_fault
from bench.process.wording.text_rules import MOST_NAME, clean_name
from bench.process.wording.time_text import doubt_mark
from bench.trade import ageing
from bench.trade.mixing import MOST_WATER, Ratio, check_ratio

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

MOST_LINE = 200
"""Longest line of a sheet that is no name: a test, a caution, a reminder, notes."""

STRICT: dict[str, str] = {"extra": "forbid"}
"""An unknown key in a product or route is a spelling mistake, not something to pass over."""


class BadSheet(ValueError):
    """A product or route that contradicts itself: ``where`` is the path of keys to the fault."""

    def __init__(self, where: tuple[str | int, ...], message: str) -> None:
        super().__init__(message)
        self.where = where


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

    opened_life_s: how long an opened tin keeps, by its part; of what is not mixed, by "tin".
    hazards: names out of ``process/safety/hazards.py`` that its other fields do not say already.
    dilution, bath: of a cleaner or wash alone. accept: what has to be measured below it, such as
    salts or profile.
    """

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    kind: Literal["cleaner", "wash", "primer", "top coat", "sealer", "wax", "thinner"]
    source: Literal["sheet", "placeholder"] = "placeholder"
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

    @property
    def doubt(self) -> str:
        """Mark each of its figures: ``?`` until the shop typed its data sheet, else nothing."""
        return doubt_mark(self.source == "placeholder")

    @property
    def keeps_a_pot_clock(self) -> bool:
        """Return whether it starts to age when it is mixed or activated."""
        return bool(self.pot_life)


def check_product(product: Product) -> None:
    """Raise BadSheet when the product contradicts itself."""
    check_texts(product)
    check_bands(product.bands)
    check_limits(product.limits)
    check_measured(product.accept)
    for name in ("pot_life", "full_cure"):
        table: ageing.TimeTable = getattr(product, name)
        if table:
            _check_table(table, (name,))
    if product.ratio is not None:
        try:
            check_ratio(product.ratio)
        except ValueError as fault:
            raise BadSheet(("ratio",), str(fault)) from fault
    _check_opened_lives(product)
    solids = product.volume_solids_pct
    if solids is not None and not 0 < solids <= 100:
        raise BadSheet(
            ("volume_solids_pct",), f"{solids:g} % volume solids; it must be over 0, up to 100"
        )
    film = product.film
    if film is not None and not 0 < film.least_um <= film.target_um <= film.most_um:
        raise BadSheet(
            ("film",),
            f"film {film.least_um:g} / {film.target_um:g} / {film.most_um:g} um; "
            "minimum, target and maximum must rise",
        )
    if film is not None and film.in_all_um is not None and film.in_all_um < film.most_um:
        raise BadSheet(
            ("film",),
            f"film of all coats at most {film.in_all_um:g} um, of one up to {film.most_um:g} um; "
            "'in_all' is no less than 'most'",
        )
    thinner = product.thinner
    if thinner is not None and not 0 <= thinner.least_pct <= thinner.most_pct <= 100:
        raise BadSheet(
            ("thinner",),
            f"thinner {thinner.least_pct:g} to {thinner.most_pct:g} %; "
            "it runs from minimum to maximum, within 0 to 100",
        )
    _check_wash(product)
    if product.kind in COATS and not product.tool:
        right = 'add a line, such as tool = "hvlp" or tool = "brush"'
        message = f"'tool' is missing: a {product.kind} is sprayed, brushed or rolled; {right}"
        raise BadSheet(("tool",), message)


def check_measured(
    accept: tuple[Accepted, ...], measure: tuple[str, ...] = (), here: tuple[str | int, ...] = ()
) -> None:
    """Raise BadSheet when a kind of measurement, or a limit, cannot be."""
    key, fault = measured_fault(measure, accept)
    if fault:
        raise BadSheet((*here, key), fault)


def _check_wash(product: Product) -> None:
    dilution, bath = product.dilution, product.bath
    for what, figures in (("dilution", dilution), ("bath", bath)):
        if figures is not None and product.kind not in ("cleaner", "wash"):
            raise BadSheet(
                (what,),
                f"'{what}' is for a cleaner or a wash, and this is a {product.kind}; take it out",
            )
    if dilution is not None and not 0 <= dilution.least <= dilution.most <= MOST_WATER:
        raise BadSheet(
            ("dilution",),
            f"{dilution.least:g} to {dilution.most:g} parts of water to one; "
            f"from 0 to {MOST_WATER:g}, least first",
        )
    if bath is not None and not 0 <= bath.least_c <= bath.most_c <= 100:
        raise BadSheet(
            ("bath",),
            f"{bath.least_c:g} to {bath.most_c:g} C; water, from 0 to 100 C, minimum first",
        )


def check_texts(record: object, here: tuple[str | int, ...] = ()) -> None:
    """Raise BadSheet when a text of a product, route or step could not be shown as it stands."""
    for what, value in vars(record).items():
        is_name = what == "name"
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str) and (text or is_name):
                name = clean_name(text, f"'{what}'", MOST_NAME if is_name else MOST_LINE)
                if isinstance(name, Refusal):
                    raise BadSheet((*here, what), str(name))


def _check_opened_lives(product: Product) -> None:
    roles = [share.role for share in product.ratio.shares] if product.ratio else ["tin"]
    if product.ratio and product.thinner:
        roles.append("thinner")
    for role, life_s in product.opened_life_s.items():
        if role not in roles:
            raise BadSheet(
                ("opened_life", role), f"it comes in no tin of '{role}'; one of {', '.join(roles)}"
            )
        if life_s <= 0:
            raise BadSheet(
                ("opened_life", role), "an opened tin keeps some time; it must be over 0"
            )


def check_limits(limits: Limits) -> None:
    """Raise BadSheet when the limits leave no conditions to coat in."""
    if limits.metal_least_c >= limits.metal_most_c:
        raise BadSheet(
            ("limits", "metal_least_c"),
            f"surface {limits.metal_least_c:g} to {limits.metal_most_c:g} C; smaller first",
        )
    if not 0 < limits.rh_most_pct <= 100:
        raise BadSheet(
            ("limits", "rh_most_pct"),
            f"{limits.rh_most_pct:g} % humidity; it must be over 0, up to 100",
        )
    if not 0 <= limits.rh_least_pct < limits.rh_most_pct:
        raise BadSheet(
            ("limits", "rh_least_pct"),
            f"humidity {limits.rh_least_pct:g} to {limits.rh_most_pct:g} %; smaller first",
        )
    if not limits.rh_least_pct < limits.rh_stall_pct <= 100:
        raise BadSheet(
            ("limits", "rh_stall_pct"),
            f"{limits.rh_stall_pct:g} % humidity; it must be over the minimum, up to 100",
        )
    if not 0 <= limits.dew_margin_c <= 30:
        raise BadSheet(
            ("limits", "dew_margin_c"),
            f"{limits.dew_margin_c:g} C over the dew point; from 0 to 30",
        )


def check_bands(bands: tuple[Band, ...]) -> None:
    """Raise BadSheet when bands run backwards, overlap or have no end where one is needed."""
    before: Band | None = None
    for number, band in enumerate(bands):
        here: tuple[str | int, ...] = ("bands", number)
        last = number == len(bands) - 1
        check_texts(band, here)
        if band.test and (last or band.word != "shut"):
            raise BadSheet(
                (*here, "test"),
                "only a 'shut' band that ends has a test of its own; the first opening takes the "
                "product's or the step's",
            )
        if last and band.until is not None:
            raise BadSheet(
                here, "the last band has an end; leave out its 'until', it goes on for good"
            )
        if not last and band.until is None:
            raise BadSheet(here, "this band has no end but others follow; give it an 'until'")
        if last and band.word in TOO_SOON:
            raise BadSheet(
                here, f"the last band is '{band.word}': nothing would ever open; add an open band"
            )
        if band.until is not None:
            _check_until(band.until, here)
            if band.until.damp_s is not None and band.word in (*TOO_SOON, "shut"):
                raise BadSheet(here, "'until_damp' is for a window that closes, such as 'open'")
            if before is not None and before.until is not None:
                _check_order(before.until, band.until, here)
        before = band


def _check_until(until: Until, here: tuple[str | int, ...]) -> None:
    if (until.fixed_s is None) == (not until.table):
        raise BadSheet(here, "'until' is either one time or a table of temperatures and times")
    if until.fixed_s is not None and until.fixed_s <= 0:
        raise BadSheet(here, f"until {until.fixed_s:g} s; it must be over 0")
    if until.table:
        _check_table(until.table, here)
    if until.exact and (until.table or until.damp_s is not None):
        raise BadSheet(here, "'exact' is for one time that hangs on nothing; take it out")
    if (until.damp_s is None) != (until.damp_over_rh_pct is None):
        raise BadSheet(here, "'until_damp' and 'damp_over' go together")


def _check_order(before: Until, after: Until, here: tuple[str | int, ...]) -> None:
    earlier, later = _shortest(before), _shortest(after)
    if later <= earlier:
        raise BadSheet(
            here,
            f"this band ends at {later / 60:g} min, not after the one before it "
            f"({earlier / 60:g} min); each band must end later than the last",
        )


def _shortest(until: Until) -> float:
    return until.fixed_s if until.fixed_s is not None else min(s for _, s in until.table)


def _check_table(table: ageing.TimeTable, here: tuple[str | int, ...]) -> None:
    try:
        ageing.check_table(table)
    except ValueError as fault:
        raise BadSheet(here, str(fault)) from fault

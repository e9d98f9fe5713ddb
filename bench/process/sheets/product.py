"""What a product's data sheet says, as the bench needs it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import ClassVar, Literal

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import Accepted, measured_fault
from bench.process.wording.text_rules import MOST_NAME, clean_name
from bench.process.wording.time_text import doubt_mark, format_duration
from bench.trade import ageing
from bench.trade.mixing import MOST_WATER, Ratio, check_ratio

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

SAND_TEST = "sand an edge of it: the paper dusts and does not clog"
"""Named where a defect is sanded out next: dry to recoat is not yet hard enough to sand, and no
data sheet here says when it is (common practice, no source)."""

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
    salts or profile.
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


def check_product(product: Product) -> None:
    """Raise BadSheet with every fault where the product contradicts itself."""
    check_each(
        partial(check_texts, product),
        partial(_check_placeholder, product.placeholder),
        partial(check_bands, product.bands),
        partial(check_limits, product.limits),
        partial(check_measured, product.accept),
        *(
            partial(_check_table, table, (name,))
            for name, table in (("pot_life", product.pot_life), ("full_cure", product.full_cure))
            if table
        ),
        partial(_check_ratio, product),
        partial(_check_opened_lives, product),
        partial(_check_solids, product),
        partial(_check_film, product.film),
        partial(_check_thinner, product.thinner),
        partial(_check_water, product),
        partial(_check_bath, product),
        partial(_check_has_tool, product),
    )


def _check_placeholder(figures: tuple[str, ...]) -> None:
    raise_each(
        [
            BadSheet(
                ("placeholder", number),
                f"'{name}' is no figure of a sheet; name its key, as pot_life",
            )
            for number, name in enumerate(figures)
            if name not in FIGURES
        ]
    )


def _check_ratio(product: Product) -> None:
    if product.ratio is not None:
        try:
            check_ratio(product.ratio)
        except ValueError as fault:
            raise BadSheet(("ratio",), str(fault)) from fault


def _check_solids(product: Product) -> None:
    solids = product.volume_solids_pct
    if solids is not None and not 0 < solids <= 100:
        raise BadSheet(
            ("volume_solids_pct",), f"{solids:g} % volume solids; it must be over 0, up to 100"
        )


def _check_film(film: Film | None) -> None:
    if film is None:
        return
    if not 0 < film.least_um <= film.target_um <= film.most_um:
        raise BadSheet(
            ("film",),
            f"film {film.least_um:g} / {film.target_um:g} / {film.most_um:g} um; "
            "minimum, target and maximum must rise",
        )
    if film.in_all_um is not None and film.in_all_um < film.most_um:
        raise BadSheet(
            ("film",),
            f"film of all coats at most {film.in_all_um:g} um, of one up to {film.most_um:g} um; "
            "'in_all' is no less than 'most'",
        )


def _check_thinner(thinner: Thinner | None) -> None:
    if thinner is not None and not 0 <= thinner.least_pct <= thinner.most_pct <= 100:
        raise BadSheet(
            ("thinner",),
            f"thinner {thinner.least_pct:g} to {thinner.most_pct:g} %; "
            "it runs from minimum to maximum, within 0 to 100",
        )


def _check_has_tool(product: Product) -> None:
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


def _only_for_a_wash(product: Product, what: str) -> None:
    if product.kind not in ("cleaner", "wash"):
        raise BadSheet(
            (what,),
            f"'{what}' is for a cleaner or a wash, and this is a {product.kind}; take it out",
        )


def _check_water(product: Product) -> None:
    dilution = product.dilution
    if dilution is None:
        return
    _only_for_a_wash(product, "dilution")
    if not 0 <= dilution.least <= dilution.most <= MOST_WATER:
        raise BadSheet(
            ("dilution",),
            f"{dilution.least:g} to {dilution.most:g} parts of water to one; "
            f"from 0 to {MOST_WATER:g}, least first",
        )


def _check_bath(product: Product) -> None:
    bath = product.bath
    if bath is None:
        return
    _only_for_a_wash(product, "bath")
    if not 0 <= bath.least_c <= bath.most_c <= 100:
        raise BadSheet(
            ("bath",),
            f"{bath.least_c:g} to {bath.most_c:g} C; water, from 0 to 100 C, minimum first",
        )


def check_texts(record: object, here: tuple[str | int, ...] = ()) -> None:
    """Raise BadSheet when a text of a product, route or step could not be shown as it stands."""
    faults = []
    for what, value in vars(record).items():
        is_name = what == "name"
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str) and (text or is_name):
                name = clean_name(text, f"'{what}'", MOST_NAME if is_name else MOST_LINE)
                if isinstance(name, Refusal):
                    faults.append(BadSheet((*here, what), str(name)))
    raise_each(faults)


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
    """Raise BadSheet with every limit that leaves no conditions to coat in."""
    raise_each([BadSheet(("limits", key), words) for key, words in _limit_faults(limits)])


def _limit_faults(limits: Limits) -> Iterator[tuple[str, str]]:
    if limits.metal_least_c >= limits.metal_most_c:
        words = f"surface {limits.metal_least_c:g} to {limits.metal_most_c:g} C; smaller first"
        yield "metal_least_c", words
    if not 0 < limits.rh_most_pct <= 100:
        yield "rh_most_pct", f"{limits.rh_most_pct:g} % humidity; it must be over 0, up to 100"
    elif not 0 <= limits.rh_least_pct < limits.rh_most_pct:
        words = f"humidity {limits.rh_least_pct:g} to {limits.rh_most_pct:g} %; smaller first"
        yield "rh_least_pct", words
    if not limits.rh_least_pct < limits.rh_stall_pct <= 100:
        words = f"{limits.rh_stall_pct:g} % humidity; it must be over the minimum, up to 100"
        yield "rh_stall_pct", words
    if not 0 <= limits.dew_margin_c <= 30:
        yield "dew_margin_c", f"{limits.dew_margin_c:g} C over the dew point; from 0 to 30"


def check_bands(bands: tuple[Band, ...]) -> None:
    """Raise BadSheet when bands run backwards, overlap or have no end where one is needed."""
    check_each(
        *(
            partial(_check_band, band, bands[number - 1] if number else None, number, len(bands))
            for number, band in enumerate(bands)
        )
    )


def _check_band(band: Band, before: Band | None, number: int, count: int) -> None:
    here: tuple[str | int, ...] = ("bands", number)
    last = number == count - 1
    check_texts(band, here)
    if band.test and (last or band.word != "shut"):
        raise BadSheet(
            (*here, "test"),
            "only a 'shut' band that ends has a test of its own; the first opening takes the "
            "product's or the step's",
        )
    if last and band.until is not None:
        raise BadSheet(here, "the last band has an end; leave out its 'until', it goes on for good")
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


def _check_until(until: Until, here: tuple[str | int, ...]) -> None:
    if (until.fixed_s is None) == (not until.table):
        raise BadSheet(here, "'until' is either one time or a table of temperatures and times")
    if until.fixed_s is not None and until.fixed_s <= 0:
        raise BadSheet(here, f"until {until.fixed_s / 3600:g} h; it must be over 0")
    if until.table:
        _check_table(until.table, here)
    if until.exact and (until.table or until.damp_s is not None):
        raise BadSheet(here, "'exact' is for one time that hangs on nothing; take it out")
    if (until.damp_s is None) != (until.damp_over_rh_pct is None):
        raise BadSheet(here, "'until_damp' and 'damp_over' go together")


def _check_order(before: Until, after: Until, here: tuple[str | int, ...]) -> None:
    earlier, later = _shortest(before), _shortest(after)
    if earlier > 0 and later <= earlier:
        raise BadSheet(
            here,
            f"this band ends at {format_duration(later)}, not after the one before it "
            f"({format_duration(earlier)}); each band must end later than the last",
        )


def _shortest(until: Until) -> float:
    return until.fixed_s if until.fixed_s is not None else min(s for _, s in until.table)


def _check_table(table: ageing.TimeTable, here: tuple[str | int, ...]) -> None:
    try:
        ageing.check_table(table)
    except ValueError as fault:
        raise BadSheet(here, str(fault)) from fault

"""What a product's sheet may say: every rule that it is held against when it is typed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import partial

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import Accepted, measured_fault
from bench.process.sheets.product import (
    COATS,
    FIGURES,
    MOST_LINE,
    TOO_SOON,
    BadSheet,
    Band,
    Film,
    Limits,
    Product,
    Thinner,
    Until,
    check_each,
    raise_each,
)
from bench.process.wording.text_rules import MOST_NAME, clean_name
from bench.process.wording.time_text import format_duration
from bench.trade import ageing
from bench.trade.mixing import MOST_WATER, check_ratio

LONGEST_SHELF_LIFE_S = 20 * 366 * 86400.0
LEAST_FLASH_C, MOST_FLASH_C = -60.0, 400.0
MOST_VOC_G_L = 1200.0
"""Past these it is a slip of the fingers (common practice, no source): no liquid solvent of a paint
weighs much more than a kilogram a litre."""


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
        partial(_check_shown, product),
    )


def _check_shown(product: Product) -> None:
    """Raise BadSheet where what is only shown of a product cannot be."""
    raise_each([BadSheet((key,), words) for key, words in _shown_faults(product)])


def _shown_faults(product: Product) -> Iterator[tuple[str, str]]:
    if product.issued and not _is_day(product.issued):
        yield "issued", f"issued reads '{product.issued[:20]}'; write the sheet's day as 2026-03-12"
    if product.shelf_life_s and not 0 < product.shelf_life_s <= LONGEST_SHELF_LIFE_S:
        yield "shelf_life_s", "a tin that is closed keeps some time, up to 20 years"
    flash_c, voc = product.flash_point_c, product.voc_g_l
    if flash_c is not None and not LEAST_FLASH_C <= flash_c <= MOST_FLASH_C:
        yield (
            "flash_point_c",
            f"flash point {flash_c:g} C; from {LEAST_FLASH_C:g} to {MOST_FLASH_C:g} C",
        )
    if voc is not None and not 0 <= voc <= MOST_VOC_G_L:
        yield "voc_g_l", f"{voc:g} g/l of solvent; from 0 to {MOST_VOC_G_L:g} g/l"


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


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

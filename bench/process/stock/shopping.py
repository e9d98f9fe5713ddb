"""What the coats still to come take, and what of it must be bought: less what is in tins."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from bench.process.clocks.pots import Pot, pot_word
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import Shape, tool_key
from bench.process.stock.mixing import ratio_with_thinner
from bench.process.stock.paint_use import OwnUse, Uses, transfer_by
from bench.process.stock.tins import SLACK_ML, Tin, sound_ml
from bench.process.wording.display_units import (
    METRIC,
    ShopUnits,
    format_figures,
    quantity,
    shop_unit,
)
from bench.process.wording.time_text import doubt_mark
from bench.trade.film import CAN_ML, litres, transfer
from bench.trade.mixing import for_total

LIKE_TOOLS = {"low-volume": "hvlp", "mini-gun": "hvlp"}
"""Tools without a figure of their own for what lands, and the one they are calculated as."""

REFERENCE_ML = 1000.0

NO_AREA = "its area is not known: type it"


@dataclass(frozen=True)
class Need:
    """What one coat takes, in ml of each part of its product; "" where nothing is mixed.

    guessed: it rests on a placeholder. unknown: why it cannot be calculated; ml is empty then.
    own: the shop's own transfer efficiency that it is calculated by, None by the table's.
    """

    tag: str
    product: str
    ml: Mapping[str, float]
    guessed: bool = False
    unknown: str = ""
    own: OwnUse | None = None


def coats_to_come(part: Part) -> tuple[StepRecord, ...]:
    """Return a part's coats that are not begun; a mist and the build that continues it are one."""
    coats: list[StepRecord] = []
    before: StepRecord | None = None
    for record in part.steps:
        if record.status == "struck":
            continue
        whole = not (record.step.continues and before is not None and before.status == "todo")
        if record.status == "todo" and record.step.kind == "coat" and whole:
            coats.append(record)
        before = record
    return tuple(coats)


def need_of(
    part: Part,
    record: StepRecord,
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
    uses: Uses | None = None,
) -> Need:
    """Return what a coat on all pieces of a part takes, losses counted for the least that lands.

    uses: what the shop's own pots say lands.
    """
    key = record.step.product
    product, shape = products.get(key), shapes.get(part.shape)
    if product is None:
        return Need(part.tag, key, {}, unknown=f"no product '{key}'")
    if shape is None:
        return Need(part.tag, key, {}, unknown=f"no shape '{part.shape}'")
    area_m2 = shape.area_m2 if part.area_m2 is None else part.area_m2
    if area_m2 is None:
        return Need(part.tag, key, {}, unknown=NO_AREA)
    tool = tool_key(record.step, product)
    own = (uses or {}).get((key, tool))
    own = own if own is not None and own.counts else None
    try:
        by_role = _ml_by_role(product, area_m2 * part.count, tool, shape.like, own)
    except ValueError as fault:
        return Need(part.tag, key, {}, unknown=str(fault))
    typical = part.area_m2 is None and shape.source == "placeholder"
    return Need(
        part.tag,
        key,
        by_role,
        bool(product.doubt_of("film", "volume_solids_pct", "ratio")) or typical,
        own=own,
    )


def _ml_by_role(
    product: Product, area_m2: float, tool: str, like: str, own: OwnUse | None
) -> dict[str, float]:
    """Return the ml of each part that a coat takes. Raises ValueError with what is not known."""
    if product.film is None or product.volume_solids_pct is None:
        raise ValueError(f"{product.name}: no film or no volume solids on its sheet")
    ratio = ratio_with_thinner(product) if product.ratio else None
    if isinstance(ratio, Refusal):
        raise ValueError(str(ratio))
    shares = {"": 1.0}
    if ratio is not None:
        whole = for_total(ratio, REFERENCE_ML, product.densities or None)
        shares = {pour.role: pour.ml / whole.total_ml for pour in whole.pours}
    thinner = shares.get("thinner", 0.0)
    job = litres(
        area_m2,
        product.film.target_um,
        product.volume_solids_pct,
        100 * thinner / (1 - thinner),
        transfer_by(own, table_transfer_pct(tool, like)),
    )
    return {role: share * job.mixed_l * 1000 for role, share in shares.items()}


def table_transfer_pct(tool: str, like: str) -> float:
    """Return the least that lands by the table, in percent. Raises ValueError without a figure."""
    return transfer(LIKE_TOOLS.get(tool, tool), like).least_pct


def all_needs(
    parts: Iterable[Part],
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
    uses: Uses | None = None,
) -> tuple[Need, ...]:
    """Return what every coat still to come on some parts takes."""
    return tuple(
        need_of(part, record, products, shapes, uses)
        for part in parts
        for record in coats_to_come(part)
    )


@dataclass(frozen=True)
class DueParts:
    """The parts whose job is promised up to a day, or not promised at all.

    until: that day; later: the tags of those promised for a later day; unpromised: the tags of
    those that are in it because nothing is promised.
    """

    until: date
    parts: tuple[Part, ...]
    later: tuple[str, ...]
    unpromised: tuple[str, ...]


def due_until(parts: Iterable[Part], promised: Mapping[str, date], until: date) -> DueParts:
    """Sort out the parts that are wanted until a day. promised: by the job in small letters."""
    due, later, unpromised = [], [], []
    for part in parts:
        day = promised.get(part.job.lower())
        if day is not None and day > until:
            later.append(part.tag)
            continue
        due.append(part)
        if day is None and coats_to_come(part):
            unpromised.append(part.tag)
    return DueParts(until, tuple(due), tuple(later), tuple(unpromised))


# --- the list ------------------------------------------------------------------------------------

Component = tuple[str, str]
"""A product's key and the part of it that comes in a tin; no part where nothing is mixed."""


@dataclass(frozen=True)
class ShoppingLine:
    """One component: what is needed, what is left in tins that are in date, what must be bought.

    tin_ml: the size it last came in, None where it never came. guessed: a placeholder is in it.
    not_counted: the parts whose coats of it could not be worked out, so that more is needed.
    """

    product: str
    name: str
    role: str
    need_ml: float
    left_ml: float
    tin_ml: float | None
    guessed: bool
    tags: tuple[str, ...]
    not_counted: tuple[str, ...] = ()

    @property
    def buy_ml(self) -> float:
        """Return what must be bought; nothing for what a full measure more or less decides."""
        short_ml = self.need_ml - self.left_ml
        return short_ml if short_ml > SLACK_ML else 0.0

    @property
    def buy_tins(self) -> int | None:
        """Return how many tins to buy, None where nobody knows what it comes in."""
        return None if self.tin_ml is None else math.ceil(self.buy_ml / self.tin_ml)


@dataclass(frozen=True)
class Unknown:
    """Coats of a product that could not be calculated, why, and on which parts."""

    name: str
    why: str
    tags: tuple[str, ...]


@dataclass(frozen=True)
class Shopping:
    """The list, and the coats that could not be calculated.

    open_pots: of products on the list, and not past their life. They are named, not counted: nobody
    measured what is left in a pot, and nobody knows whether it is used before it goes off. due: the
    parts it is for, None where it is for all. own: the shop's own transfer efficiencies in it.
    """

    wanted: tuple[ShoppingLine, ...]
    unknown: tuple[Unknown, ...]
    open_pots: tuple[Pot, ...] = ()
    due: DueParts | None = None
    own: tuple[OwnUse, ...] = ()


def shopping(
    needs: Collection[Need],
    tins: Collection[Tin],
    products: Mapping[str, Product],
    sizes_ml: Mapping[Component, float],
    now: datetime,
    pots: Iterable[Pot] = (),
) -> Shopping:
    """Add up what coats take, by component. sizes_ml: how big the newest tin of each was.

    Thinner of which a product has no tin of its own is drawn from what is thinner for everything.
    """
    thinners = sorted(key for key, product in products.items() if product.kind == "thinner")
    own = {(tin.product, tin.role) for tin in tins}
    coated: set[str] = set()
    need_ml: dict[Component, float] = {}
    tags: dict[Component, list[str]] = {}
    estimates: set[Component] = set()
    unknown: dict[tuple[str, str], list[str]] = {}
    for need in needs:
        coated.add(need.product)
        if need.unknown:
            unknown.setdefault((_name(need.product, products), need.unknown), []).append(need.tag)
        for role, ml in need.ml.items():
            source = (need.product, role)
            if role == "thinner" and source not in own and thinners:
                source = (thinners[0], "")
            need_ml[source] = need_ml.get(source, 0.0) + ml
            tags.setdefault(source, []).append(need.tag)
            estimates |= {source} if need.guessed else set()

    def listed(component: Component) -> Iterable[Tin]:
        of = thinners if component[0] in thinners else [component[0]]
        return (tin for tin in tins if tin.product in of and tin.role == component[1])

    def left_out(key: str, role: str) -> Iterable[str]:
        """Yield the parts of coats that take this too, nobody knows how much."""
        for need in needs:
            sheet = products.get(need.product)
            thinned = key in thinners and sheet is not None and sheet.thinner is not None
            if need.unknown and (need.product == key or thinned):
                yield need.tag

    lines = tuple(
        ShoppingLine(
            product=product,
            name=_name(product, products),
            role=role,
            need_ml=ml,
            left_ml=sound_ml(listed((product, role)), now),
            tin_ml=sizes_ml.get((product, role)) or _can_ml(products.get(product)),
            guessed=(product, role) in estimates,
            tags=tuple(dict.fromkeys(tags[product, role])),
            not_counted=tuple(dict.fromkeys(left_out(product, role))),
        )
        for (product, role), ml in sorted(need_ml.items())
    )
    return Shopping(
        lines,
        tuple(
            Unknown(name, why, tuple(dict.fromkeys(of)))
            for (name, why), of in sorted(unknown.items())
        ),
        tuple(
            pot
            for pot in pots
            if pot.total_ml is not None and pot_word(pot, now) != "BIN" and pot.product in coated
        ),
        own=tuple(dict.fromkeys(need.own for need in needs if need.own is not None)),
    )


def _name(key: str, products: Mapping[str, Product]) -> str:
    return products[key].name if key in products else key


def _can_ml(product: Product | None) -> float | None:
    return CAN_ML if product is not None and product.tool == "aerosol" else None


# --- in words ------------------------------------------------------------------------------------


def need_words(item: ShoppingLine, units: ShopUnits = METRIC) -> str:
    """Say what is needed and what is left: "needs 1600? ml, 500 left"."""
    rest = format_figures(item.left_ml, "ml", units, ".0f")
    return f"needs {_volume(item.need_ml, item, units)}, {rest} left"


def _volume(ml: float, item: ShoppingLine, units: ShopUnits) -> str:
    """Say a volume, one that rests on a placeholder to two figures."""
    shown = format_figures(float(f"{ml:.2g}") if item.guessed else ml, "ml", units, ".0f")
    return f"{shown}{doubt_mark(item.guessed)} {shop_unit('ml', units)}"


def amount_words(item: ShoppingLine, units: ShopUnits = METRIC) -> str:
    """Say what is needed: "1600? ml"."""
    return _volume(item.need_ml, item, units)


def buy_words(item: ShoppingLine, units: ShopUnits = METRIC) -> str:
    """Say what must be bought: "BUY 1100 ml = 2 x 1000 ml", "BUY about 49? x 400 ml", or "enough".

    What rests on a placeholder is said in whole tins only. Where coats of it are not counted
    nothing is enough, and what must be bought is at least that.
    """
    counted = counted_words(item)
    if not item.buy_ml:
        return f"not known{counted}" if counted else "enough"
    about = "at least " if counted else "about " * item.guessed
    text, tins = f"BUY {about}{_volume(item.buy_ml, item, units)}", tins_words(item, units)
    if not tins:
        return f"{text}{counted}"
    return f"BUY {about}{tins}{counted}" if item.guessed else f"{text} = {tins}{counted}"


def tins_words(item: ShoppingLine, units: ShopUnits = METRIC) -> str:
    """Say how many tins of which size to buy: "2 x 1000 ml"; empty where nobody knows the size."""
    if item.buy_tins is None or item.tin_ml is None:
        return ""
    size = quantity(item.tin_ml, "ml", units, ".0f")
    return f"{item.buy_tins}{doubt_mark(item.guessed)} x {size}"


def counted_words(item: ShoppingLine, what: str = "parts") -> str:
    """Say how many parts a line counts where it does not count all: ": 1 of 4 parts counted"."""
    if not item.not_counted:
        return ""
    counted = len(set(item.tags) - set(item.not_counted))
    return f": {counted} of {len({*item.tags, *item.not_counted})} {what} counted"


def tags_words(tags: Sequence[str], what: str = "tag") -> str:
    """Return the parts it is for: "tag 4", "tags 4, 9"."""
    return f"{what}{'s' * (len(tags) > 1)} {', '.join(tags)}"


def unknown_words(unknown: Unknown, what: str = "tag") -> str:
    """Return a coat that could not be worked out: on which parts, and why."""
    return f"{unknown.name}, {tags_words(unknown.tags, what)}: not counted: {unknown.why}"


def due_words(due: DueParts) -> tuple[str, ...]:
    """Say which parts the list leaves out, and which it counts though nothing is promised."""
    words = []
    if due.later:
        words.append(f"not in it, promised after {due.until}: {tags_words(due.later)}")
    if due.unpromised:
        words.append(f"counted, though nothing is promised: {tags_words(due.unpromised)}")
    return tuple(words)


def pots_words(pots: Sequence[Pot], now: datetime) -> str:
    """Say which open pots the list leaves out, each with its end, and why. now: in the shop's zone.

    pots: one at least.
    """
    labels = [
        f"pot {pot.letter} {pot.name}" + (f" (bin by {pot.end.words(now)})" if pot.end else "")
        for pot in pots
    ]
    return f"not counted: {', '.join(labels)}: leftover not measured, and it goes off"

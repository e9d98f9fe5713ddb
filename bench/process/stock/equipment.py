"""Things that one painter holds at a time, who waits for them, and the compressor's air.

A step names what it needs by kind. Beginning it takes a free one of each, finishing it gives them
back. The compressor stands in its corner: what draws on it is calculated together, and it is taken
only by somebody who wants it alone.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import STRICT, Product
from bench.process.sheets.route import Step
from bench.process.wording.display_units import METRIC, ShopUnits, format_figures, shop_unit
from bench.process.wording.time_text import doubt_mark, format_clock, join_names

AIR_FED, COMPRESSOR = "air-fed set", "compressor"
"""The two kinds that have rules of their own."""

LEAST_L_MIN, MOST_L_MIN = 1.0, 20_000.0
"""What a workshop's compressor can have to do with."""


@dataclass(frozen=True)
class EquipmentSheet:
    """What a thing is. needs_l_min: air it takes at work; gives_l_min: what a compressor gives."""

    __pydantic_config__: ClassVar = STRICT
    key: str
    name: str
    kind: str
    needs_l_min: float | None = None
    gives_l_min: float | None = None


@dataclass(frozen=True)
class Equipment(EquipmentSheet):
    """A thing of this shop as it is now.

    held_for: the tag of the part whose step took it, empty where a painter took it by hand.
    queue: who waits, first come first. placeholder: nobody typed its figures yet.
    """

    holder: str = ""
    held_at: datetime | None = None
    held_for: str = ""
    queue: tuple[str, ...] = ()
    placeholder: bool = False

    @property
    def called(self) -> str:
        """Return its name as it stands in a sentence."""
        return self.name[:1].lower() + self.name[1:]


@dataclass(frozen=True)
class AirUse:
    """What draws on the compressors together.

    gives_l_min None: nobody knows what they give; gives_typed: the shop typed it itself.
    """

    drawn: tuple[Equipment, ...]
    gives_l_min: float | None
    gives_typed: bool

    @property
    def needs_l_min(self) -> float:
        """Return what everything at work takes together, in l/min."""
        return sum(item.needs_l_min or 0.0 for item in self.drawn)

    @property
    def short(self) -> bool:
        """Return whether they want more than there is."""
        return self.gives_l_min is not None and self.needs_l_min > self.gives_l_min

    @property
    def starves(self) -> bool:
        """Return whether somebody breathes from what is short."""
        return self.short and any(item.kind == AIR_FED for item in self.drawn)


# --- what a step needs ---------------------------------------------------------------------------


def kinds_needed(step: Step, product: Product | None) -> tuple[str, ...]:
    """Return the kinds a step needs: those it names, and an air-fed set for isocyanate paint."""
    breathes = (AIR_FED,) if step.kind == "coat" and product and product.isocyanate else ()
    return tuple(dict.fromkeys((*breathes, *step.equipment)))


def to_take(
    kinds: Iterable[str],
    equipment: Iterable[Equipment],
    painters: Sequence[str],
    product: Product | None = None,
) -> tuple[Equipment, ...]:
    """Return what the step takes when it begins: a free one of each kind, unless in hand already.

    Where several are free, first the one whose name says the product's kind: the primer gun for
    primer, the top coat gun for top coat.
    """
    every = tuple(equipment)
    choice = []
    for kind in kinds:
        if kind == COMPRESSOR or _in_hands(kind, every, painters):
            continue
        free = [item for item in every if item.kind == kind and _free_for(item, painters)]
        choice += sorted(free, key=lambda item: not _is_for(item, product))[:1]
    return tuple(choice)


def _is_for(item: Equipment, product: Product | None) -> bool:
    return product is not None and product.kind in item.name.casefold()


def stand_in_words(item: Equipment, equipment: Iterable[Equipment], product: Product | None) -> str:
    """Say that a thing is taken because the one for this kind of product is not free, else nothing.

    It carries another product into its next one unless somebody cleans it.
    """
    proper = [other for other in equipment if other.kind == item.kind and _is_for(other, product)]
    if not proper or item.key in {other.key for other in proper}:
        return ""
    holders = join_names(dict.fromkeys(other.holder for other in proper if other.holder))
    why = f"{holders} has it" if holders else "somebody waits for it"
    return f"not the {proper[0].called}, {why}: clean the {item.called} before its next paint"


def _in_hands(kind: str, equipment: Iterable[Equipment], painters: Sequence[str]) -> bool:
    return any(item.kind == kind and item.holder in painters for item in equipment)


def _free_for(item: Equipment, painters: Sequence[str]) -> bool:
    """Return whether nobody holds it, and whoever waits longest is one of them."""
    return not item.holder and (not item.queue or item.queue[0] in painters)


def equipment_against(
    step: Step,
    product: Product | None,
    equipment: Iterable[Equipment],
    painters: Sequence[str],
    now: datetime,
    units: ShopUnits = METRIC,
) -> Iterator[Refusal]:
    """Yield what stands against beginning: equipment not there, taken or asked for; air too short.

    painters: who would begin it, the first of whom takes what is free.
    """
    every = tuple(equipment)
    kinds = kinds_needed(step, product)
    for kind in kinds:
        of_kind = [item for item in every if item.kind == kind]
        if not of_kind:
            if kind == AIR_FED:
                yield _none_there(product)
        elif kind == COMPRESSOR:
            if all(item.holder and item.holder not in painters for item in of_kind):
                yield taken_refusal(of_kind, now)
        elif not _in_hands(kind, every, painters) and not any(
            _free_for(item, painters) for item in of_kind
        ):
            waited_for = [item for item in of_kind if not item.holder]
            yield queue_refusal(waited_for[0]) if waited_for else taken_refusal(of_kind, now)
    air = air_of(every, to_take(kinds, every, painters, product))
    if air.starves and any(item.kind in kinds for item in air.drawn):
        yield air_short_refusal(air, units)


def training_against(
    step: Step, product: Product | None, painters: Iterable[str], untrained: Collection[str]
) -> Iterator[Refusal]:
    """Yield who would spray isocyanate and is recorded as not trained for it."""
    names = [name for name in painters if name in untrained]
    if names and AIR_FED in kinds_needed(step, product):
        who = " and ".join(names)
        rule = f"{who} {'is' if len(names) == 1 else 'are'} not trained for isocyanate"
        remedy = "who is trained sprays it"
        yield rules.NOT_TRAINED.refuses(rule, product.name if product else "", remedy)


def training_caution(
    step: Step, product: Product | None, painters: Iterable[str], recorded: Collection[str]
) -> str:
    """Name the painters whose isocyanate training nobody recorded; empty where it is not needed."""
    names = [name for name in painters if name not in recorded]
    if not names or AIR_FED not in kinds_needed(step, product):
        return ""
    are = "is" if len(names) == 1 else "are"
    return f"nobody recorded that {' and '.join(names)} {are} trained for isocyanate"


def _none_there(product: Product | None) -> Refusal:
    need = f"{product.name}: isocyanate" if product and product.isocyanate else "the step names it"
    right = "write it down first (/ then equipment), or paintbench equipment usual"
    return rules.NO_AIR_FED_MASK.refuses("no air-fed mask is recorded here", need, right)


def taken_refusal(equipment: Sequence[Equipment], now: datetime) -> Refusal:
    """Refuse equipment that somebody else holds, or all of its kind."""
    rule = f"the {equipment[0].called} is taken"
    if len(equipment) > 1:
        rule = f"every {equipment[0].kind} is taken"
    holders = " and ".join(held_words(item, now) for item in equipment)
    remedy = "wait, or ask for it; left booked out: return it"
    if equipment[0].kind == AIR_FED:
        return rules.AIR_TAKEN.refuses(rule, holders, remedy)
    return rules.TAKEN.refuses(rule, holders, remedy, equipment[0].kind)


def queue_refusal(item: Equipment) -> Refusal:
    """Refuse equipment that is free but that somebody else waits for."""
    who = item.queue[0]
    rule, right = f"{who} is next for the {item.called}", f"{who} takes it, or leaves the queue"
    if item.kind == AIR_FED:
        return rules.AIR_ASKED_FOR.refuses(rule, "", right)
    return rules.ASKED_FOR.refuses(rule, "", right, item.kind)


def air_short_refusal(air: AirUse, units: ShopUnits) -> Refusal:
    """Refuse to begin while somebody breathes from air that is short."""
    return rules.AIR_SHORT.refuses("the air-fed set would starve", air_sum(air, units), "one waits")


# --- the air -------------------------------------------------------------------------------------


def air_of(equipment: Iterable[Equipment], also: Iterable[Equipment] = ()) -> AirUse:
    """Return the air in use: all that is held and takes any, and what would be taken too."""
    every = tuple(equipment)
    more = {item.key for item in also}
    users = tuple(t for t in every if t.needs_l_min and (t.holder or t.key in more))
    gives = [t for t in every if t.kind == COMPRESSOR and t.gives_l_min is not None]
    return AirUse(
        users,
        sum(t.gives_l_min or 0.0 for t in gives) if gives else None,
        not any(t.placeholder for t in gives),
    )


def air_sum(air: AirUse, units: ShopUnits = METRIC) -> str:
    """Give the sum in words, in the shop's units; a figure that nobody typed wears a question mark.

    >>> gun = Equipment("gun", "Gun", "gun", needs_l_min=300, holder="Kit")
    >>> air_sum(AirUse((gun,), 600.0, gives_typed=True))
    'gun 300 of 600 l/min'
    """

    def flow(l_min: float, *, placeholder: bool) -> str:
        return f"{format_figures(l_min, 'l/min', units)}{doubt_mark(placeholder)}"

    flows = [
        f"{t.called} {flow(t.needs_l_min or 0.0, placeholder=t.placeholder)}" for t in air.drawn
    ]
    text = " + ".join(flows) or "nothing"
    if len(flows) > 1:
        text += f" = {flow(air.needs_l_min, placeholder=any(t.placeholder for t in air.drawn))}"
    if air.gives_l_min is not None:
        text += f" of {flow(air.gives_l_min, placeholder=not air.gives_typed)}"
    return f"{text} {shop_unit('l/min', units)}"


def air_caution(air: AirUse, units: ShopUnits = METRIC) -> str:
    """Warn where everything in use wants more air than there is; empty where it does not."""
    return f"short of air: {air_sum(air, units)}" if air.short else ""


# --- words ---------------------------------------------------------------------------------------


def held_words(item: Equipment, now: datetime, until: datetime | None = None) -> str:
    """Say who holds it, since when, until when and for which part. now: in the shop's zone."""
    since = f" since {format_clock(item.held_at, now)}" if item.held_at else ""
    ends = f" until ~{format_clock(until, now)}" if until and until > now else ""
    what = f", for tag {item.held_for}" if item.held_for else ""
    return f"{item.holder}{since}{ends}{what}"


def waits_words(item: Equipment) -> str:
    """Say who waits for it, in their order; empty where nobody does.

    >>> waits_words(Equipment("mask", "Air-fed set", "air-fed set", holder="Bo", queue=("Kit",)))
    'Kit waits'
    >>> waits_words(Equipment("mask", "Air-fed set", "air-fed set", queue=("Kit", "Mo")))
    'Kit is next, then Mo'
    """
    if not item.queue:
        return ""
    first, *others = item.queue
    if not item.holder:
        return ", then ".join([f"{first} is next", *others])
    return f"{', then '.join(item.queue)} {'wait' if others else 'waits'}"


def now_words(
    item: Equipment, now: datetime, until: datetime | None = None, units: ShopUnits = METRIC
) -> str:
    """Say all there is to know of it on one line. until: when its step will about be over."""
    phrases = [held_words(item, now, until) if item.holder else "free", waits_words(item)]
    if item.gives_l_min is not None:
        supply = format_figures(item.gives_l_min, "l/min", units)
        phrases.append(f"gives {supply}{doubt_mark(item.placeholder)} {shop_unit('l/min', units)}")
    return "; ".join(text for text in phrases if text)


def next_in_line(item: Equipment) -> str:
    """Name whom to tell that it is free; empty while it is held or nobody waits."""
    return item.queue[0] if item.queue and not item.holder else ""

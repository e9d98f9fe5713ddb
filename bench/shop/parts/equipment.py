"""Taking equipment, giving it back, asking for it, and writing down what there is."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step
from bench.process.stock.equipment import (
    AIR_FED,
    COMPRESSOR,
    LEAST_L_MIN,
    MOST_L_MIN,
    Equipment,
    EquipmentSheet,
    air_caution,
    air_of,
    air_short_refusal,
    kinds_needed,
    next_in_line,
    queue_refusal,
    stand_in_words,
    taken_refusal,
    to_take,
)
from bench.process.wording.display_units import ShopUnits, format_figures, quantity, shop_unit
from bench.process.wording.text_rules import clean_name
from bench.shop.core.mappers import equipment_items, equipment_of, step_of, typed_equipment
from bench.shop.core.overrides import overrides_of, with_overrides
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.queries import people_rows
from bench.store.schema.tables import EquipmentRow, PartRow, SettingRow, StepRow

MOST_EQUIPMENT = 40

# --- what painters do ----------------------------------------------------------------------------


def take(
    shop: Shop,
    equipment: str,
    by: str,
    *,
    at: datetime | None = None,
    override: Override | None = None,
) -> Outcome | Refusal:
    """Take a thing that nobody holds, and that nobody asked for before.

    override: the other air supply, where somebody breathes from a compressor that would be short
    of air; it stays in the log.
    """

    def work(
        act: Transaction, painter: str, row: EquipmentRow, item: Equipment
    ) -> Outcome | Refusal:
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        if item.holder == painter:
            since = f"since {act.hour(item.held_at)}" if item.held_at else ""
            return Refusal(f"{painter} has the {item.called} already", since)
        if item.holder:
            return replace(taken_refusal([item], act.local_now), override="never")
        if item.queue and item.queue[0] != painter:
            return replace(queue_refusal(item), override="never")
        overridden_rules = overrides_of(act, _short_of_air(act, item), override, [painter])
        if isinstance(overridden_rules, Refusal):
            return overridden_rules
        _hold(row, painter, when, "")
        taken_words = f"{painter} has the {item.called} from {act.hour(when)}"
        return act.done("", with_overrides(taken_words, overridden_rules))

    return _on_item(shop, "take", equipment, by, work)


def _short_of_air(act: Transaction, item: Equipment) -> list[Refusal]:
    """Whether the air runs short once this is taken too: a rule where somebody breathes from it."""
    air = air_of(equipment_of(act.session), [item])
    if not item.needs_l_min or not air.short:
        return []
    if air.starves:
        return [air_short_refusal(air, act.house.units)]
    act.notes.append(air_caution(air, act.house.units))
    return []


def give_back(
    shop: Shop, equipment: str, by: str, *, at: datetime | None = None
) -> Outcome | Refusal:
    """Give a thing back, just now or at an earlier time; for somebody else who forgot, too."""

    def work(
        act: Transaction, painter: str, row: EquipmentRow, item: Equipment
    ) -> Outcome | Refusal:
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        if not item.holder:
            return Refusal(f"nobody has the {item.called}", "it is free", "")
        if item.held_at and when < item.held_at:
            return Refusal(
                f"{item.holder} did not have the {item.called} yet",
                f"{act.hour(when)} is before {act.hour(item.held_at)}",
                "give a later time",
            )
        _flag_what_is_in_hand(act, item, when)
        for_whom = "" if item.holder == painter else f" by {painter}, for {item.holder}"
        free(act, row)
        return act.done("", f"the {item.called} given back{for_whom} {act.hour(when)}")

    return _on_item(shop, "give back", equipment, by, work)


def _flag_what_is_in_hand(act: Transaction, item: Equipment, when: datetime) -> None:
    """Given back while the step that took it goes on: that stays on the part's sheet."""
    for part, step in people_rows.in_hand(act.session):
        if part.tag == item.held_for:
            name = step.plan["name"]
            flag = f"the {item.called} was returned {act.hour(when)}, {name} in progress"
            step.flags = [*step.flags, flag]
            act.notes.append(f"tag {part.tag} {part.name}: {name} is still in progress")


def ask_for(shop: Shop, equipment: str, by: str) -> Outcome | Refusal:
    """Ask for a thing that somebody else holds: who asked first hears when it is free."""

    def work(
        act: Transaction, painter: str, row: EquipmentRow, item: Equipment
    ) -> Outcome | Refusal:
        if item.holder == painter:
            return Refusal(f"{painter} has the {item.called} already")
        if painter in item.queue:
            place = item.queue.index(painter) + 1
            return Refusal(f"{painter} waits for the {item.called} already", f"place {place}", "")
        if not item.holder and not item.queue:
            return Refusal(f"the {item.called} is free", "", "take it")
        row.queue = [*row.queue, painter]
        holder = f"; {item.holder} has it" if item.holder else ""
        return act.done("", f"{painter} waits for the {item.called}{holder}")

    return _on_item(shop, "ask for", equipment, by, work)


def ask_no_more(shop: Shop, equipment: str, by: str) -> Outcome | Refusal:
    """Give a place among those who wait up."""

    def work(
        act: Transaction, painter: str, row: EquipmentRow, item: Equipment
    ) -> Outcome | Refusal:
        if painter not in item.queue:
            return Refusal(f"{painter} does not wait for the {item.called}")
        row.queue = [name for name in row.queue if name != painter]
        tell_the_next(act, row)
        return act.done("", f"{painter} waits for the {item.called} no more")

    return _on_item(shop, "ask no more", equipment, by, work)


def _on_item(
    shop: Shop,
    action: str,
    equipment: str,
    by: str,
    work: Callable[[Transaction, str, EquipmentRow, Equipment], Outcome | Refusal],
) -> Outcome | Refusal:
    """Run ``work`` on one thing in one transaction, with the painter's name checked first."""
    with shop.act(action, by) as act:
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        row = _row(act, equipment)
        if isinstance(row, Refusal):
            return row
        return work(act, painter, row, _item_of(act, row))


def write_down(
    shop: Shop,
    by: str,
    *,
    name: str,
    kind: str = "",
    needs_l_min: float | None = None,
    gives_l_min: float | None = None,
) -> Outcome | Refusal:
    """Add a piece of equipment that one painter holds at a time.

    kind: what the steps of a route call it; its name, when nothing is said.
    """
    clean = clean_name(name, "its name")
    if isinstance(clean, Refusal):
        return clean
    of_kind = clean_name(kind or clean.lower(), "its kind")
    if isinstance(of_kind, Refusal):
        return of_kind
    with shop.act("equipment", by) as act:
        wrong = _odd_air(act.house.units, needs_l_min, gives_l_min)
        if wrong is not None:
            return wrong
        rows = people_rows.equipment(act.session)
        key = _key(clean)
        if any(key == row.key or row.name.casefold() == clean.casefold() for row in rows):
            return Refusal(f"there is a {clean} already", f"its key is {key}", "another name")
        if len(rows) >= MOST_EQUIPMENT:
            return Refusal(f"{len(rows)} things are recorded", "", f"{MOST_EQUIPMENT} at most")
        sheet = EquipmentSheet(key, clean, of_kind, needs_l_min, gives_l_min)
        _add(act, [sheet], typed=True)
        return act.done(
            "", f"the shop has a {clean} ({of_kind}){_air_words(sheet, act.house.units)}"
        )


def write_down_usual(shop: Shop, by: str, usual: Iterable[EquipmentSheet]) -> Outcome | Refusal:
    """Add the usual equipment that an open shop does not have yet."""
    with shop.act("equipment", by) as act:
        there = {row.key for row in people_rows.equipment(act.session)}
        fresh = [sheet for sheet in usual if sheet.key not in there]
        if not fresh:
            return Refusal("all of it is recorded already")
        _add(act, fresh, typed=False)
        names = ", ".join(sheet.name for sheet in fresh)
        return act.done("", f"recorded: {names}; their figures are placeholders")


def set_air(
    shop: Shop,
    equipment: str,
    by: str,
    *,
    needs_l_min: float | None = None,
    gives_l_min: float | None = None,
) -> Outcome | Refusal:
    """Set the air that a tool really takes or a compressor gives, instead of the placeholder."""
    with shop.act("equipment", by) as act:
        wrong = _odd_air(act.house.units, needs_l_min, gives_l_min)
        if wrong is not None:
            return wrong
        row = _row(act, equipment)
        if isinstance(row, Refusal):
            return row
        if needs_l_min is None and gives_l_min is None:
            return Refusal("nothing to set", row.name, "say what it needs, or what it gives")
        if gives_l_min is not None and row.kind != COMPRESSOR:
            return Refusal(f"the {row.name} gives no air", row.kind, "say what it needs")
        row.needs_l_min = row.needs_l_min if needs_l_min is None else needs_l_min
        row.gives_l_min = row.gives_l_min if gives_l_min is None else gives_l_min
        _mark_as_typed(act, [row.key])
        return act.done("", f"{row.name}{_air_words(row, act.house.units)}")


# --- for the steps of parts ----------------------------------------------------------------------


def take_for(
    act: Transaction,
    part: PartRow,
    step: Step,
    product: Product | None,
    painters: Sequence[str],
    when: datetime,
) -> None:
    """Take what a step needs and nobody holds, for the first of its painters; say so."""
    kinds = kinds_needed(step, product)
    if not kinds:
        return
    rows, typed = act.equipment, act.once(typed_equipment, SettingRow)
    every = equipment_items(rows, typed)
    items = to_take(kinds, every, painters, product)
    for row in rows:
        if row.key in {item.key for item in items}:
            _hold(row, painters[0], when, part.tag)
    if items:
        names = " and ".join(item.called for item in items)
        act.notes.append(f"{painters[0]} has the {names} until it is done")
        act.notes += filter(None, (stand_in_words(item, every, product) for item in items))
    air = air_of(equipment_items(rows, typed))
    if air.short and not air.starves and {item.kind for item in air.drawn} & set(kinds):
        act.notes.append(air_caution(air, act.house.units))


def give_back_for(act: Transaction, part: PartRow) -> None:
    """Return what a finished step took, or pass it on to another step of its holder."""
    rows = [row for row in act.equipment if row.held_for == part.tag]
    if not rows:
        return
    others = [(p, s) for p, s in people_rows.in_hand(act.session) if p.id != part.id]
    for row in rows:
        on = next((p for p, s in others if _uses(row, s, act.products)), None)
        if on is not None:
            row.held_for = on.tag
        else:
            free(act, row)


def _uses(row: EquipmentRow, step: StepRow, products: dict[str, Product]) -> bool:
    plan = step_of(step)
    return row.holder in step.painters and row.kind in kinds_needed(
        plan, products.get(plan.product)
    )


def pass_on_for(act: Transaction, part: PartRow, leaves: str, to: str) -> None:
    """Hand over what the step of a part took, together with the part."""
    for row in people_rows.equipment(act.session):
        if row.held_for == part.tag and row.holder == leaves:
            row.holder, row.held_at = to, act.now
            row.queue = [name for name in row.queue if name != to]


def air_fed_for(act: Transaction, painter: str, step: Step, product: Product | None) -> str:
    """Warn a painter who joins a step with isocyanate and has no air-fed mask."""
    if AIR_FED not in kinds_needed(step, product):
        return ""
    things = equipment_of(act.session)
    if any(item.kind == AIR_FED and item.holder == painter for item in things):
        return ""
    return f"isocyanate: {painter} has no air-fed mask, and stays out of the spray space"


def free(act: Transaction, row: EquipmentRow) -> None:
    """Free a piece of equipment, and tell whoever waits for it."""
    row.holder, row.held_at, row.held_for = "", None, ""
    tell_the_next(act, row)


def tell_the_next(act: Transaction, row: EquipmentRow) -> None:
    """Note a line for whoever is next in the queue."""
    if who := next_in_line(_item_of(act, row)):
        act.notes.append(f"{row.name} is free: {who} is next")


# --- small help ----------------------------------------------------------------------------------


def _row(act: Transaction, name: str) -> EquipmentRow | Refusal:
    """A thing by its key or name, or by its kind where there is only one of it."""
    rows, text = people_rows.equipment(act.session), name.strip().casefold()
    matches = [row for row in rows if text in (row.key.casefold(), row.name.casefold())]
    matches = matches or [row for row in rows if row.kind.casefold() == text]
    if len(matches) == 1:
        return act.unseen(matches[0]) or matches[0]
    names = ", ".join(row.key for row in matches or rows) or "none is recorded yet"
    if matches:
        return Refusal(f"several are of the kind '{name[:40]}'", "", f"say which: {names}")
    return Refusal(f"no equipment '{name[:40]}'", "", f"one of {names}")


def _item_of(act: Transaction, row: EquipmentRow) -> Equipment:
    return equipment_items([row], act.once(typed_equipment, SettingRow))[0]


def _hold(row: EquipmentRow, painter: str, at: datetime, tag: str) -> None:
    row.holder, row.held_at, row.held_for = painter, at, tag
    row.queue = [name for name in row.queue if name != painter]


def _add(act: Transaction, sheets: Sequence[EquipmentSheet], *, typed: bool) -> None:
    position = people_rows.next_position(act.session)
    act.session.add_all(rows_of(sheets, position))
    if typed:
        _mark_as_typed(act, [sheet.key for sheet in sheets])


def rows_of(sheets: Iterable[EquipmentSheet], position: int = 0) -> list[EquipmentRow]:
    """Give equipment as it is stored, from a place in the list on."""
    numbers = enumerate(sheets, start=position)
    return [EquipmentRow(position=place, **vars(sheet)) for place, sheet in numbers]


def _mark_as_typed(act: Transaction, keys: Sequence[str]) -> None:
    """The figures of these are the shop's own."""
    value = {"typed": sorted({*typed_equipment(act.session), *keys})}
    row = act.session.get(SettingRow, "equipment")
    if row is None:
        act.session.add(SettingRow(key="equipment", value=value))
    else:
        row.value = value


def _odd_air(units: ShopUnits, *flows_l_min: float | None) -> Refusal | None:
    for l_min in flows_l_min:
        if l_min is not None and not LEAST_L_MIN <= l_min <= MOST_L_MIN:
            least = format_figures(LEAST_L_MIN, "l/min", units, bound="least")
            most = format_figures(MOST_L_MIN, "l/min", units, bound="most")
            right = f"from {least} to {most} {shop_unit('l/min', units)}"
            return Refusal(f"{quantity(l_min, 'l/min', units)} of air", "", right)
    return None


def _air_words(sheet: EquipmentSheet | EquipmentRow, units: ShopUnits) -> str:
    flows = (("needs", sheet.needs_l_min), ("gives", sheet.gives_l_min))
    words = [f"{what} {quantity(l_min, 'l/min', units)}" for what, l_min in flows if l_min]
    return f": {', '.join(words)}" if words else ""


def _key(name: str) -> str:
    return re.sub(r"[\W_]+", "-", name.casefold()).strip("-") or "thing"

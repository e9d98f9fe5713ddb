"""The demo shop: invented parts, whose history is in seeds/demo.toml relative to now.

Everything is done through the shop's own actions, so the file cannot show what the bench forbids.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from inspect import Parameter, signature
from pathlib import Path
from typing import Any, get_type_hints

from pydantic import ValidationError

from bench import units
from bench.clock import StillClock
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import BadSheet
from bench.shop.core.json_form import reader
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import (
    assignment,
    equipment,
    holds_and_rework,
    notes,
    placement,
    steps,
    testing,
)
from bench.shop.parts.measuring import Readings, record_readings
from bench.shop.people import painters
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import is_new, open_shop
from bench.shop.seeds.seed_files import BadSeed, Seeds
from bench.shop.seeds.toml_lines import Place, line_of
from bench.shop.stock import instruments, pots, tins

DemoAnswer = Outcome | Refusal
DemoAction = Callable[..., DemoAnswer]


def tin_came(
    shop: Shop,
    product: str,
    by: str,
    *,
    size_ml: float,
    role: str = "",
    batch: str = "",
    keeps_days: int | None = None,
    price: float | None = None,
    count: int = 1,
) -> DemoAnswer:
    """Record a tin that came, its use-by as so many days after: the file knows no calendar."""
    details: dict[str, Any] = {"role": role, "batch": batch, "price": price, "count": count}
    if keeps_days is not None:
        details["use_by"] = (shop.clock.now() + timedelta(days=keeps_days)).date()
    return tins.record_tin(shop, product, by, size_ml=size_ml, **details)


def instrument_came(
    shop: Shop,
    name: str,
    by: str,
    *,
    kind: str,
    number: str = "",
    error: float | None = None,
    check_in_days: int | None = None,
) -> DemoAnswer:
    """Record an instrument calibrated that day, its next check so many days after."""
    today = shop.clock.now().date()
    check_by = today + timedelta(days=check_in_days) if check_in_days is not None else None
    days = {"calibrated": today, "check_by": check_by}
    return instruments.add_instrument(shop, by, name, kind=kind, number=number, error=error, **days)


def measured(
    shop: Shop,
    target: str,
    by: str,
    *,
    kind: str,
    readings: list[float],
    face: str = "",
    instrument: str = "",
) -> DemoAnswer:
    """Write readings of a part down."""
    return record_readings(
        shop, target, by, Readings(kind, {face: readings}, instrument=instrument)
    )


SHOP_DEEDS: dict[str, DemoAction] = {
    "instrument": instrument_came,
    "tin": tin_came,
    "tin_opened": tins.open_tin,
    "reading": readings.take_reading,
    "mix": pots.mix,
    "bin": pots.bin_pot,
    "flush": pots.flush,
    "take": equipment.take,
    "give back": equipment.give_back,
    "ask for": equipment.ask_for,
    "note": notes.write_note,
    "training": painters.set_trained,
}
"""What concerns no part, each a list of its own in the file."""

PART_DEEDS: dict[str, DemoAction] = {
    "begin": steps.begin,
    "finish": steps.finish,
    "pass": testing.pass_test,
    "not yet": testing.put_test_off,
    "skip": holds_and_rework.skip,
    "hold": holds_and_rework.hold,
    "release": holds_and_rework.release,
    "join": holds_and_rework.join_step,
    "rework": holds_and_rework.rework,
    "move": placement.move,
    "take off": placement.take_off,
    "take": assignment.take_part,
    "hand to": assignment.hand_to,
    "share faces": assignment.share_faces,
    "note": notes.write_note,
    "measure": measured,
}
"""What was done to a part: the words after ``do =``."""

TOP_KEYS = ("painters", "stands", "house", "rest", "part", *SHOP_DEEDS)
OPENED_WITH = ("painters", "stands", "house")
LONGEST_AGO_S = 366 * 86400.0
NOT_WRITTEN = ("shop", "target", "at")
"""Arguments of an action that the file never gives: the last two follow from the part and 'ago'."""


@dataclass(frozen=True)
class Event:
    """One action of the demo: how long ago, and where in the file it stands."""

    ago_s: float
    where: Place
    what: str
    action: DemoAction
    given: dict[str, Any]


def open_demo(shop: Shop, root: Path, now: datetime | None = None) -> Outcome | Refusal:
    """Fill an empty shop with the seeds under ``root`` and the history in its ``demo.toml``.

    now: the instant that everything was so long ago from; None for the shop's present one. Refused
    when the shop was opened before. Raises BadSeed with file and line when the file is spelled
    wrongly or asks for what a rule of the bench forbids.
    """
    if not is_new(shop):
        return Refusal("this shop is open already", "", "nothing was changed")
    stock = seed_files.load(root)
    file = root / "demo.toml"
    table = seed_files.read_toml(file)
    try:
        _live_through(shop, _events(table, stock), now or shop.clock.now())
    except BadSheet as fault:
        line = line_of(file.read_text(encoding="utf-8-sig"), fault.where)
        raise BadSeed(f"{file}:{line}: {fault}") from fault
    return Outcome("the demo shop is open")


def _live_through(shop: Shop, events: list[Event], now: datetime) -> None:
    """Do everything in order of time, each at its own instant of the past."""
    for event in sorted(events, key=lambda event: -event.ago_s):
        then = StillClock(shop.clock.computer, now - timedelta(seconds=event.ago_s))
        past = Shop(shop.store, then, shop.terminal)
        answer = event.action(past, **event.given)
        if isinstance(answer, Refusal):
            raise BadSheet(event.where, f"{event.what} is refused: {answer}")


def _events(table: dict[str, Any], stock: Seeds) -> list[Event]:
    """Everything the file says, in its order, the opening of the shop first."""
    for key in table:
        if key not in TOP_KEYS:
            raise _unknown_key((key,), TOP_KEYS)
    events: list[Event] = []
    for name, action in SHOP_DEEDS.items():
        for number, entry in enumerate(_tables(table.get(name, []), (name,))):
            events.append(_event(name, action, entry, (name, number)))
    for number, part in enumerate(_tables(table.get("part", []), ("part",))):
        events += _life(part, ("part", number))
    arguments: dict[str, Any] = {k: table[k] for k in OPENED_WITH if k in table}
    values = _arguments(
        open_shop, arguments, (), has={"seeds": _with_rest_times(stock, table.get("rest", {}))}
    )
    first = max((event.ago_s for event in events), default=0.0)
    return [Event(first, ("painters",), "opening", open_shop, values), *events]


def _with_rest_times(stock: Seeds, rest: Any) -> Seeds:
    """The seeds, with the rest after stirring that this shop's own tins ask for."""
    products = dict(stock.products)
    for key, text in _table(rest, ("rest",)).items():
        here = ("rest", key)
        if key not in products:
            raise _unknown_key(here, products)
        products[key] = replace(products[key], induction_s=_seconds(text, here))
    return replace(stock, products=products)


def _life(part: dict[str, Any], where: Place) -> Iterator[Event]:
    """A part put on its stand, the steps it came with, and what was done to it since."""
    values = {key: value for key, value in part.items() if key not in ("did", "already_done")}
    if "tag" not in values:
        raise BadSheet(where, "part: 'tag' is missing; its history needs one")
    placing = _event(f"tag {values['tag']} placed", placement.place, values, where)
    yield placing
    tag, by = placing.given["tag"], placing.given["by"]
    here: Place = (*where, "already_done")
    reason = {"target": tag, "by": by, "reason": steps.SKIP_REASONS[0]}
    for _ in range(_fit(int, part.get("already_done", 0), here)):
        yield Event(placing.ago_s, here, f"tag {tag} skip", holds_and_rework.skip, reason)
    for number, did in enumerate(_tables(part.get("did", []), (*where, "did"))):
        here = (*where, "did", number)
        more = dict(did)
        do = more.pop("do", None)
        if not isinstance(do, str) or do not in PART_DEEDS:
            keys = ", ".join(PART_DEEDS)
            raise BadSheet(here, f"tag {tag}: do reads {do!r}; it is one of {keys}")
        yield _event(f"tag {tag} {do}", PART_DEEDS[do], more, here, has={"target": tag})


def _event(
    what: str,
    action: DemoAction,
    entry: dict[str, Any],
    where: Place,
    has: dict[str, Any] | None = None,
) -> Event:
    more = dict(entry)
    if "ago" not in more:
        raise BadSheet(where, f"{what}: 'ago' is missing; write ago = \"2 h 30 min\"")
    ago_s = _seconds(more.pop("ago"), (*where, "ago"))
    return Event(ago_s, where, what, action, _arguments(action, more, where, has or {}))


def _seconds(text: Any, where: Place) -> float:
    """A time such as "1 d 2 h 30 min", from nothing to a year."""
    pieces = re.findall(r"\d+(?:[.,]\d+)?\s*[^\d\s]+\s*", text if isinstance(text, str) else "")
    try:
        if not pieces or "".join(pieces).strip() != text.strip():
            raise ValueError('it is a time in quotes, such as "1 d 2 h 30 min"')
        total_s = sum(_seconds_of(piece) for piece in pieces)
        if total_s > LONGEST_AGO_S:
            raise ValueError("a year is the longest")
    except ValueError as fault:
        raise BadSheet(where, f"{where[-1]} reads {str(text)[:40]!r}: {fault}") from fault
    return total_s


@cache
def _seconds_of(piece: str) -> float:
    return units.seconds(piece)


def _arguments(
    action: DemoAction, entry: dict[str, Any], where: Place, has: dict[str, Any]
) -> dict[str, Any]:
    """The arguments for an action: the file's keys are its own names, and of its own kinds."""
    takes = _takes(action)
    values = dict(has)
    for key, value in entry.items():
        if key not in takes or key in has:
            raise _unknown_key((*where, key), [name for name in takes if name not in has])
        values[key] = _fit(takes[key], value, (*where, key))
    for name, parameter in signature(action).parameters.items():
        if parameter.default is Parameter.empty and name in takes and name not in values:
            raise BadSheet(where, f"'{name}' is missing; add it")
    return values


@cache
def _takes(action: DemoAction) -> dict[str, Any]:
    hints = get_type_hints(action)
    return {name: hints[name] for name in signature(action).parameters if name not in NOT_WRITTEN}


def _fit(kind: Any, value: Any, where: Place) -> Any:
    try:
        return reader(kind).validate_python(value)
    except ValidationError as fault:
        why = fault.errors(include_url=False)[0]["msg"]
        raise BadSheet(where, f"{where[-1]} reads {str(value)[:40]!r}: {why}") from fault


def _tables(value: Any, where: Place) -> list[dict[str, Any]]:
    if not isinstance(value, list):
        raise BadSheet(where, f"{where[-1]} is a list: write [[{where[-1]}]], or [...] in a part")
    return [_table(entry, (*where, number)) for number, entry in enumerate(value)]


def _table(value: Any, where: Place) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise BadSheet(where, f"reads {str(value)[:40]!r}; write key = value pairs")
    return value


def _unknown_key(where: Place, keys: Iterable[str]) -> BadSheet:
    return BadSheet(where, f"'{where[-1]}' does not belong here; it is one of {', '.join(keys)}")

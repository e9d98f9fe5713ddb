"""Looking through an export before anything of it is kept: what could not be opened is refused.

Every refusal names the row and the field, what was read and what would be right.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from functools import cache, cached_property, partial
from typing import Annotated, Any, Literal

from pydantic import AwareDatetime, BaseModel, Field, create_model

from bench.clock import CorrectedClock
from bench.process.parts.job import PaintSystem, Photo, Promise, Received
from bench.process.parts.part import Mark
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.sheets.product import Product
from bench.process.sheets.product_rules import check_measured, check_texts
from bench.process.sheets.route import Route, Shape, SprayTool, Step
from bench.process.stock.instruments import INSTRUMENT_KINDS
from bench.process.wording.display_units import ShopUnits
from bench.process.wording.text_rules import clean_name
from bench.shop.clock import timekeeping
from bench.shop.clock.clock_fault import ClockState
from bench.shop.core.bench_view import view_of
from bench.shop.core.json_form import reader
from bench.shop.core.mappers import TIN_RATIOS
from bench.shop.core.temperature_cache import Air
from bench.shop.core.transaction import Shop
from bench.shop.data import missing_entries
from bench.shop.data.backup_retention import SecondPlace
from bench.shop.people.pins import WrongPins
from bench.shop.people.wrong_pins import WRONG_PINS
from bench.shop.records.gathering import gather
from bench.shop.settings.setting_list import BY_KEY, DEFAULTS
from bench.shop.settings.shop_settings import ShopSettings
from bench.store.copies.exchange import (
    NotReadable,
    Whole,
    bad_row,
    is_of_the_rows,
    read_short,
    reader_of,
)
from bench.store.databases.database import Session
from bench.store.databases.faults import in_one_line
from bench.store.log.journal import blank
from bench.store.log.pin_marks import SIDES
from bench.store.queries import bench_rows, history_rows
from bench.store.schema.tables import KEPT
from bench.zones import zone_of

RowData = dict[str, Any]

NAMES = {
    "painter": ("name",),
    "part": ("tag", "name", "job", "owner"),
    "job": ("name", "owner", "order_number"),
    "equipment": ("name", "kind"),
    "tin": ("batch",),
    "note": ("text",),
    "instrument": ("name", "number"),
    "measurement": ("face", "instrument"),
    "stand": ("name",),
}
"""What of each table somebody typed as a name."""

WANTED = {
    *(("painter", "name"), ("part", "tag"), ("part", "name")),
    *(("equipment", "name"), ("instrument", "name")),
    ("job", "name"),
}
"""Those that cannot be empty."""


@dataclass(frozen=True)
class _Taken:
    """What was taken from one tin."""

    id: int
    ml: float
    role: str = ""
    against: str = ""


@dataclass(frozen=True)
class _Pour:
    """One pour of a pot."""

    role: str
    ml: float
    fill_to_ml: float
    at: AwareDatetime | None = None


@dataclass(frozen=True)
class _Forecast:
    day: date
    since: AwareDatetime
    low_c: float
    high_c: float


WeekData = Annotated[list[tuple[time, time] | None], Field(min_length=7, max_length=7)]


@dataclass(frozen=True)
class _Usual:
    until: AwareDatetime
    week: WeekData
    day_c: float
    night_c: float
    holidays: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Ratio:
    ratio: str
    batches: list[str]


@dataclass(frozen=True)
class _Equipment:
    typed: list[str]


@dataclass(frozen=True)
class _WrongPins:
    of: dict[str, WrongPins]


HOUSE: Mapping[str, Any] = {
    "zone": str,
    "week": WeekData,
    "holidays": list[str],
    "before": list[_Usual],
    "forecasts": list[_Forecast],
    "units": ShopUnits,
    "backup_to": SecondPlace | Annotated[dict[str, str], Field(max_length=0)],
    "probe": dict[str, str | float],
    "jump": dict[str, str | float | bool],
    "themes": dict[str, str],
    "alarm_command": list[str],
    "clearance_on": Literal[""] | date,
}
"""What of the shop's settings is more than one plain value like that it starts with."""

READ_AS: Mapping[tuple[str, str], Any] = {
    ("product", "sheet"): Product,
    ("sheet_version", "sheet"): Product,
    ("route", "plan"): Route,
    ("shape", "plan"): Shape,
    ("tool", "plan"): SprayTool,
    ("step", "plan"): Step,
    ("step", "marks"): tuple[Mark, ...],
    ("step", "tins"): list[_Taken],
    ("measurement", "kind"): Literal[tuple(KINDS)],
    ("measurement", "readings"): list[float],
    ("instrument", "kind"): Literal[tuple(INSTRUMENT_KINDS)],
    ("instrument", "calibrated"): Literal[""] | date,
    ("instrument", "check_by"): Literal[""] | date,
    ("mix", "tins"): list[_Taken],
    ("mix", "pours"): list[_Pour],
    ("job", "promised"): Literal[""] | date,
    ("job", "promise"): Promise,
    ("job", "received"): Received,
    ("job", "system"): PaintSystem,
    ("job", "photos"): list[Photo],
}
"""What a column is read as: one of JSON, or of a day or a word."""


Check = Callable[[], object]
"""Raises ValueError or TypeError."""


def check_rows(whole: Whole) -> None:
    """Raise NotReadable for the first row that could not be read once it is in the tables."""
    for table, rows in whole.rows.items():
        for number, row in enumerate(rows, start=1):
            for column, check in _checks(table, row):
                try:
                    check()
                except (ValueError, TypeError) as fault:
                    raise bad_row(number, table, fault, column) from fault


def _checks(table: str, row: RowData) -> Iterator[tuple[str, Check]]:
    """Every check of a row, with the column it looks at."""
    for column in NAMES.get(table, ()):
        yield column, partial(_check_name, row[column], (table, column) in WANTED)
    for column, value in row.items():
        if (table, column) in READ_AS:
            yield column, partial(_check_held, READ_AS[table, column], value)
    if table == "setting":
        yield f"value of '{row['key']}'", partial(_check_setting, row["key"], row["value"])
    for number, change in enumerate(row.get("changes", ()), start=1):
        yield f"changes.{number}", partial(_check_change, change)


def _check_name(name: str, is_wanted: bool) -> None:
    """Raise ValueError for a name that could not have been typed."""
    if not name and not is_wanted:
        return
    clean = clean_name(name, "it")
    if isinstance(clean, Refusal):
        raise ValueError(str(clean))
    if clean != name:
        raise ValueError(f"read {name!a}; as it is kept it would be {clean!a}")


def _check_held(kind: Any, value: Any) -> None:
    """Raise ValueError for JSON that is not read as a kind."""
    value_read = reader(kind).validate_json(json.dumps(value), strict=True)
    if isinstance(value_read, Product | Route | Step):
        check_texts(value_read)
    for each in value_read.steps if isinstance(value_read, Route) else (value_read,):
        if isinstance(each, Product | Step):
            check_measured(each.accept, getattr(each, "measure", ()))


def _check_setting(key: str, value: Any) -> None:
    if key not in SETTINGS:
        raise ValueError(f"wanted one of {', '.join(SETTINGS)}")
    value_read = reader(SETTINGS[key]).validate_json(json.dumps(value), strict=True)
    if key == "house":
        _check_house(value, value_read)


def _check_house(row: RowData, house: BaseModel) -> None:
    """Raise ValueError for a setting that could not have been set."""
    for key in DEFAULTS.keys() & row.keys() & BY_KEY.keys():
        setting = BY_KEY[key]
        if (setting.unit or setting.choices) and (refused := setting.fault(getattr(house, key))):
            raise ValueError(str(refused))
    settings = ShopSettings({**DEFAULTS, **row}, zone_of(str(row.get("zone", ""))))
    for name in dir(ShopSettings):
        if isinstance(vars(ShopSettings).get(name), property | cached_property):
            getattr(settings, name)


def _house() -> type[BaseModel]:
    """Give what the shop's settings are read as: each like what it starts with."""
    fields: dict[str, Any] = {
        key: (HOUSE.get(key, float if type(start) is int else type(start)), start)
        for key, start in DEFAULTS.items()
    }
    model: type[BaseModel] = create_model("House", **fields)
    return model


SETTINGS: Mapping[str, Any] = {
    "house": _house(),
    timekeeping.SETTING: ClockState,
    "equipment": _Equipment,
    TIN_RATIOS: dict[str, _Ratio],
    WRONG_PINS: _WrongPins,
    missing_entries.SETTING: list[str],
    bench_rows.GONE: list[int],
}
"""Every setting by its key, and what it is read as."""


def _check_change(change: Any) -> None:
    """Raise ValueError for a pair of row images that no undo could put back."""
    if not isinstance(change, dict) or change.get("table") not in KEPT:
        raise ValueError(f"read {read_short(change)}; wanted a table, a row before and after")
    pictures = [change.get(side) for side in SIDES]
    if not any(pictures):
        raise ValueError("neither a row before nor after")
    table, kind = change["table"], KEPT[change["table"]]
    for picture in filter(None, pictures):
        whole = {**blank(kind), **picture}
        _reader_of(kind).model_validate_json(json.dumps(whole), strict=True)
        for column, check in _checks(table, whole):
            try:
                check()
            except (ValueError, TypeError) as fault:
                raise ValueError(f"{table}.{column}: {fault}") from fault


_reader_of = cache(reader_of)


def read_everything(session: Session, shop: Shop) -> None:
    """Read the whole bench and every job record as they were filled in. Raises NotReadable."""
    clock = CorrectedClock(shop.clock.computer)
    what = "the bench"
    try:
        state = timekeeping.read_state(session, clock)
        now = clock.now()
        view_of(session, Air(), now, state)
        for row in history_rows.every_part(session):
            what = f"the job record of {row.tag}"
            gather(session, row, now, doubtful=state.doubtful)
    except Exception as fault:
        if not is_of_the_rows(fault):
            raise
        # Whatever the rows hold that nobody thought of: it is refused and no traceback later.
        raise NotReadable(f"{what} cannot be read: {in_one_line(fault)}") from fault

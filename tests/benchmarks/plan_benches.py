"""Thirteen invented benches of 4 to 30 parts, as questions that a plan answers.

plan_benches.json was made by a prototype of the planner from the shipped routes as they were then;
labour, amounts, promises and priorities in it are invented. Here each part has its route as it is
now: a step is found by its name; one that the file does not know has the placeholders below.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from bench.process.calendar.week import read_week
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.temperature import Hours
from bench.process.parts.job import PRIORITIES, Job
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import (
    LabourTime,
    PainterFigures,
    PlanInputs,
    ShopFigures,
    StepFigures,
    usual_step_figures,
)
from bench.process.stock.equipment import COMPRESSOR, Equipment
from bench.shop.seeds.seed_files import Seeds, folder, load

FILE = Path(__file__).parent / "plan_benches.json"

NEW_STEP_MIN, NEW_STEP_ML = 20.0, 60.0
"""Of a step that came to its route after the file was made (invented, as the others)."""


@dataclass(frozen=True)
class Bench:
    """A bench of the file. name: how many parts, and which of that size."""

    name: str
    weeks: int
    inputs: PlanInputs

    def built(self) -> BuiltPlan:
        """Build the question."""
        return build(self.inputs)


@cache
def seeds() -> Seeds:
    """Read what a new shop starts with."""
    return load(folder())


@cache
def benches() -> tuple[Bench, ...]:
    """Read every bench of the file."""
    return tuple(_bench(entry) for entry in json.loads(FILE.read_text(encoding="utf-8")))


def _bench(entry: dict[str, Any]) -> Bench:
    start, zone = entry["start"].split()
    now = datetime.fromisoformat(start).replace(tzinfo=ZoneInfo(zone))
    days = read_week(entry["hours"])
    hours = Hours(days, entry["day_c"], entry["night_c"], ZoneInfo(zone), typed=True)
    shop = ShopFigures(
        spray_spaces=entry["spray_spaces"],
        mixing_min=entry["mixing_min"],
        mixed_before_min=entry["mixed_before_min"],
        cup_ml=entry["cup_ml"],
        mist_share=1.0,  # The file's amounts are by kind of coat already.
        clearance_min=entry["clearance_min"],
        handling_h=entry["handling_h"],
        slack_min=entry["slack_before_closing_min"],
        stands=entry["stands"],
    )
    parts = [_part(n, each) for n, each in enumerate(entry["parts"], start=1)]
    rows = {(p["tag"], s["name"]): s for p in entry["parts"] for s in p["steps"]}

    def length_of(part: Part, record: StepRecord) -> LabourTime:
        row = rows.get((part.tag, record.step.name))
        return LabourTime(row["minutes"] if row else NEW_STEP_MIN, 0.35, past_steps=5)

    def figures_of(part: Part, record: StepRecord) -> StepFigures:
        product = seeds().products.get(record.step.product)
        tool = seeds().tools.get(record.step.tool or (product.tool if product else ""))
        row = rows.get((part.tag, record.step.name))
        usual = usual_step_figures(record, product, tool)
        return replace(usual, hands=row["hands"] if row else 1, abrading_min=entry["abrading_min"])

    def paint_of(part: Part, record: StepRecord) -> float | None:
        row = rows.get((part.tag, record.step.name))
        return float(row["pot_ml"]) if row else NEW_STEP_ML

    inputs = PlanInputs(
        now=now,
        parts=tuple(parts),
        around=Environment((), hours, seeds().products),
        painters=tuple(PainterFigures(name) for name in ("Una", "Bo")[: entry["painters"]]),
        length_of=length_of,
        figures_of=figures_of,
        paint_of=paint_of,
        jobs={each["tag"]: _job(each, ZoneInfo(zone)) for each in entry["parts"]},
        equipment=_equipment(entry),
        tools=seeds().tools,
        shapes=seeds().shapes,
        shop=shop,
        days=7 * entry["weeks"],
    )
    return Bench(f"{entry['parts_n']}/{entry['seed']}", entry["weeks"], inputs)


def _part(stand: int, entry: dict[str, Any]) -> Part:
    route = seeds().routes[entry["route"]]
    to_do = {step["name"] for step in entry["steps"]}
    first = next(n for n, step in enumerate(route.steps) if step.name in to_do)
    records = [StepRecord(n, step) for n, step in enumerate(route.steps, start=1)]
    if first:
        times = entry["last_done_step"]
        began, ended = (datetime.fromisoformat(times[key]) for key in ("began", "ended"))
        for n in range(first):
            earlier = timedelta(days=3 * (first - 1 - n))
            done = step_as_finished(records[n], began - earlier, ended - earlier)
            records[n] = replace(done, passed_at=ended)
    return Part(
        *(entry["tag"], route.name, entry["count"] or 1, f"Job {entry['tag']}", ""),
        *(route.substrate, entry["shape"], stand, stand, tuple(records)),
    )


def _job(entry: dict[str, Any], zone: ZoneInfo) -> Job:
    """Return the promise; the file's priority is a weight, so that its 3 is the most urgent."""
    promised = datetime.fromisoformat(entry["promised"]).astimezone(zone)
    urgent = max(PRIORITIES) + 1 - entry["priority"]
    return Job(f"Job {entry['tag']}", promised=promised.date(), priority=urgent)


def _equipment(entry: dict[str, Any]) -> tuple[Equipment, ...]:
    usual = [sheet for sheet in seeds().equipment.values() if sheet.kind != "air-fed set"]
    masks = [sheet for sheet in seeds().equipment.values() if sheet.kind == "air-fed set"]
    masks = [replace(masks[0], key=f"air-fed-{n}") for n in range(entry["air_fed_sets"])]
    return tuple(
        Equipment(
            *(sheet.key, sheet.name, sheet.kind, sheet.needs_l_min),
            gives_l_min=entry["compressor_l_min"]
            if sheet.kind == COMPRESSOR
            else sheet.gives_l_min,
        )
        for sheet in (*usual, *masks)
    )

"""A sheet as JSON, under a form and a version.

Times are ISO 8601 with the shop's offset from UTC; where something opens or closes, the hour that
the bench shows (``process.clocks.edges``). Temperatures in C, amounts in ml, films in um, as the
names say; its fields are in ``json_form``. The version rises when a field changes its meaning or
goes; a new field does not raise it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from pydantic_core import to_jsonable_python

from bench.process.clocks.cure import Cure
from bench.process.clocks.edges import Edge
from bench.process.parts.job import Job, film_in_all_um
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import Judgement, Measurement, mean_of
from bench.process.parts.part import StepRecord
from bench.process.sheets.measurement_kinds import KINDS, MeasurementKind
from bench.process.sheets.product import Product
from bench.process.stock.mixing import ratio_words
from bench.records.json_form import FORM, VERSION
from bench.records.record_text import thinner_words
from bench.shop.records.deviations import deviations
from bench.shop.records.hold_points import hold_points
from bench.shop.records.job_record import (
    Sheet,
    SheetPot,
    SheetReading,
    SheetStep,
    SheetTin,
    SheetVersion,
)

Json = dict[str, Any]


def sheet_json(sheet: Sheet) -> str:
    """Write the sheet as JSON in ASCII; the same sheet always gives the same text."""
    document = {"form": FORM, "version": VERSION, "sheet": to_jsonable_python(_sheet(sheet))}
    text = json.dumps(document, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def _fields(value: object, *names: str) -> Json:
    """Return some fields of a value, under their own names."""
    return {name: getattr(value, name) for name in names}


def _shown_hour(edge: Edge | None) -> datetime | None:
    return edge.shown if edge is not None else None


def _sheet(sheet: Sheet) -> Json:
    part = sheet.part
    return {
        **_fields(sheet, "written_at", "doubtful"),
        **_fields(part, "tag", "name", "count", "job", "owner", "substrate"),
        "zinc": vars(part.zinc) if part.zinc is not None else None,
        **_fields(sheet, "shape"),
        **_fields(part, "area_m2"),
        **_fields(sheet, "route"),
        **_fields(part, "stand", "last_stand"),
        **_fields(sheet, "away", "left_at", "split_from", "merged_into"),
        "lots": [vars(lot) for lot in sheet.lots],
        **_fields(part, "hold", "rework"),
        "bungs_in": part.bungs[0],
        "bungs_out": part.bungs[1],
        "contacts": part.contacts[0],
        "contacts_done": part.contacts[1],
        "state": sheet.state.word,
        "opens_at": _shown_hour(sheet.state.opens),
        "closes_at": _shown_hour(sheet.state.closes),
        "left_to_do": sheet.left_to_do,
        "steps": [_step(sheet, step) for step in sheet.steps],
        "products": [_product(product, sheet) for product in sheet.products.values()],
        "measured_before": _measured(sheet, None),
        "instruments": [vars(instrument) for instrument in sheet.instruments_used()],
        "order": _order(sheet.order) if sheet.order is not None else None,
        "hold_points": [vars(point) for point in hold_points(sheet)],
        "deviations": [
            {"what": each.text, **_fields(each, "step", "kind", "at", "by")}
            for each in deviations(sheet)
        ],
        "defects": [vars(defect) for defect in sheet.defects],
        "notes": [
            {"at": note.at, "by": note.painter, "text": note.text, "struck": note.struck}
            for note in sheet.notes
        ],
        "cure": _cure(sheet.cure) if sheet.cure is not None else None,
        "corrections": _corrections(sheet.corrections),
        "journal": [_line(line) for line in sheet.journal],
    }


def _order(order: Job) -> Json:
    received, system = order.received, order.system
    return {
        "order_number": order.order_number,
        "received_on": received.on,
        "condition": received.condition,
        "galvanised_on": received.galvanised_on,
        "coats": [vars(coat) for coat in system.coats],
        "in_all_um": film_in_all_um(system),
        **_fields(system, "corrosivity", "durability"),
    }


def _step(sheet: Sheet, step: SheetStep) -> Json:
    record = step.record
    return {
        "number": record.number,
        **_fields(step.plan, "name", "kind", "product"),
        **_fields(record, "status", "first_at", "last_at", "painters"),
        **_fields(record, "weight", "wet_um", "dry_um"),
        "faces": [vars(mark) for mark in record.marks],
        "tests": [
            {"at": test.at, "by": test.painter, "passed": test.passed, "wait_s": test.wait_s}
            for test in step.tests
        ],
        "test_named": step.test,
        **_fields(record, "passed_at", "passed_by", "reason", "flags"),
        "tool": sheet.tool_of(step),
        "pots": [_pot(pot) for pot in step.pots],
        "tins": _tins(step.tins),
        "readings": [_reading(reading) for reading in step.readings],
        "corrections": _corrections(step.corrections),
        "doubtful": step.doubtful,
        "typed_later_at": step.typed_at,
        "data_sheet": _version(step.version),
        "measured": _measured(sheet, record),
    }


def _measured(sheet: Sheet, record: StepRecord | None) -> list[Json]:
    """What was read at a step by kind: each set of readings, and what all of them come to."""
    there = sheet.measured_at(record.number if record is not None else None)
    judgements = sheet.judgements(record)
    return [
        _of_kind(kind, there, judgements.get(kind.key))
        for kind in KINDS.values()
        if any(each.kind == kind.key for each in there)
    ]


def _of_kind(
    kind: MeasurementKind,
    there: Sequence[Measurement],
    judgement: tuple[Judgement, Sequence[float]] | None,
) -> Json:
    verdict, values = judgement or (None, [])
    return {
        "kind": kind.key,
        "unit": kind.unit,
        "method": kind.method,
        "sets": [
            {
                **_fields(each, "number", "at", "face", "readings", "grade", "instrument"),
                **_fields(each, "surface", "less_um", "struck"),
                "by": each.painter,
            }
            for each in there
            if each.kind == kind.key
        ],
        "count": len(values),
        "mean": mean_of(values),
        "least": min(values, default=None),
        "most": max(values, default=None),
        "verdict": verdict.words if verdict is not None else "",
        "accepted": verdict.good if verdict is not None else None,
        "still_to_take": verdict.take if verdict is not None else 0,
    }


def _pot(mix: SheetPot) -> Json:
    return {
        "number": mix.number,
        "letter": mix.pot.letter,
        "faces": mix.faces,
        "product": mix.pot.name,
        **_fields(mix.pot, "mixed_at", "use_from", "bin_by", "basis", "total_ml"),
        "pours": [{"role": role, "ml": ml} for role, ml in mix.pours],
        **_fields(mix, "by", "binned_at", "binned_ml"),
        "tins": _tins(mix.tins),
        "corrections": _corrections(mix.corrections),
        "data_sheet": _version(mix.version),
    }


def _version(version: SheetVersion | None) -> Json | None:
    if version is None:
        return None
    return {"since": version.since, "as_of_the_upgrade": not version.is_own}


def _tins(tins: tuple[SheetTin, ...]) -> list[Json]:
    return [vars(tin) for tin in tins]


def _reading(read: SheetReading) -> Json:
    return {
        **_fields(read.reading, "number", "at"),
        "when": read.when,
        **_fields(read.reading, "air_c", "rh_pct", "metal_c"),
        **_fields(read, "dew_point_c", "margin_c", "by"),
        "corrections": _corrections(read.corrections),
    }


def _product(product: Product, sheet: Sheet) -> Json:
    film = product.film
    return {
        **_fields(product, "key", "name", "kind"),
        "source": product.source_of(),
        "ratio": ratio_words(product.ratio) if product.ratio else "",
        "thinner": thinner_words(product),
        "volume_solids_pct": product.volume_solids_pct,
        "film_least_um": film.least_um if film else None,
        "film_target_um": film.target_um if film else None,
        "film_most_um": film.most_um if film else None,
        "film_in_all_um": film.in_all_um if film else None,
        "isocyanate": product.isocyanate,
        **_fields(product, "colour", "issued", "shelf_life_s", "flash_point_c", "voc_g_l"),
        "tool": sheet.tools.get(product.tool, product.tool),
        "test": product.test,
    }


def _cure(cure: Cure) -> Json:
    return {
        **_fields(cure, "coat", "product", "last_face_at"),
        "contact_at": _shown_hour(cure.contact),
        "full_cure_at": _shown_hour(cure.full_cure),
        **_fields(cure, "rests_on", "passed_at", "passed_by"),
    }


def _corrections(lines: tuple[LogEntry, ...]) -> list[Json]:
    return [
        {"line": line.number, "at": line.at, "by": line.painter} | _fields(line, "text", "doubtful")
        for line in lines
    ]


def _line(line: LogEntry) -> Json:
    return {
        **_fields(line, "number", "at", "action"),
        "by": line.painter,
        **_fields(line, "terminal", "tag", "text", "undone", "undoes", "doubtful"),
    }

"""A form holds what the text of a sheet holds, and says it without quotes or braces."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Limits, Product
from bench.process.sheets.product_rules import check_product
from bench.process.sheets.route import Route
from bench.screens.setup.sheet_questions import figures_asked, figures_read
from bench.shop.seeds.file_schema import file_schema
from bench.shop.seeds.form_questions import BY_ITSELF, Question, form_questions, value_words
from bench.shop.seeds.seed_files import folder, load, read_one
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_draft import (
    copy_of,
    draft_of,
    draft_text,
    open_figures,
    with_places,
    with_source,
)

SEEDS = load(folder())
SHEETS: list[Product | Route] = [*SEEDS.products.values(), *SEEDS.routes.values()]


def test_every_key_of_a_text_is_asked_for_and_no_other() -> None:
    for kind, form in ((Product, "product"), (Route, "route")):
        keys = [question.key for question in form_questions(form)]  # type: ignore[arg-type]
        assert keys == [key for key in file_schema(kind)["properties"] if key not in BY_ITSELF]
    steps = next(q for q in form_questions("route") if q.key == "step")
    assert [q.key for q in steps.parts] == list(file_schema(Route)["$defs"]["Step"]["properties"])


def values(questions: tuple[Question, ...], table: dict[str, Any]) -> list[tuple[Question, Any]]:
    """Every value of a table, those of its rows too."""
    found = []
    for question in questions:
        if question.key in table:
            found.append((question, table[question.key]))
            for row in table[question.key] if question.kind == "rows" else ():
                found += values(question.parts, row)
    return found


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_a_shipped_sheet_kept_as_it_is_stays_the_same_and_reads_plain(
    sheet: Product | Route,
) -> None:
    form = form_questions("product" if isinstance(sheet, Product) else "route")
    draft = draft_of(sheet)
    assert tomllib.loads(draft_text(draft)) == draft
    for question, value in values(form, draft):
        if question.kind not in ("text", "texts"):
            assert not set(value_words(question, value)) & set("{}[]\"'="), question.key
        parts = question.parts if question.kind == "table" else [question]
        if question.kind in ("table", "figure", "time"):
            table = value if question.kind == "table" else {question.key: value}
            there = [part for part in parts if part.key in table]
            kept = [each.start for _, each in figures_asked(there, table, ())]
            assert figures_read(there, table, kept) == table, "Enter keeps it"


def test_a_copy_is_a_placeholder_until_each_figure_is_typed() -> None:
    draft = copy_of(SEEDS.products["epoxy-primer"], "Another")
    still_open = open_figures(None, draft)
    assert {"ratio", "film", "band", "pot_life"} <= still_open
    assert with_source(draft, still_open, typed=False)["source"] == "placeholder"
    typed = with_source({**draft, "source": "placeholder"}, still_open - {"film"}, typed=True)
    assert typed["source"] == "sheet"
    assert "ratio" in typed["placeholder"]
    assert "film" not in typed["placeholder"]


def test_a_fault_names_its_place_and_not_a_line() -> None:
    draft = draft_of(SEEDS.routes["zinc-new"])
    lines = draft_text(draft).splitlines()
    line = [number for number, text in enumerate(lines, start=1) if text.startswith("most")][1]
    fault = with_places(Refusal(f"zinc-new:{line}: too long", "", "make it shorter"), draft)
    assert str(fault) == "step 3 Mordant wash, max: too long: make it shorter"


def test_limits_that_are_as_usual_are_written_and_keep_their_doubt() -> None:
    usual = replace(SEEDS.products["epoxy-primer"], limits=Limits(), source="sheet", placeholder=())
    assert draft_of(usual)["limits"] == {
        "metal_least": "5 C",
        "metal_most": "40 C",
        "rh_least": "0 %",
        "rh_most": "85 %",
        "rh_stall": "100 %",
        "dew_margin": "3 C",
    }
    assert read_one(sheet_text(usual), usual.key, Product, check_product) == usual
    # A form that leaves them open says so, though nobody changed them.
    doubted = replace(usual, placeholder=("limits",))
    draft = draft_of(doubted)
    assert with_source(draft, open_figures(doubted, draft), typed=True)["placeholder"] == ["limits"]

"""The record as plain text, to be read in twenty years, and the label."""

from __future__ import annotations

import unicodedata

import pytest

from bench.records.as_text import WIDTH, text
from bench.records.care_page import care_page
from bench.records.job_record import sheet_page
from bench.records.label import LABEL_WIDTH, label
from bench.records.plain_text import folded, plain, width_of
from bench.shop.records.job_record import Sheet

from .conftest import typed
from .making import CONTROL, HOSTILE


def test_the_sheet_has_its_parts_in_the_order_people_ask_for_them(sheet: Sheet) -> None:
    # House rule: header, what is on it now, stages, mixes, conditions, tests, defects, touch-up,
    # signatures.
    told = text(sheet_page(sheet))
    order = [
        "JOB RECORD, tag 1",
        "Job         TROLLEY 7",
        "ON IT NOW, NEWEST FIRST",
        "STEPS",
        "EACH STEP",
        "DEFECTS AND REWORK",
        "PRODUCTS, AS THEIR SHEETS STAND NOW",
        "TOUCH-UP",
        "PHOTOS",
        "JOURNAL",
        "SIGNED",
    ]
    places = [told.index(word) for word in order]
    assert places == sorted(places)


def test_the_sheet_says_who_when_with_what_in_what_air_and_against_which_rule(sheet: Sheet) -> None:
    told = " ".join(text(sheet_page(sheet)).split())
    for fact in (
        "Roller brackets, 12 pieces",
        "Split off tag 1b, 2 pieces",
        "3 x Epoxy primer 2025-06-09 08:40 2025-06-09 09:05 Kit and Mo",
        "Skipped already done, says Kit",
        "pot A, Epoxy primer 4:1, mixed 2025-06-09 08:20 by Mo; base 240 ml, hardener 60 ml",
        "surface 15 C, dew point 12.9 C, surface 2.1 C above it (Mo)",
        "Thickness measured coat, DFT 50 um, target 60? um: no wait is shorter",
        'Test "gloved thumb on the coupon: no print, no drag when twisted": not yet, says Mo, '
        "2025-06-10 09:05, 30 min more",
        'no drag when twisted": passed, says Kit, 2025-06-10 09:45',
        "override: outside its limits",
        "tested on the coupon",
        "(placeholder: common practice, no sheet was typed)",
        "Isocyanate: air-fed mask.",
    ):
        assert fact in told, fact


def test_what_nobody_filled_in_is_shown_as_not_filled_in(sheet: Sheet) -> None:
    told = text(sheet_page(typed(sheet, "")))
    assert "Job         not recorded" in told
    assert "Owner       not recorded" in told


@pytest.mark.parametrize("what", HOSTILE)
def test_nothing_typed_is_longer_than_the_page_or_lost(sheet: Sheet, what: str) -> None:
    long = f"{HOSTILE[what]} " * 40
    told = text(sheet_page(typed(sheet, long)))
    assert max(width_of(line) for line in told.splitlines()) <= WIDTH
    # Folded, not cut: every word is there as often as it was typed.
    page = "".join(told.split())
    assert "".join(long.split()) in page.replace("\n", "") or what == "wide"
    assert max(width_of(line) for line in label(typed(sheet, long)).splitlines()) <= LABEL_WIDTH


@pytest.mark.parametrize("what", CONTROL)
def test_no_control_character_and_no_turn_of_the_reading_direction_is_written(
    sheet: Sheet, what: str
) -> None:
    hostile = typed(sheet, CONTROL[what])
    for told in (text(sheet_page(hostile)), text(care_page(hostile)), label(hostile)):
        kinds = {unicodedata.category(c) for c in told if c != "\n"}
        assert not kinds & {"Cc", "Cf", "Cs", "Zl", "Zp"}
        assert plain(CONTROL[what]).strip() in told.replace("\n", " ")


def test_a_word_longer_than_a_line_is_broken_and_not_lost() -> None:
    lines = folded("x" * 1000, 79, "  ")
    assert "".join(line.strip() for line in lines) == "x" * 1000
    assert max(map(len, lines)) == 79


def test_wide_letters_take_two_columns() -> None:
    assert folded("塗装台塗装台", 6) == ["塗装台", "塗装台"]


def test_the_same_sheet_is_always_the_same_text(sheet: Sheet) -> None:
    assert text(sheet_page(sheet)) == text(sheet_page(sheet))


def test_the_label_has_tag_job_coats_and_what_is_missing(sheet: Sheet) -> None:
    assert label(sheet).splitlines() == [
        "1 Roller brackets x12",
        "TROLLEY 7",
        "Epoxy primer",
        "Two-pack gloss 1",
        "NOT FINISHED",
        "ISOCYANATE PAINT:",
        "  air-fed mask to abrade",
        "  or repair it",
        "-- paintbench label",
    ]

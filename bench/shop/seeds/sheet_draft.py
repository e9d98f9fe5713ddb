"""A product's sheet or a route while a form is filled in: plain values as its text holds them."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import FIGURES, Product
from bench.process.sheets.route import Route
from bench.shop.seeds.form_questions import FIGURE_KEYS, Question, form_questions
from bench.shop.seeds.seed_text import inline, sheet_text

Draft = dict[str, Any]

MOST_KEY = 40
"""The longest key of a sheet."""

_LINE = re.compile(r"[a-z0-9-]+:(\d+): ")


def draft_of(sheet: Product | Route) -> Draft:
    """Return what a sheet says, key by key."""
    return tomllib.loads(sheet_text(sheet))


def copy_of(sheet: Product | Route, name: str) -> Draft:
    """Return a sheet's values for a new one, all its figures placeholders."""
    draft = {**draft_of(sheet), "name": name}
    return {**draft, "source": "placeholder"} if isinstance(sheet, Product) else draft


def open_figures(product: Product | None, draft: Draft) -> set[str]:
    """Return the keys of the figures in a draft that nobody took from a tin; of a new one all."""
    return {
        key
        for key, field in zip(FIGURE_KEYS, FIGURES, strict=True)
        if product is None or product.doubt_of(field)
        if key in draft or key == "limits"
    }


def with_source(draft: Draft, still_open: Collection[str], *, typed: bool) -> Draft:
    """Return a product's draft with what says where its figures are from.

    still_open: the keys nobody took from the tin; typed: some of the others are from the tin.
    """
    rest = {key: value for key, value in draft.items() if key not in ("source", "placeholder")}
    if not typed:
        return {**rest, "source": "placeholder"}
    figures = [key for key in FIGURE_KEYS if key in still_open and key in draft]
    return {**rest, "source": "sheet", "placeholder": figures}


def new_key(name: str, taken: Collection[str]) -> str:
    """Make the key of a new sheet out of its name: small letters, figures and "-".

    >>> new_key("2K primer, grey", ["k-primer-grey"])
    'k-primer-grey-2'
    """
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-").lstrip("0123456789-")
    key = (plain or "sheet")[: MOST_KEY - 3].strip("-")
    numbered = (f"{key}-{number}" for number in range(2, len(taken) + 3))
    return key if key not in taken else next(each for each in numbered if each not in taken)


def draft_text(draft: Draft) -> str:
    """Write a draft as the text it is read from."""
    return "\n".join(text for text, _ in _lines(draft)) + "\n"


def _lines(draft: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield each line of the text with what a painter calls its place."""
    questions = {q.key: q for q in (*form_questions("product"), *form_questions("route"))}
    yield from _own_lines(draft, questions, "")
    parts = {part.key: part for part in questions["step"].parts}
    for number, step in enumerate(draft.get("step", ()), start=1):
        place = f"step {number} {step.get('name', '')}".strip()
        yield "[[step]]", place
        yield from _own_lines(step, parts, f"{place}, ")


def _own_lines(
    table: Mapping[str, Any], questions: Mapping[str, Question], before: str
) -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if key != "step":
            label = questions[key].label if key in questions else key
            yield f"{key} = {inline(value)}", f"{before}{label}"


def with_places(refusal: Refusal, draft: Draft) -> Refusal:
    """Return a refusal of a draft's text as a form says it: places in words instead of lines."""
    places = [place for _, place in _lines(draft)]

    def placed(each: Refusal) -> Refusal:
        found = _LINE.match(each.rule)
        if found is None or int(found[1]) > len(places):
            return each
        place, words = places[int(found[1]) - 1], _in_plain_words(each.rule[found.end() :])
        if " is missing" in words:
            step = f"{place.partition(',')[0]}: " if place.startswith("step ") else ""
            return replace(each, rule=step + words, remedy="answer it in the form")
        return replace(each, rule=f"{place}: {words}", remedy=_in_plain_words(each.remedy))

    return replace(placed(refusal), also=tuple(map(placed, refusal.also)))


def _in_plain_words(text: str) -> str:
    """Return a text in which keys in quotes are called what a form calls them."""
    return re.sub(r"'([a-z_]+)'", lambda key: _labels().get(key[1], key[0]), text)


@cache
def _labels() -> dict[str, str]:
    """Return what every key is called, those of tables and rows too."""

    def each(questions: Iterable[Question]) -> Iterator[tuple[str, str]]:
        for question in questions:
            yield question.key, question.label
            yield from each(question.parts)

    return dict(each((*form_questions("route"), *form_questions("product"))))

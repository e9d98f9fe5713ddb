"""The record as Markdown, read back by markdown-it (CommonMark, and GitHub's tables and links)."""

from __future__ import annotations

import pytest
from markdown_it import MarkdownIt
from markdown_it.token import Token

from bench.records.as_markdown import literal, markdown
from bench.records.care_page import care_page
from bench.records.job_record import sheet_page
from bench.records.plain_text import plain as shown
from bench.shop.records.job_record import Sheet

from .conftest import typed
from .making import CONTROL, HOSTILE

OURS = {
    "strong",
    "th",
    "td",
    "h1",
    "h2",
    "h3",
    "code",
    "li",
    "ul",
    "p",
    "table",
    "thead",
    "tbody",
    "tr",
}
READERS = ("commonmark", "gfm-like")


def inlines(told: str, reader: str) -> list[Token]:
    """Every run of text, as this reader takes it apart."""
    tokens = MarkdownIt(reader).enable("table").parse(told)
    assert {t.tag for t in tokens if t.tag} <= OURS
    return [t for t in tokens if t.type == "inline"]


def words(token: Token) -> str:
    return "".join(child.content for child in token.children or ())


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_whatever_was_typed_is_read_back_letter_by_letter(
    sheet: Sheet, reader: str, what: str
) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    hostile = typed(sheet, text)
    plain = " ".join(shown(text).split())
    for page in (sheet_page(hostile), care_page(hostile)):
        found = inlines(markdown(page), reader)
        kinds = {child.type for token in found for child in token.children or ()}
        assert kinds <= {"text", "text_special", "strong_open", "strong_close"}
        assert any(plain in words(token) for token in found)


def test_the_tables_have_as_many_cells_as_heads(sheet: Sheet) -> None:
    for text in ("a", HOSTILE["table"], HOSTILE["markdown"]):
        tokens = (
            MarkdownIt("commonmark").enable("table").parse(markdown(sheet_page(typed(sheet, text))))
        )
        heads = 0
        cells = 0
        tables = 0
        for token in tokens:
            if token.type == "thead_open":
                heads, tables = 0, tables + 1
            heads += token.type == "th_open"
            if token.type == "tr_open":
                cells = 0
            cells += token.type == "td_open"
            if token.type == "tr_close" and cells:
                assert cells == heads
        assert tables >= 4


def test_a_line_that_would_begin_a_list_or_a_heading_is_only_text() -> None:
    for text in ("# a", "- a", "+ a", "1. a", "12) a", "> a", "    a", "==="):
        tokens = MarkdownIt("gfm-like").parse(literal(text))
        assert [t.type for t in tokens] == ["paragraph_open", "inline", "paragraph_close"], text
        assert words(tokens[1]) == text.strip()


def test_plain_words_stay_plain_to_read(sheet: Sheet) -> None:
    assert "| 3 | x | Epoxy primer | 2025-06-09 08:40 | 2025-06-09 09:05 | Kit and Mo |" in (
        markdown(sheet_page(sheet))
    )

"""Pages as Markdown (CommonMark, with the tables of GitHub's flavour). Nothing typed is markup."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bench.records.air_picture import AirPicture, drawn_text
from bench.records.as_text import WIDTH
from bench.records.blocks import Block, Entry, Facts, Heading, Page, Say, Table, Title
from bench.records.lanes_picture import LanesPicture, drawn_lanes
from bench.records.plain_text import plain

_SPECIAL = re.compile(
    r"""[\\`*_\[\]<>|~&$@]        # anywhere: code, stress, links, tags, cells, characters by name
    | ^[#+=-]                    # first: a heading, a list, a line
    | (?<=^[0-9])[.)] | (?<=^[0-9]{2})[.)] | (?<=^[0-9]{3})[.)]
    | :(?=//) | (?<=www)\.       # an address that would become a link by itself
    """,
    re.VERBOSE,
)
"""What can open or close markup. Any ASCII punctuation may be escaped with a backslash (CommonMark
2.4, source seen); tables, ~, $, @ and bare addresses are GitHub's (from memory)."""


def markdown(page: Page) -> str:
    """Write the page as Markdown."""
    return "\n\n".join(part for block in page for part in _block(block)) + "\n"


def literal(text: str) -> str:
    """Return the text so that Markdown shows it letter by letter.

    >>> literal("[a](b) *c*")
    '\\\\[a\\\\](b) \\\\*c\\\\*'
    """
    return _SPECIAL.sub(lambda match: f"\\{match[0]}", _one_space(plain(text)))


def _one_space(text: str) -> str:
    """Drop double spaces: two at a line's end would break it, four at its start make it code."""
    return " ".join(word for word in text.split(" ") if word)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Title):
        yield f"# {literal(block.text)}"
        if block.beside:
            yield literal(block.beside)
    elif isinstance(block, Heading):
        yield f"## {literal(block.text)}"
    elif isinstance(block, Facts):
        yield "\n".join(f"- **{literal(label)}**: {literal(text)}" for label, text in block.rows)
    elif isinstance(block, Entry):
        yield f"### {literal(block.head)}"
        yield "\n".join(f"- **{literal(label)}**: {literal(text)}" for label, text in block.rows)
    elif isinstance(block, Table):
        yield "\n".join(_table(block))
    elif isinstance(block, Say):
        text = literal(block.text)
        yield f"**{text}**" if block.weighty else text
    elif isinstance(block, AirPicture):
        yield "\n".join(f"    {line}" for line in drawn_text(block, WIDTH - 4))
    elif isinstance(block, LanesPicture):
        yield "\n".join(f"    {line}" for line in drawn_lanes(block, WIDTH - 4))
    else:
        yield "\n".join(f"- {literal(label)}: {literal('_' * 30)}" for label in block.labels)


def _table(block: Table) -> Iterator[str]:
    yield _row(block.heads)
    yield "|" + " --- |" * len(block.heads)
    for row in block.rows:
        yield _row(row)


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(literal(cell) for cell in cells) + " |"

"""The hand-over as a page to print, with who hands over and who takes over."""

from __future__ import annotations

from collections.abc import Iterator

from bench.process.wording.time_text import format_clock
from bench.records.blocks import Block, Heading, Page, Say, SignatureLine, Title
from bench.records.record_text import hour
from bench.shop.people.handover import HandOver


def handover_page(page: HandOver) -> Page:
    """Write what the next shift should know."""
    return tuple(_blocks(page))


def _blocks(page: HandOver) -> Iterator[Block]:
    yield Title("HAND-OVER", f"written {hour(page.now)}")
    yield Say(f"Until {format_clock(page.until, page.now)}. {page.who}; room: {page.room}")
    for section in page.sections:
        yield Heading(section.title)
        yield from (Say(line) for line in section.lines or ("nothing",))
    yield SignatureLine(("Handed over by", "Taken over by"))
    yield SignatureLine(("Date", "Date"))

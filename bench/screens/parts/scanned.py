"""What a scanned tag opens, whatever page is shown: that part's page, or that there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.screens.bench.stand_page import StandPage
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.core.scanner import Scan
from bench.screens.parts.record_pages import RecordPage
from bench.screens.setup.painters import who_is_in
from bench.shop.records.gathering import sheet_of
from bench.widgets.lines import Line, text_lines, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

MOST_SHOWN = 40
"""Signs: a longer code is of something else than a tag."""


class NoSuchTag(BenchScreen[None]):
    """No part has the tag that was scanned."""

    def __init__(self, tag: str) -> None:
        super().__init__()
        self.tag = tag

    def body(self, width: int, height: int) -> list[Line]:
        """The tag, and that nothing came of it."""
        lines = title_lines(f"no tag {self.tag}", width)
        return lines + text_lines(["Scan again, or find it by name. Nothing was changed."], width)

    KEYS = (KeyWord(("0", "enter", "/"), "0", "back", BenchScreen.back),)


def page_of(bench: Paintbench, tag: str) -> BenchScreen[None] | Refusal:
    """Give the page of the part with a tag: on the bench its stand page, else its sheet."""
    found = sheet_of(bench.shop, tag)
    if isinstance(found, Refusal):
        return Refusal(f"no tag {tag}", "", "read the steel disc again")
    on_bench = bench.view.find(found.part.tag) is not None
    return StandPage(found.part.tag) if on_bench else RecordPage(found.part.tag)


def open_scanned(bench: Paintbench, scan: Scan) -> None:
    """Open the page of what was scanned over what is shown, which it comes back to.

    Nothing is written, no question and no alarm is answered. A line where letters are typed takes
    as its text what is no tag; where the shop's scanner sends a prefix, all that comes without it.
    """
    top, stack = bench.screen, bench.screen_stack
    is_field = isinstance(top, BenchScreen) and top.TAKES_SCANS
    if bench.data.fault is not None or not any(isinstance(each, WholeBench) for each in stack):
        page: BenchScreen[None] | Refusal = Refusal("nothing to find yet")
    elif is_field and bench.view.house.scan_prefix and not scan.prefixed:
        page = Refusal("no tag")
    else:
        with bench.data.minded():
            page = page_of(bench, scan.text)
    if isinstance(top, BenchScreen) and is_field and isinstance(page, Refusal):
        top.take_scan(scan.text)
    elif bench.opens_scans:
        _open(bench, NoSuchTag(_short(scan.text)) if isinstance(page, Refusal) else page)


def _short(text: str) -> str:
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}.."


def _open(bench: Paintbench, page: BenchScreen[None]) -> None:
    top = bench.screen
    if isinstance(top, WholeBench) and bench.at_home and bench.painter in bench.view.left:
        top.ask(_once_in(bench, page))
        return
    if isinstance(top, BenchScreen) and top.scanned:
        top.stop_asking()
        top.dismiss(None)
    page.scanned = True
    bench.push_screen(page)


async def _once_in(bench: Paintbench, page: BenchScreen[None]) -> None:
    """Nothing is done in the name of who left."""
    await who_is_in(bench)
    if bench.painter not in bench.view.left:
        await bench.push_screen_wait(page)

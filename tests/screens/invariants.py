"""What holds for every picture of the bench, whatever it shows, so that no wrong one is kept.

A golden picture says that a screen looks as it did; these say what no screen may look like.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

from bench.process.clocks.cure import cure_of_last_coat
from bench.process.clocks.edges import Edge
from bench.process.stock.cup import Pouring
from bench.screens.bench.cautions import mix_rows, step_rows
from bench.screens.bench.spray_card import SprayCard
from bench.screens.bench.stand_page import StandPage
from bench.screens.core.base import BenchScreen
from bench.screens.stock.mix import MixScreen
from bench.shop.core.bench_view import PlacedPart
from bench.shop.queries.lookahead import PartAhead, ahead_of

from .driving import Hands

HOUR = re.compile(
    r"\b(?:opens|closes|closed)(?: again| at| until)?,? "
    r"((?:~(?:old )?)?(?:[A-Z][a-z]{2} )?(?:\d{1,2} [A-Z][a-z]{2} )?\d\d:\d\d\??)"
)
"""The hour at which a window opens or closes, as a painter reads it."""

WARNING_STYLES = frozenset(("ruined", "urgent", "refused", "alarm"))
"""What is drawn so that nobody overlooks it."""

WARNING_STARTS = ("! ", "wear: ", "NO: ", "MASKS ON")
"""How a warning begins that is drawn like other text."""

WHOLE = (80, 24)
"""The smallest terminal on which all that could hurt stands on one page."""

CUT = ("..",)
"""How a text ends that found no room."""


def holds(hands: Hands) -> None:
    """Every hour agrees with the clocks, and no warning is cut; else the picture is shown."""
    screen, picture = hands.app.screen, hands.picture()
    if not isinstance(screen, BenchScreen):
        return  # the palette shows neither
    wrong = wrong_hours(hands, screen, picture)
    assert not wrong, f"no clock of the bench has {wrong}:\n{picture}"
    missing = missing_cautions(hands, screen, picture)
    assert not missing, f"a person can be hurt, and it does not say {missing}:\n{picture}"
    cut = list(cut_warnings(screen))
    assert not cut, f"cut though they warn {cut}:\n{picture}"


def wrong_hours(hands: Hands, screen: BenchScreen[object], picture: str) -> set[str]:
    """Hours in a picture at which no part opens or closes; on a part's page, not that part."""
    left = set(HOUR.findall(picture))
    if not left:
        return left
    view, now = hands.app.view, hands.app.now()
    own = [screen.placed] if isinstance(screen, StandPage) else [p for _, p in view.stands]
    parts = [placed for placed in own if placed is not None]
    for edges in (edges_of, edges_ahead):
        known = {
            words for part in parts for edge in edges(hands, part) for words in both(edge, now)
        }
        left -= known
        if not left:
            break
    return left


def both(edge: Edge, now: datetime) -> Iterator[str]:
    """An edge as it is shown where there is room, and where there is not."""
    yield edge.words(now)
    yield edge.words(now, weekday=False)


def edges_of(hands: Hands, placed: PlacedPart) -> Iterator[Edge]:
    """Every opening and closing of what is on a part."""
    now, clocks = hands.app.now(), placed.clocks
    state = placed.state(now)
    found = [clocks.edge(span, now) for span in clocks.spans]
    cure = cure_of_last_coat(placed.part, hands.app.view.around, now, doubtful=clocks.doubtful)
    found += [state.opens, state.closes, state.missed]
    found += [cure.contact, cure.full_cure] if cure else []
    yield from (edge for edge in found if edge is not None)


def edges_ahead(hands: Hands, placed: PlacedPart) -> Iterator[Edge]:
    """The window that the next step of a part would open if it were begun."""
    found = ahead_of(hands.app.shop, placed.part.tag)
    if isinstance(found, PartAhead) and found.ahead is not None:
        ends = (found.ahead.opens, found.ahead.closes)
        yield from (end.edge for end in ends if end is not None)
        yield from (edge for edge in (found.ahead.begins, found.ahead.until) if edge is not None)


def missing_cautions(hands: Hands, screen: BenchScreen[object], picture: str) -> list[str]:
    """What to wear and which harm to mind, as far as the page of a step or a mix leaves it out."""
    width, height = screen.size
    if (width, height) < WHOLE:
        return []  # a small terminal shows a page of it at a time
    rows: list[tuple[str, str]] = []
    if isinstance(screen, StandPage) and screen.placed is not None:
        part = screen.placed.part
        rows = step_rows(hands.app, part, part.current(), width - 2)
    elif isinstance(screen, SprayCard):
        rows = step_rows(hands.app, screen.part, screen.part.current(), width - 2)
    elif isinstance(screen, MixScreen) and isinstance(screen.pouring, Pouring):
        rows = mix_rows(screen.product, width - 2)
    return [text for text, _ in rows if text not in picture]


def cut_warnings(screen: BenchScreen[object]) -> Iterator[str]:
    """Texts that warn and end where there was no more room."""
    for row in screen.picture(*screen.size):
        for piece in row:
            text = piece.text.strip()
            warns = piece.style in WARNING_STYLES or text.startswith(WARNING_STARTS)
            if warns and text.endswith(CUT):
                yield text

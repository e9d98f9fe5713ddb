"""Give a part another route: what counts and what is then to do is shown before it is agreed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.questions import is_sure
from bench.shop.parts.route_exchange import change_route
from bench.shop.queries.menu_numbers import route_numbers
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


async def exchange(bench: Paintbench, part: Part) -> None:
    """Ask which route it is, show what becomes of the part's work, and ask for Enter."""
    title = f"Tag {part.tag} {part_words(part)}: which route?"
    names = {route.key: route.name for route in bench.view.routes.values()}
    key = await choose_key(bench, title, names, route_numbers(bench.shop))
    while key is not None:
        would = change_route(bench.shop, part.tag, bench.painter, route=key, dry_run=True)
        if isinstance(would, Refusal):
            bench.tell(would)
        elif await is_sure(
            bench, f"Tag {part.tag} {part.name}: go on with {names[key]}?", would.notes
        ):
            bench.do(change_route, part.tag, bench.painter, route=key)
            return
        key = await choose_key(bench, title, names, route_numbers(bench.shop))

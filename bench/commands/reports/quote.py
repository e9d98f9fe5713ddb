"""What some lots would take, as lines and as data."""

from __future__ import annotations

from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.reports.plan import when_data
from bench.commands.reports.printing import is_for_terminal, no_paper_for, print_out
from bench.commands.reports.tins import shopping_data
from bench.process.plan.answers import WhenAnswer, when_words
from bench.process.refusals.refusal import Refusal
from bench.records.as_html import html
from bench.records.as_text import WIDTH, lines, text
from bench.records.blocks import headed
from bench.records.quote_page import quote_page
from bench.records.record_text import hour
from bench.shop.plan.asking import when_ready
from bench.shop.settings.paper import Paper
from bench.shop.stock.quote import AskedItem, Quote
from bench.shop.stock.quote import quote as quoted


def quote(call: Call) -> Report | Refusal | None:
    """Report paint, tins and hours of some lots, and by when where that is asked."""
    if refused := no_paper_for(call):
        return refused
    asked = [AskedItem(**item) for item in call.args.items or ()]
    if missing := next((each for each in asked if not each.shape), None):
        return Refusal(f"no shape for route {missing.route[:40]}", "", "give --shape, see: shapes")
    found = quoted(call.shop, asked)
    if isinstance(found, Refusal):
        return found
    ready = when_ready(call.shop, asked) if call.args.when else None
    if isinstance(ready, Refusal):
        return ready
    page = quote_page(found, when_words(ready, found.now) if ready is not None else ())
    if is_for_terminal(call):
        return Report(_data(found, ready), (row.rstrip() for row in lines(page, WIDTH)))
    title = f"Quote, written {hour(found.now)}"

    def written(form: str, paper: Paper) -> str:
        if form == "html":
            return html(page, title, paper)
        return text(headed(page, paper.letterhead))

    return print_out(call, written)


def _data(found: Quote, ready: WhenAnswer | None) -> dict[str, Any]:
    def seconds(name: str) -> float:
        return found.hours.total(name).total_seconds()

    return {
        "items": [
            {
                "route": item.route.key,
                "shape": item.shape.key,
                "count": item.count,
                "area_m2": item.each_m2,
                "placeholder": item.is_typical,
            }
            for item in found.items
        ],
        "ready": when_data(ready) if ready is not None else None,
        "paint": shopping_data(found.paint),
        "hours": {
            "usual_s": seconds("usual"),
            "shorter_s": seconds("shorter"),
            "longer_s": seconds("longer"),
            "steps": [
                {
                    "step": each.name,
                    "times": each.times,
                    "past_steps": each.past,
                    "placeholder": bool(each.doubt),
                    "usual_s": each.usual.total_seconds(),
                    "shorter_s": each.shorter.total_seconds(),
                    "longer_s": each.longer.total_seconds(),
                }
                for each in found.hours.lengths
            ],
        },
    }

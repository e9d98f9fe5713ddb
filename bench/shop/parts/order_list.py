"""Placing a whole list of parts: all of it or nothing, each part with an entry of its own."""

from __future__ import annotations

from dataclasses import replace

from bench.process.parts.order_list import OrderList, OrderRow, at_line, stands_for
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.parts.placement import NewPart, add_part, faults_of
from bench.store.queries import bench_rows


def place_orders(
    shop: Shop, by: str, orders: OrderList, *, dry_run: bool = False
) -> Outcome | Refusal:
    """Place every part of a list, or refuse with all that is wrong with it, line by line.

    A part that names no stand gets the next free one; where none is left it waits on no stand.
    dry_run: only say what would be placed; nothing is written.
    """
    with shop.act("place", by) as act:
        wanted = {row.line: row.stand for row in orders.rows}
        stands, faults = stands_for(wanted, _free_stands(act))
        faults = [*orders.faults, *faults]
        news = [(row.line, _new_part(row, stands[row.line])) for row in orders.rows]
        faults += [at_line(line, fault) for line, new in news for fault in faults_of(act, new)]
        if faults:
            first, *others = sorted(faults, key=_line_of)
            return replace(first, also=tuple(others))
        placed = []
        for number, (_, new) in enumerate(news, start=1):
            tag, words = add_part(act, new)
            placed.append(words)
            if number < len(news) and not dry_run and (refused := act.entry(tag, words)):
                return refused
        act.notes += [*placed, *_without(news)]
        if dry_run:
            return Outcome(f"{_many(len(placed))} would be placed", notes=tuple(act.notes))
        answer = act.done(tag, words)
        if isinstance(answer, Refusal):
            return answer
        return replace(answer, text=f"{_many(len(placed))} placed")


def _new_part(row: OrderRow, stand: int | None) -> NewPart:
    return NewPart(
        stand=stand,
        route=row.route,
        shape=row.shape,
        count=row.count,
        name=row.name,
        job=row.job,
        owner=row.owner,
        area_m2=row.area_m2,
    )


def _free_stands(act: Transaction) -> list[int]:
    taken = {row.stand for row in bench_rows.parts_here(act.session)}
    return [number for number in bench_rows.stand_numbers(act.session) if number not in taken]


def _line_of(fault: Refusal) -> int:
    return int(fault.rule.removeprefix("line ").partition(":")[0])


def _without(news: list[tuple[int, NewPart]]) -> list[str]:
    """Say how many parts have no stand."""
    many = sum(new.stand is None for _, new in news)
    return [f"no stand is free for {_many(many)}: move them to one later"] if many else []


def _many(count: int) -> str:
    return "1 part" if count == 1 else f"{count} parts"

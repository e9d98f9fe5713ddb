"""Another route for a part on the bench: what was done stays, the rest is another."""

from __future__ import annotations

from bench.process.actions.route_exchange import (
    OVER_IT,
    ROUTE_CHANGED,
    RouteExchange,
    exchange_route,
    first_free,
)
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import by_key, new_step, routes_of, shapes_of
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.parts.placement import mark_names
from bench.store.queries.history_rows import CHANGE_ROUTE
from bench.store.schema.tables import StepRow


def change_route(
    shop: Shop, target: Target, by: str, *, route: str, dry_run: bool = False
) -> Outcome | Refusal:
    """Give a part another route. What was done stays, with its hours, paint and readings.

    The clock of what was done last goes on. dry_run: only say what counts and what is then to do.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        routes = routes_of(job.act.session)
        new = by_key(routes, route, "route")
        if isinstance(new, Refusal):
            return new
        if job.row.away:
            right = "put it back on a stand first"
            return Refusal(f"{job.called()} has left the bench", "", right)
        exchange = exchange_route(job.part, new, job.products)
        if isinstance(exchange, Refusal):
            return exchange
        job.act.notes += exchange.lines()
        if dry_run:
            words = f"{job.called()} would go on with {new.name}; nothing is changed yet"
            return Outcome(words, notes=tuple(job.act.notes))
        old = routes[job.row.route].name if job.row.route in routes else job.row.route
        _write(job, exchange, painter)
        return job.done(f": {ROUTE_CHANGED} {old} to {new.name} by {painter}")

    return act_on_part(shop, CHANGE_ROUTE, target, by, work)


def _write(job: PartAction, exchange: RouteExchange, painter: str) -> None:
    """Put the steps of the new route behind the finished ones, in the rows of those still to do.

    The cure keeps its row: a "not yet" of it counts on.
    """
    session, part = job.act.session, job.part
    for record in exchange.extra:
        row = job.step_row(record)
        row.flags = [*row.flags, f"extra work: no step of {exchange.route.name}"]
    todo = [row for row in job.steps if row.status == "todo"]
    for row in todo:
        row.number = -row.number  # so that no two bear one number meanwhile
    job.row.route, job.row.substrate = exchange.route.key, exchange.route.substrate
    session.flush()
    shape = shapes_of(session).get(job.row.shape)
    *others, cure = todo
    new = [(step, "skipped") for step in exchange.left_out]
    new += [(step, "todo") for step in exchange.ahead]
    for number, (step, status) in enumerate(new, start=first_free(part)):
        fresh = new_step(job.row, number, step, mark_names(step, shape))
        if status == "skipped":
            fresh.status, fresh.reason, fresh.painters = status, OVER_IT, [painter]
        if step.kind == "cure":
            cure.number, cure.plan = number, fresh.plan
        elif others:
            _set(others.pop(0), fresh)
        else:
            session.add(fresh)
    for row in others:
        session.delete(row)


def _set(row: StepRow, fresh: StepRow) -> None:
    """Make a row another step that nothing was done on."""
    for name, value in fresh.model_dump(exclude={"id"}).items():
        setattr(row, name, value)

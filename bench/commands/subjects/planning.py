"""The plan: shown, made, agreed, dropped."""

from __future__ import annotations

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import option

ROUNDS = option(
    "--rounds",
    metavar="N",
    type=quantities.whole("a number of rounds"),
    help="the bench's own planner alone, so many rounds: quick, and nothing proven",
)

# A table: laid out by hand.
# fmt: off
PLANNING = Group("the plan of the bench", (
    Command("plan", "show, make, agree or drop the plan of the bench"),
    Command(
        "plan show", "the agreed plan: who begins what when, and what is late by it",
        target="bench.commands.reports.plan:show", kind="reads", examples=("plan show",)),
    Command(
        "plan make", "plan the bench as it is now, and change nothing",
        (ROUNDS,), "bench.commands.reports.plan:make", "reads",
        ("plan make", "plan make --rounds 50 --json")),
    Command(
        "plan agree", "plan the bench as it is now, and make that the agreed plan",
        (ROUNDS,), "bench.commands.reports.plan:agree", examples=("plan agree --by Una",)),
    Command(
        "plan drop", "go on without a plan",
        target="bench.shop.plan.agreeing:drop_plan", examples=("plan drop --by Una",)),
))
# fmt: on

"""The plan: shown, made, agreed, dropped."""

from __future__ import annotations

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import COUNT, ON_PAPER, option

ROUNDS = option(
    "--rounds",
    metavar="N",
    type=quantities.whole("a number of rounds"),
    help="the bench's own planner alone, so many rounds: quick, and nothing proven",
)

WRITTEN = (
    option("--form", choices=("text", "html", "json", "pdf"), default="text",
           help="text; html: to print, with its lanes drawn; json: with its schema, paintbench "
           "schema plan; pdf: what html prints, with the extra paintbench[pdf]"),
    *ON_PAPER,
)  # fmt: skip

# A table: laid out by hand.
# fmt: off
PLANNING = Group("the plan of the bench", (
    Command("plan", "show, make, agree or drop the plan of the bench"),
    Command(
        "plan show", "the agreed plan: who begins what when, and what is late by it",
        WRITTEN, "bench.commands.reports.plan:show", "reads",
        ("plan show", "plan show --form html -o plan.html")),
    Command(
        "plan make", "plan the bench as it is now, and change nothing",
        (ROUNDS, *WRITTEN), "bench.commands.reports.plan:make", "reads",
        ("plan make", "plan make --rounds 50 --json")),
    Command(
        "plan agree", "plan the bench as it is now, and make that the agreed plan",
        (ROUNDS,), "bench.commands.reports.plan:agree", examples=("plan agree --by Una",)),
    Command(
        "plan when", "when could a new part be ready: as it is, and with others moved",
        (option("--route", metavar="KEY", required=True, help="see: paintbench routes"),
         option("--shape", metavar="KEY", required=True, help="see: paintbench shapes"),
         option("--count", metavar="N", type=COUNT, default=1, help="pieces in the lot"),
         option("--area", dest="area_m2", metavar="AREA", type=quantities.quantity("metre ** 2"),
                help="of one piece: 7.5m2; else what is typical of its shape")),
        "bench.commands.reports.plan:when", "reads",
        ("plan when --route zinc-new --shape frame",
         "plan when --route zinc-new --shape bracket --count 40 --area 0.03m2")),
    Command(
        "plan why", "why a part cannot be ready by a day, and what would do",
        (option("tag", metavar="TAG", help="the part"),
         option("--by", dest="day", metavar="DAY", type=quantities.day, required=True,
                help="2026-12-12")),
        "bench.commands.reports.plan:why", "reads", ("plan why 4 --by 2026-12-12",)),
    Command(
        "plan risk", "how likely windows are missed by the agreed plan, worst first",
        target="bench.commands.reports.plan:risk", kind="reads", examples=("plan risk",)),
    Command(
        "plan drop", "go on without a plan",
        target="bench.shop.plan.agreeing:drop_plan", examples=("plan drop --by Una",)),
))
# fmt: on

"""Parts on their stands: placed, worked on, tested, moved, sent back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import (
    AGO,
    COUNT,
    FILMS,
    MINUTES,
    STAND_NUMBER,
    STEP_NUMBER,
    air_supply,
    belongs,
    on_part,
    option,
    override,
    reason,
    which_part,
    zinc_answers,
)
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import IN_THE_WAY_OF_BEGINNING, LEFT_ON_PART, RINSED_EARLY

if TYPE_CHECKING:
    import argparse

    from bench.commands.core.call import Call
    from bench.shop.core.transaction import Outcome

POINTS = quantities.whole("a count")
MOST_LIST_BYTES = 1_000_000
WHY = reason("why; it stays in the log")


def _looked_ahead_at(parser: argparse.ArgumentParser) -> None:
    """Add a part, a product to mix, or nothing: then the time with the shop closed is looked at."""
    which = which_part(parser, "the next step of what stands there", "or of the part with a tag")
    which.add_argument("--mix", metavar="PRODUCT", help="the coats that wait for a product")


def _came_out(parser: argparse.ArgumentParser) -> None:
    """Add how a coat came out: thin, as meant or heavy, or none of them."""
    which = parser.add_mutually_exclusive_group()
    for weight, help_words in (
        ("heavy", "what opens after it waits half as long again"),
        ("thin", "no wait is shorter for it"),
        ("as meant", "as long as nobody says otherwise"),
    ):
        flag = f"--{weight.replace(' ', '-')}"
        which.add_argument(flag, dest="weight", action="store_const", const=weight, help=help_words)


def place_fault(args: argparse.Namespace) -> str:
    """Say what of a part is missing, or does not go with a list."""
    if args.orders is None:
        typed = {"STAND": args.stand is not None, "--route": args.route, "--shape": args.shape}
        missing = [name for name, there in typed.items() if not there]
        if missing:
            return f"without {', '.join(missing)}; wanted STAND, --route and --shape, or --from"
        return "--dry-run goes with --from" if args.dry_run else ""
    alone = {"stand": None, "route": "", "shape": "", "count": 1, "tag": "", "name": ""}
    alone |= {"job": "", "owner": "", "area_m2": None}
    odd = [name.removesuffix("_m2") for name, none in alone.items() if getattr(args, name) != none]
    return f"{odd[0]} does not go with --from: it stands in the list" if odd else ""


def place(call: Call, by: str) -> Outcome | Refusal:
    """Put a part on a stand, or every part of a list on free ones."""
    from bench.shop.parts import placement

    args = call.args
    if args.orders is not None:
        return _place_list(call, by)
    facts = ("route", "shape", "count", "tag", "name", "job", "owner", "area_m2")
    typed = {name: getattr(args, name) for name in facts}
    return placement.place(call.shop, args.stand, by, **typed)


def _place_list(call: Call, by: str) -> Outcome | Refusal:
    """Read a list of parts and place it whole."""
    from bench.commands.core.input_files import text_of
    from bench.process.parts.order_list import read_orders
    from bench.shop.parts.order_list import place_orders

    args = call.args
    text = text_of(args.orders, MOST_LIST_BYTES)
    orders = read_orders(text) if isinstance(text, str) else text
    if isinstance(orders, Refusal):
        return orders
    return place_orders(call.shop, by, orders, dry_run=args.dry_run)


def rework(call: Call, by: str) -> Outcome | Refusal:
    """Send a part, or some pieces of a lot, back."""
    from bench.shop.parts import holds_and_rework

    arguments = call.arguments()
    if isinstance(arguments, Refusal):
        return arguments
    if arguments["back_to"] is not None:
        arguments["back_to"] = step_meant(call, arguments["back_to"])
    if isinstance(arguments["back_to"], Refusal):
        return arguments["back_to"]
    return holds_and_rework.rework(call.shop, by=by, **arguments)


def area(call: Call, by: str) -> Outcome | Refusal:
    """Write down the area of one piece: as it is, or from a section and its length."""
    from bench.shop.parts.area import set_area
    from bench.trade.sections import area_m2, read_piece

    args = call.args
    if args.area is not None:
        if args.piece or args.length is not None:
            return Refusal("both an area and a piece", "", "give --area, or --piece and --length")
        return set_area(call.shop, args.target, by, area_m2=args.area)
    if not args.piece:
        return Refusal("no area", "", 'give --area 2.4m2, or --piece "CHS 48.3x3.2" --length 3m')
    try:
        piece = read_piece(args.piece)
        one_m2 = area_m2(piece, args.length)
    except ValueError as fault:
        return Refusal(str(fault))
    length = f" {args.length:g} m long" if args.length is not None else ""
    return set_area(call.shop, args.target, by, area_m2=one_m2, sizes=f"{piece.words}{length}")


def step_meant(call: Call, number: int) -> int | Refusal:
    """Find the step that is shown under a number: those struck out are kept, but not counted."""
    from bench.shop.core.bench_view import read_bench

    view, target = read_bench(call.shop), call.args.target
    placed = view.on(target) if isinstance(target, int) else view.find(target.strip())
    if placed is None:
        return number  # the rules say what is wrong with the stand or the tag
    counted = [record for record in placed.part.steps if record.status != "struck"]
    if 1 <= number <= len(counted):
        return counted[number - 1].number
    return Refusal(f"no step {number}", "", f"steps run from 1 to {len(counted)}")


# A table: laid out by hand.
# fmt: off
PARTS = Group("parts on their stands", (
    Command(
        "status", "show the bench",
        target="bench.commands.reports.lists:status", kind="reads",
        examples=("status", "status --json")),
    Command(
        "ahead", "what follows from starting now; what is missed while closed",
        (_looked_ahead_at,),
        "bench.commands.reports.ahead:ahead", "reads",
        ("ahead 3", "ahead --mix etch-primer", "ahead")),
    Command(
        "place", "put a new part or lot on an empty stand, or a whole list",
        (option("stand", metavar="STAND", nargs="?", type=STAND_NUMBER, help="an empty stand"),
         option("--route", metavar="KEY", default="", help="see: paintbench routes"),
         option("--shape", metavar="KEY", default="", help="see: paintbench shapes"),
         option("--count", metavar="N", type=COUNT, default=1, help="pieces in the lot"),
         option("--tag", metavar="T", default="", help="the disc's number; else the next one"),
         option("--name", metavar="N", default="", help="what it is called; else its shape"),
         *belongs(default=""),
         option("--area", dest="area_m2", metavar="AREA", type=quantities.quantity("metre ** 2"),
                help="of all faces of one piece: 2.4m2"),
         option("--from", dest="orders", metavar="FILE",
                help="a list instead, as CSV: name,count,job,owner,route,shape,area m2,stand"),
         option("--dry-run", action="store_true",
                help="of a list: say what would be placed, write nothing")),
        "bench.commands.subjects.parts:place", check=place_fault,
        examples=("place 18 --route zinc-new --shape frame --by Una",
                  "place 6 --route zinc-new --shape bracket --count 8 --owner Club --by Una",
                  "place --from orders.csv --dry-run --by Una",
                  "place --from orders.csv --by Una")),
    Command(
        "begin", "start the next step",
        (on_part, AGO,
         option("--with", dest="helper", metavar="NAME", default="", help="a second painter"),
         option("--zone", metavar="NAME", default="",
                help="the zone of a wash; again if rinsed early"),
         override(*IN_THE_WAY_OF_BEGINNING), *air_supply(*IN_THE_WAY_OF_BEGINNING)),
        "bench.shop.parts.steps:begin",
        examples=("begin 3 --by Una", "begin 3 --ago 10min --with Bo --by Una",
                  'begin 8 --override window-missed="tested on the coupon" --by Una')),
    Command(
        "finish", "finish a face, a zone or the current step",
        (on_part, AGO,
         option("--mark", metavar="NAME", default="", help="one face or zone"),
         option("--all-faces", action="store_true", help="every face that is still open"),
         override(RINSED_EARLY)),
        "bench.shop.parts.steps:finish",
        examples=("finish 5 --all-faces --by Una", "finish 5 --mark UND --by Bo")),
    Command(
        "coat", "say how thick the last coat came out",
        (on_part, _came_out, *FILMS),
        "bench.shop.parts.film_thickness:record_thickness",
        examples=("coat 16 --heavy --by Una", "coat 16 --film-dry 80um --by Una")),
    Command(
        "pass", "say that the test was passed", (on_part, AGO),
        "bench.shop.parts.testing:pass_test",
        examples=("pass 1 --by Una",)),
    Command(
        "not-yet", "say that the test was not passed",
        (on_part, AGO, option("--minutes", default=15, **MINUTES, help="ask again after")),
        "bench.shop.parts.testing:put_test_off",
        examples=("not-yet 1 --minutes 30 --by Bo",)),
    Command(
        "earlier", "say that the last action on a part happened earlier",
        (on_part, option("--minutes", required=True, **MINUTES, help="in steps of five")),
        "bench.shop.parts.back_dating:back_date",
        examples=("earlier 7 --minutes 5 --by Bo",)),
    Command(
        "hold", "put a part aside; its clocks run on", (on_part, WHY),
        "bench.shop.parts.holds_and_rework:hold",
        examples=('hold 10 --reason "waits for bolts" --by Una',)),
    Command(
        "release", "take a part off hold", (on_part,), "bench.shop.parts.holds_and_rework:release",
        examples=("release 11 --by Una",)),
    Command(
        "skip", "skip the next step", (on_part, WHY), "bench.shop.parts.holds_and_rework:skip",
        examples=('skip 10 --reason "one coat is enough" --by Una',)),
    Command(
        "rework", "send a part, or some pieces of a lot, back",
        (on_part,
         option("--defect", metavar="D", required=True, help="what is wrong: fish-eye, run"),
         option("--count", metavar="N", type=COUNT, help="how many of the lot; else all"),
         option("--back-to", metavar="STEP", type=STEP_NUMBER,
                help="the step to do again; else the last coat"),
         option("--to", dest="stand", metavar="STAND", type=STAND_NUMBER,
                help="where the pieces that leave the lot go")),
        "bench.commands.subjects.parts:rework",
        examples=("rework 10 --defect run --by Una",
                  "rework 3 --defect fish-eye --count 2 --back-to 1 --by Una")),
    Command(
        "another-coat", "add one more of the last coat to its route", (on_part,),
        "bench.shop.parts.holds_and_rework:another_coat",
        examples=("another-coat 16 --by Una",)),
    Command(
        "change-route", "go on with another route; what was done stays",
        (on_part,
         option("--route", metavar="KEY", required=True, help="see: paintbench routes"),
         option("--dry-run", action="store_true",
                help="say what counts and what is then to do, write nothing")),
        "bench.shop.parts.route_exchange:change_route",
        examples=("change-route 15 --route zinc-t-wash --dry-run --by Una",
                  "change-route 15 --route zinc-t-wash --by Una")),
    Command(
        "move", "put a part on another stand; no clock changes",
        (on_part,
         option("--to", metavar="N", required=True, type=STAND_NUMBER, help="the other stand"),
         option("--swap", action="store_true", help="swap with what is there")),
        "bench.shop.parts.placement:move",
        examples=("move 10 --to 18 --by Una", "move 10 --to 1 --swap --by Una")),
    Command(
        "take-off", "take a part off its stand", (on_part, override(LEFT_ON_PART)),
        "bench.shop.parts.placement:take_off",
        examples=("take-off 17 --by Una",)),
    Command(
        "split", "make some pieces of a lot a lot of their own",
        (on_part,
         option("--count", metavar="N", type=COUNT, required=True, help="how many leave"),
         option("--to", dest="stand", metavar="STAND", type=STAND_NUMBER,
                help="where they go; else on no stand")),
        "bench.shop.parts.lots:split",
        examples=("split 3 --count 4 --to 18 --by Una",)),
    Command(
        "merge", "join another lot to this one, if both are at the same step",
        (on_part,
         option("--with", dest="other", metavar="TAG", required=True, help="its tag")),
        "bench.shop.parts.lots:merge",
        examples=("merge 4 --with 4b --by Una",)),
    Command(
        "count", "count bungs and contact points",
        (on_part,
         option("--bungs-in", metavar="N", type=POINTS, help="bungs that went in"),
         option("--bungs-out", metavar="N", type=POINTS, help="bungs that came out"),
         option("--contacts", metavar="N", type=POINTS, help="where it hung or stood"),
         option("--touched-up", dest="contacts_done", metavar="N", type=POINTS,
                help="of those, touched up")),
        "bench.shop.parts.lots:count_points",
        examples=("count 10 --bungs-in 4 --by Una",)),
    Command(
        "area", "say how much area one piece has, for the paint it takes",
        (on_part,
         option("--area", metavar="AREA", type=quantities.quantity("metre ** 2"),
                help="of all its faces: 2.4m2"),
         option("--piece", metavar="PIECE", default="",
                help='or its section in mm: "CHS 48.3x3.2", "plate 900x300x4"'),
         option("--length", metavar="LENGTH", type=quantities.quantity("metre"),
                help="and how long it is: 3m")),
        "bench.commands.subjects.parts:area",
        examples=("area 10 --area 0.6m2 --by Una",
                  'area 7 --piece "CHS 33.7x2.6" --length 1.2m --by Bo')),
    Command(
        "zinc", "say when and how a part was galvanised; which preparation fits",
        (on_part, *zinc_answers()),
        "bench.shop.parts.zinc_answers:answer_zinc",
        examples=("zinc 2 --galvanised 2025-03-02 --quenched no --by Una",
                  "zinc 2 --galvanised unknown --white-rust yes --by Una")),
))
# fmt: on

"""What painters share: who is on what, equipment, notes, the hand-over; and who they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import AGO, PRINTED, air_supply, on_part, option, which_part
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import AIR_SHORT

if TYPE_CHECKING:
    import argparse

    from bench.commands.core.call import Call
    from bench.shop.core.transaction import Outcome

FLOW = quantities.quantity("litre / minute")
TRAINED = {"yes": True, "no": False, "unknown": None}


def _faces(text: str) -> tuple[str, list[str]]:
    """Read a painter and faces, as in ``Ada=L-in,XMEM``."""
    name, equals, faces = text.partition("=")
    named = [face.strip() for face in faces.split(",") if face.strip()]
    if not equals or not name.strip() or not named:
        raise quantities.unreadable(text, "a painter and faces, such as Ada=L-in,XMEM")
    return name.strip(), named


def _noted_on(parser: argparse.ArgumentParser) -> None:
    """Add the part a note is on; without one it is on the bench."""
    tag = "or of the part with a tag; else of the bench"
    which_part(parser, "of what stands there", tag, name="--stand")


def faces(call: Call, by: str) -> Outcome | Refusal:
    """Say who sprays which faces."""
    from bench.shop.parts.assignment import share_faces

    shared: dict[str, list[str]] = {}
    for name, named in call.args.who:
        shared.setdefault(name, []).extend(named)
    return share_faces(call.shop, call.args.target, by, shared)


def usual_equipment(call: Call, by: str) -> Outcome | Refusal:
    """Write down what a shop usually has."""
    from bench.shop.parts.equipment import write_down_usual
    from bench.shop.seeds import seed_files

    try:
        usual = seed_files.load(seed_files.folder()).equipment
    except seed_files.BadSeed as fault:
        return Refusal(str(fault))
    return write_down_usual(call.shop, by, usual.values())


def painter_trained(call: Call, by: str) -> Outcome | Refusal:
    """Record whether a painter is trained for isocyanate; PAINTBENCH_PIN signs it."""
    from bench.shop.people.painters import set_trained

    return set_trained(call.shop, by, call.args.painter, TRAINED[call.args.trained])


def pin(call: Call, by: str) -> Outcome | Refusal:
    """Give a PIN, or take it away with an empty line; PAINTBENCH_PIN signs with the old one.

    It is asked for and no option, which others could see in a list of programs.
    """
    import sys
    from getpass import getpass

    from bench.shop.people.painters import set_pin

    if sys.stdin.isatty():
        typed = getpass("New PIN, four figures (Enter alone: none): ")
        if typed != getpass("The same again: "):
            return Refusal("the two PINs are not the same", "", "try again")
    else:
        typed = sys.stdin.readline().strip()
    return set_pin(call.shop, by, typed)


# A table: laid out by hand.
# fmt: off
PAINTER = option("painter", metavar="NAME", help="who it is about")
EQUIPMENT = option("equipment", metavar="THING", help="its key or name: air-fed-set")
TAKES_AIR = (
    option("--needs", dest="needs_l_min", metavar="FLOW", type=FLOW,
           help='what it takes: "300 l/min"'),
    option("--gives", dest="gives_l_min", metavar="FLOW", type=FLOW,
           help="what a compressor gives"),
)

PEOPLE = Group("people and equipment", (
    Command(
        "take", "take a part that nobody is on", (on_part,),
        "bench.shop.parts.assignment:take_part",
        examples=("take 10 --by Una",)),
    Command(
        "join", "join the current step as the second painter", (on_part,),
        "bench.shop.parts.holds_and_rework:join_step",
        examples=("join 2 --by Una",)),
    Command(
        "hand-to", "hand a part to the other painter",
        (on_part, option("--to", metavar="NAME", required=True, help="the other painter")),
        "bench.shop.parts.assignment:hand_to",
        examples=("hand-to 2 --to Una --by Bo",)),
    Command(
        "give-back", "give a part back: nobody is on it then", (on_part,),
        "bench.shop.parts.assignment:give_part_back",
        examples=("give-back 10 --by Bo",)),
    Command(
        "faces", "say who sprays which faces of a coat",
        (on_part,
         option("--who", metavar="FACES", required=True, action="append", type=_faces,
                help='who sprays which: "Ada=L-in,XMEM"; again for the other painter')),
        "bench.commands.subjects.people:faces",
        examples=("faces 5 --who Una=UND,TOP --who Bo=ENDS --by Una",)),
    Command(
        "equipment", "who has which equipment, who waits, the air it draws",
        target="bench.commands.reports.sharing:equipment", kind="reads", examples=("equipment",)),
    Command(
        "equipment take", "take equipment that is free", (EQUIPMENT, AGO, *air_supply(AIR_SHORT)),
        "bench.shop.parts.equipment:take",
        examples=("equipment take gun-1 --by Una",)),
    Command(
        "equipment give-back", "return equipment, also for somebody who forgot", (EQUIPMENT, AGO),
        "bench.shop.parts.equipment:give_back",
        examples=("equipment give-back air-fed-set --ago 5min --by Bo",)),
    Command(
        "equipment ask", "wait for equipment that somebody holds", (EQUIPMENT,),
        "bench.shop.parts.equipment:ask_for",
        examples=("equipment ask gun-2 --by Bo",)),
    Command(
        "equipment unask", "leave the queue", (EQUIPMENT,),
        "bench.shop.parts.equipment:ask_no_more",
        examples=("equipment unask air-fed-set --by Bo",)),
    Command(
        "equipment add", "add equipment",
        (option("name", metavar="NAME", help='"Second gun"'),
         option("--kind", metavar="KIND", default="",
                help="what the routes' steps call it: gun; else its name"),
         *TAKES_AIR),
        "bench.shop.parts.equipment:write_down",
        examples=('equipment add "Third gun" --kind gun --needs "300 l/min" --by Una',)),
    Command(
        "equipment usual", "add what a shop usually has", (),
        "bench.commands.subjects.people:usual_equipment",
        examples=("equipment usual --by Una",)),
    Command(
        "equipment set", "set how much air it takes or gives", (EQUIPMENT, *TAKES_AIR),
        "bench.shop.parts.equipment:set_air",
        examples=('equipment set gun-1 --needs "320 l/min" --by Una',)),
    Command(
        "note", "write a note on a part, or on the bench",
        (option("text", metavar="TEXT", help="what the others should know"), _noted_on),
        "bench.shop.parts.notes:write_note",
        examples=('note "new filters came" --by Una',
                  'note "mind the thread" --stand 10 --by Una')),
    Command(
        "strike", "strike a note; it stays in the log",
        (option("number", metavar="N", type=quantities.whole("a note's number"),
                help="see: paintbench notes"),),
        "bench.shop.parts.notes:strike_note",
        examples=("strike 2 --by Una",)),
    Command(
        "notes", "show the notes with their numbers",
        target="bench.commands.reports.sharing:notes", kind="reads", examples=("notes",)),
    Command(
        "handover", "print what the next shift should know",
        PRINTED, "bench.commands.reports.handover:handover", "reads",
        ("handover", "handover --form html -o handover.html")),
    Command(
        "leave", "sign out: hand over and go home", (), "bench.shop.people.handover:leave",
        examples=("leave --by Una",)),
    Command(
        "come-in", "sign in again after leaving", (), "bench.shop.people.handover:come_in",
        examples=("come-in --by Una",)),
    Command(
        "since", "show what others did since somebody left",
        (option("--by", metavar="PAINTER", required=True, help="since who left"),),
        "bench.commands.reports.handover:since", "reads", ("since --by Una",)),
    Command(
        "painter", "list the painters: who is trained for isocyanate, who is away",
        target="bench.commands.reports.sharing:painters", kind="reads", examples=("painter",)),
    Command(
        "painter add", "add a painter to the shop", (PAINTER,),
        "bench.shop.people.painters:add_painter",
        examples=("painter add Kim --by Una",)),
    Command(
        "painter gone", "take a painter who left the shop off its lists; the records keep the name",
        (PAINTER,),
        "bench.shop.people.painters:painter_gone",
        examples=("painter gone Kim --by Una",)),
    Command(
        "painter trained", "record whether a painter is trained for isocyanate",
        (PAINTER, option("trained", choices=tuple(TRAINED), help="for isocyanate")),
        "bench.commands.subjects.people:painter_trained",
        examples=("painter trained Bo yes --by Una",)),
    Command(
        "away", "record when a painter is away: the plan counts on nobody who is",
        (PAINTER,
         option("span", metavar="FROM..TO",
                help='days, 2026-12-24..2027-01-01, or hours: "2026-12-24 13:00..17:30"'),
         option("--take-back", action="store_true", help="they are not away then after all")),
        "bench.shop.people.away:away",
        examples=("away Una 2027-12-24..2028-01-01 --by Bo",)),
    Command(
        "pin", "give, change or remove a painter's PIN, which signs overrides", (),
        "bench.commands.subjects.people:pin",
        examples=("pin --by Una",)),
))
# fmt: on

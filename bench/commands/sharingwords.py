"""The words for what painters share: equipment, who is on what, notes, the hand-over."""

from __future__ import annotations

import argparse

from bench.commands import quantities
from bench.commands.options import AGO, BY, JSON, STAND_NUMBER, Words, air_supply, on_part
from bench.process.rules import AIR_SHORT

AIR = quantities.quantity("litre / minute")


def _equipment(parser: argparse.ArgumentParser) -> None:
    deeds = parser.add_subparsers(
        dest="thing_deed", metavar="DEED", title="deeds; without one, the list"
    )
    for name, told, adders in (
        ("take", "take a thing", (_which, AGO, air_supply(AIR_SHORT), BY)),
        ("give-back", "give a thing back, also for who forgot", (_which, AGO, BY)),
        ("ask", "ask for a thing that somebody holds", (_which, BY)),
        ("ask-no-more", "give a place among those who wait up", (_which, BY)),
        ("add", "write a thing down", (_new, _air, BY)),
        ("usual", "write down what a shop usually has", (BY,)),
        ("set", "type what it takes or gives of air", (_which, _air, BY)),
    ):
        deed = deeds.add_parser(name, help=told, description=told, allow_abbrev=False)
        for add in adders:
            add(deed)


def _to(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--to", metavar="NAME", required=True, help="the other painter")


def _who_sprays(parser: argparse.ArgumentParser) -> None:
    told = 'who sprays which: "Ada=L-in,XMEM"; again for the other painter'
    parser.add_argument(
        "--who", metavar="FACES", required=True, action="append", type=_faces, help=told
    )


def _faces(text: str) -> tuple[str, list[str]]:
    """A painter and faces, as in ``Ada=L-in,XMEM``."""
    name, equals, faces = text.partition("=")
    named = [face.strip() for face in faces.split(",") if face.strip()]
    if not equals or not name.strip() or not named:
        wanted = "wanted a painter and faces, such as Ada=L-in,XMEM"
        raise argparse.ArgumentTypeError(f"read {text[:40]!r}; {wanted}")
    return name.strip(), named


def _of_part_or_bench(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("text", metavar="TEXT", help="what the others are to know")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--stand", metavar="STAND", type=STAND_NUMBER, help="of what stands there")
    which.add_argument("--tag", metavar="TAG", help="or of the part with a tag; else of the bench")


def _number(parser: argparse.ArgumentParser) -> None:
    whole = quantities.whole("a note's number")
    parser.add_argument("number", metavar="N", type=whole, help="see: paintbench notes")


def _name(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--by", metavar="PAINTER", required=True, help="since who left")


def _which(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("equipment", metavar="THING", help="its key or name: air-fed-set")


def _new(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help='"Second gun"')
    told = "what the routes' steps call it: gun; else its name"
    parser.add_argument("--kind", metavar="KIND", default="", help=told)


def _air(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--needs", metavar="FLOW", type=AIR, help='what it takes: "300 l/min"')
    parser.add_argument("--gives", metavar="FLOW", type=AIR, help="what a compressor gives")


SHARING: Words = {
    "take": ("take a part that nobody is on", (on_part, BY)),
    "hand-to": ("hand a part to the other painter", (on_part, _to, BY)),
    "give-back": ("be on a part no more", (on_part, BY)),
    "faces": ("say who sprays which faces of a coat", (on_part, _who_sprays, BY)),
    "note": ("write a note on a part, or on the bench", (_of_part_or_bench, BY)),
    "strike": ("strike a note; it stays in the journal", (_number, BY)),
    "notes": ("show the notes with their numbers", (JSON,)),
    "handover": ("print what is to be known at the end of a shift", (JSON,)),
    "leave": ("hand over and go home", (BY,)),
    "come-in": ("be in again after leaving", (BY,)),
    "since": ("show what others did since somebody left", (_name, JSON)),
    "equipment": (
        "what one painter holds at a time: who has it, who waits, the compressor's air",
        (JSON, _equipment),
    ),
}
"""Every command word about what is shared."""

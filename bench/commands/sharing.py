"""Commands about what painters share: parts, notes, equipment."""

from __future__ import annotations

from bench.commands.call import Call
from bench.commands.overriding import override_of
from bench.commands.plain import ascii_only, cut, shown, write_json, write_line
from bench.commands.status import air_data, equipment_data, iso, note_data
from bench.process.equipment import air_caution, air_sum, now_words
from bench.process.notes import note_words
from bench.process.refusal import Refusal
from bench.shop import equipment as things
from bench.shop import notes as noting
from bench.shop import seeds, sharing
from bench.shop.acting import Done
from bench.shop.ahead import held_until
from bench.shop.sight import look

# --- parts ---------------------------------------------------------------------------------------


def take_part(call: Call, by: str) -> Done | Refusal:
    """Take a part that nobody is on."""
    return sharing.take_part(call.shop, call.target, by)


def hand_to(call: Call, by: str) -> Done | Refusal:
    """Hand a part to the other painter."""
    return sharing.hand_to(call.shop, call.target, by, call.args.to)


def give_part_back(call: Call, by: str) -> Done | Refusal:
    """Be on a part no more."""
    return sharing.give_part_back(call.shop, call.target, by)


def share_faces(call: Call, by: str) -> Done | Refusal:
    """Who sprays which faces."""
    faces: dict[str, list[str]] = {}
    for name, named in call.args.who:
        faces.setdefault(name, []).extend(named)
    return sharing.share_faces(call.shop, call.target, by, faces)


# --- notes ---------------------------------------------------------------------------------------


def note(call: Call, by: str) -> Done | Refusal:
    """Write a note."""
    args = call.args
    on_part = args.stand is not None or args.tag is not None
    target = call.target if on_part else None
    return noting.write_note(call.shop, by, args.text, target=target)


def strike(call: Call, by: str) -> Done | Refusal:
    """Strike a note."""
    return noting.strike_note(call.shop, by, call.args.number)


def notes(call: Call) -> Refusal | None:
    """Every note that nobody struck."""
    view = look(call.shop)
    found = view.every_note()
    if call.args.json:
        write_json(call.out, {"notes": [note_data(one) for one in found]})
        return None
    now = view.local(call.shop.clock.now())
    for one in found:
        where = f"tag {one.tag}" if one.tag else "bench"
        write_line(call.out, f"{one.number:>5}  {cut(shown(where), 12)} {note_words(one, now)}")
    if not found:
        write_line(call.out, "no notes")
    return None


# --- equipment -----------------------------------------------------------------------------------


def equipment(call: Call) -> Refusal | None:
    """Who holds what, who waits, and the compressor's air."""
    view = look(call.shop)
    until = held_until(call.shop, view)
    if call.args.json:
        things_data = [
            {**equipment_data(thing), "until_about": iso(until.get(thing.key))}
            for thing in view.equipment
        ]
        now_data = {"now": iso(call.shop.clock.now()), "equipment": things_data}
        write_json(call.out, {**now_data, "air": air_data(view.air())})
        return None
    now = view.local(call.shop.clock.now())
    for thing in view.equipment:
        row = f"{cut(ascii_only(thing.key), 15)} {cut(ascii_only(thing.name), 18)} "
        write_line(call.out, row + ascii_only(now_words(thing, now, until.get(thing.key))))
    if not view.equipment:
        write_line(call.out, "none is written down yet: paintbench equipment usual")
    elif view.air().drawn:
        write_line(call.out, ascii_only(air_caution(view.air()) or f"air: {air_sum(view.air())}"))
    return None


def take_equipment(call: Call, by: str) -> Done | Refusal:
    """Take a thing."""
    args, override = call.args, override_of(call.args)
    if isinstance(override, Refusal):
        return override
    return things.take(call.shop, args.equipment, by, at=call.at, override=override)


def give_equipment_back(call: Call, by: str) -> Done | Refusal:
    """Give a thing back, for whoever has it."""
    return things.give_back(call.shop, call.args.equipment, by, at=call.at)


def ask(call: Call, by: str) -> Done | Refusal:
    """Wait for a thing."""
    return things.ask_for(call.shop, call.args.equipment, by)


def ask_no_more(call: Call, by: str) -> Done | Refusal:
    """Wait for it no more."""
    return things.ask_no_more(call.shop, call.args.equipment, by)


def add_equipment(call: Call, by: str) -> Done | Refusal:
    """Write a thing down."""
    args = call.args
    return things.write_down(
        call.shop,
        by,
        name=args.name,
        kind=args.kind,
        needs_l_min=args.needs,
        gives_l_min=args.gives,
    )


def usual_equipment(call: Call, by: str) -> Done | Refusal:
    """Write down what a shop usually has."""
    try:
        usual = seeds.load(seeds.folder()).equipment
    except seeds.BadSeed as fault:
        return Refusal(str(fault))
    return things.write_down_usual(call.shop, by, usual.values())


def set_equipment(call: Call, by: str) -> Done | Refusal:
    """What it takes or gives of air."""
    args = call.args
    return things.set_air(
        call.shop, args.equipment, by, needs_l_min=args.needs, gives_l_min=args.gives
    )

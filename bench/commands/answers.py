"""Which function answers which command word."""

from __future__ import annotations

from collections.abc import Callable

from bench.commands import (
    ahead,
    alarm,
    clock,
    correcting,
    handover,
    house,
    keeping,
    lists,
    lots,
    mixing,
    painter,
    pin,
    records,
    sharing,
    sheets,
    tins,
    work,
)
from bench.commands.call import Call, Placing
from bench.process.refusal import Refusal
from bench.shop.acting import Done

READERS: dict[str, Callable[[Call], Refusal | None]] = {
    "status": lists.status,
    "ahead": ahead.ahead,
    "journal": lists.journal,
    "clock": clock.clock,
    "check": lists.check_data,
    "probe": house.probe,
    "product": sheets.product,
    "route": sheets.route,
    "tins": tins.tins_list,
    "trace": tins.trace,
    "shopping": tins.shopping,
    "costs": tins.costs,
    "products": lists.products,
    "routes": lists.routes,
    "shapes": lists.shapes,
    "sheet": records.sheet,
    "calendar": records.calendar,
    "find": records.find,
    "equipment": sharing.equipment,
    "notes": sharing.notes,
    "handover": handover.handover,
    "since": handover.since,
}

WRITERS: dict[str, Callable[[Call, str], Done | Refusal]] = {
    "place": work.place,
    "begin": work.begin,
    "finish": work.finish,
    "pass": work.pass_test,
    "not-yet": work.not_yet,
    "join": work.join,
    "another-coat": work.another_coat,
    "move": work.move,
    "take-off": work.take_off,
    "hold": work.hold,
    "release": work.release,
    "skip": work.skip,
    "rework": work.rework,
    "split": lots.split,
    "merge": lots.merge,
    "count": lots.count,
    "earlier": work.earlier,
    "undo": work.take_back,
    "correct": correcting.correct,
    "mix": mixing.mix,
    "bin": mixing.bin_pot,
    "top-up": mixing.top_up,
    "flush": mixing.flush,
    "tin": tins.tin,
    "set-product": sheets.typed_product,
    "set-route": sheets.typed_route,
    "painter": painter.painter,
    "pin": pin.pin,
    "shop": house.shop,
    "alarm": alarm.alarm,
    "reading": mixing.reading,
    "set-clock": clock.set_the_clock,
    "take": sharing.take_part,
    "hand-to": sharing.hand_to,
    "give-back": sharing.give_part_back,
    "faces": sharing.share_faces,
    "note": sharing.note,
    "strike": sharing.strike,
    "leave": handover.leave,
    "come-in": handover.come_in,
    "equipment take": sharing.take_equipment,
    "equipment give-back": sharing.give_equipment_back,
    "equipment ask": sharing.ask,
    "equipment ask-no-more": sharing.ask_no_more,
    "equipment add": sharing.add_equipment,
    "equipment usual": sharing.usual_equipment,
    "equipment set": sharing.set_equipment,
}

KEEPERS: dict[str, Callable[[Call], Done | Refusal | None]] = {
    "backup": keeping.backup,
    "export": keeping.export,
}
"""What takes the data somewhere and leaves the shop as it is: nobody has to say who did it."""

PLACERS: dict[str, Callable[[Placing], Done | Refusal | None]] = {
    "backups": keeping.backups,
    "restore": keeping.restore,
    "import": keeping.bring_in,
}
"""What concerns the place of the data: there may be no shop there that could be opened."""

"""``paintbench correct``: an older fact put right, with a reason."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from bench.commands.call import Call
from bench.process.clockfault import EARLIEST
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.clockset import local_instant
from bench.shop.correcting import Naming, correct_part, correct_who
from bench.shop.correcting_figures import (
    correct_pours,
    correct_reading,
    pot_of_line,
    reading_of_line,
)
from bench.shop.correcting_hours import correct_hour, correct_mark, correct_mixed, correct_test
from bench.shop.correcting_words import correct_defect, correct_pot, correct_skip
from bench.shop.sight import look

Road = Callable[[Call, str], Done | Refusal]


def correct(call: Call, by: str) -> Done | Refusal:
    """Put right what the words name."""
    missing = _missing(call)
    return missing or _ROADS[call.args.what](call, by)


def _missing(call: Call) -> Refusal | None:
    """What has to be said and was not."""
    args = call.args
    needs = {
        "hour": {"STAND or --tag": _on_part(call), "--step": args.step, "--edge": args.edge}
        | {"--at": args.at},
        "mark": {"STAND or --tag": _on_part(call), "--step": args.step, "--mark": args.mark}
        | {"--edge": args.edge, "--at": args.at},
        "test": {"STAND or --tag": _on_part(call), "--step": args.step, "--at": args.at},
        "mixed": {"--line": args.line, "--at": args.at},
        "skip": {"STAND or --tag": _on_part(call), "--step": args.step, "--text": args.text},
        "defect": {"STAND or --tag": _on_part(call), "--text": args.text},
        "from": {"STAND or --tag": _on_part(call), "--step": args.step, "--line": args.line},
        "who": {"STAND or --tag": _on_part(call), "--step": args.step, "--painters": args.painters},
        "part": {"STAND or --tag": _on_part(call)},
        "reading": {"--line": args.line},
        "pot": {"--line": args.line, "--pour": args.pour or None},
    }[args.what]
    left = [word for word, given in needs.items() if given is None]
    return Refusal(f"which {args.what} is not said", "", f"add {', '.join(left)}") if left else None


def _on_part(call: Call) -> object:
    return call.args.tag if call.args.stand is None else call.args.stand


def _hour(call: Call, by: str, at: datetime) -> Done | Refusal:
    args = call.args
    return correct_hour(
        call.shop, call.target, by, args.reason, step=args.step, edge=args.edge, at=at
    )


def _mark(call: Call, by: str, at: datetime) -> Done | Refusal:
    args = call.args
    return correct_mark(
        call.shop,
        call.target,
        by,
        args.reason,
        step=args.step,
        mark=args.mark,
        edge=args.edge,
        at=at,
    )


def _test(call: Call, by: str, at: datetime) -> Done | Refusal:
    args = call.args
    return correct_test(
        call.shop, call.target, by, args.reason, step=args.step, at=at, test=args.test
    )


def _timed(deed: Callable[[Call, str, datetime], Done | Refusal]) -> Road:
    """The road to a fact that is an hour: what was typed has to be one first."""

    def road(call: Call, by: str) -> Done | Refusal:
        year, month, day, hour, minute = call.args.at
        zone = look(call.shop).house.hours.zone
        at = local_instant(day, month, year, hour, minute, zone, EARLIEST)
        return at if isinstance(at, Refusal) else deed(call, by, at)

    return road


def _mixed(call: Call, by: str) -> Done | Refusal:
    number = pot_of_line(call.shop, call.args.line)
    if isinstance(number, Refusal):
        return number
    reason = call.args.reason
    return _timed(lambda call, by, at: correct_mixed(call.shop, number, by, reason, at))(call, by)


def _skip(call: Call, by: str) -> Done | Refusal:
    args = call.args
    return correct_skip(call.shop, call.target, by, args.reason, step=args.step, text=args.text)


def _defect(call: Call, by: str) -> Done | Refusal:
    args = call.args
    return correct_defect(
        call.shop, call.target, by, args.reason, text=args.text, defect=args.defect
    )


def _from(call: Call, by: str) -> Done | Refusal:
    args, pot = call.args, pot_of_line(call.shop, call.args.line)
    if isinstance(pot, Refusal):
        return pot
    return correct_pot(call.shop, call.target, by, args.reason, step=args.step, pot=pot)


def _who(call: Call, by: str) -> Done | Refusal:
    args = call.args
    return correct_who(
        call.shop, call.target, by, args.reason, step=args.step, painters=args.painters
    )


def _part(call: Call, by: str) -> Done | Refusal:
    args = call.args
    right = Naming(args.new_tag, args.name, args.job, args.owner, args.count, args.substrate)
    return correct_part(call.shop, call.target, by, args.reason, right)


def _reading(call: Call, by: str) -> Done | Refusal:
    args = call.args
    number = reading_of_line(call.shop, args.line)
    if isinstance(number, Refusal):
        return number
    given = {"air": args.air, "humidity": args.rh, "metal": args.metal}
    figures = {what: value for what, value in given.items() if value is not None}
    figures |= dict.fromkeys(args.not_read)
    return correct_reading(call.shop, number, by, args.reason, figures)


def _pot(call: Call, by: str) -> Done | Refusal:
    number = pot_of_line(call.shop, call.args.line)
    if isinstance(number, Refusal):
        return number
    return correct_pours(call.shop, number, by, call.args.reason, dict(call.args.pour))


_ROADS: dict[str, Road] = {
    "hour": _timed(_hour),
    "mark": _timed(_mark),
    "test": _timed(_test),
    "mixed": _mixed,
    "skip": _skip,
    "defect": _defect,
    "from": _from,
    "who": _who,
    "part": _part,
    "reading": _reading,
    "pot": _pot,
}

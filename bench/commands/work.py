"""Commands that do something to a part."""

from __future__ import annotations

from bench.commands.call import Call
from bench.commands.overriding import override_of
from bench.process.refusal import Refusal
from bench.shop import parts, steps, testing, trouble
from bench.shop.acting import Done
from bench.shop.sight import Placed, look
from bench.shop.undo import undo, undo_line


def place(call: Call, by: str) -> Done | Refusal:
    """Put a new part or lot on an empty stand."""
    args = call.args
    return parts.place(
        call.shop,
        args.stand,
        by,
        route=args.route,
        shape=args.shape,
        count=args.count,
        tag=args.tag,
        name=args.name,
        job=args.job,
        owner=args.owner,
    )


def move(call: Call, by: str) -> Done | Refusal:
    """Put a part on another stand."""
    return parts.move(call.shop, call.target, by, to=call.args.to, swap=call.args.swap)


def take_off(call: Call, by: str) -> Done | Refusal:
    """Take a part off its stand."""
    override = override_of(call.args)
    if isinstance(override, Refusal):
        return override
    return parts.take_off(call.shop, call.target, by, override=override)


def begin(call: Call, by: str) -> Done | Refusal:
    """Begin the next step."""
    args = call.args
    override = override_of(args)
    if isinstance(override, Refusal):
        return override
    return steps.begin(
        call.shop,
        call.target,
        by,
        at=call.at,
        zone=args.zone,
        helper=args.helper,
        override=override,
    )


def finish(call: Call, by: str) -> Done | Refusal:
    """Finish a face, a zone or the step in hand."""
    args = call.args
    override = override_of(args)
    if isinstance(override, Refusal):
        return override
    return steps.finish(
        call.shop,
        call.target,
        by,
        at=call.at,
        mark=args.mark,
        all_faces=args.all_faces,
        override=override,
    )


def pass_test(call: Call, by: str) -> Done | Refusal:
    """The test was passed."""
    return testing.pass_test(call.shop, call.target, by, at=call.at)


def not_yet(call: Call, by: str) -> Done | Refusal:
    """The test was not passed."""
    return testing.not_yet(call.shop, call.target, by, minutes=call.args.minutes, at=call.at)


def join(call: Call, by: str) -> Done | Refusal:
    """A second painter joins the step in hand."""
    return trouble.join(call.shop, call.target, by)


def another_coat(call: Call, by: str) -> Done | Refusal:
    """Put one more of the last coat on the part's route."""
    return trouble.another_coat(call.shop, call.target, by)


def hold(call: Call, by: str) -> Done | Refusal:
    """Put a part aside."""
    return trouble.hold(call.shop, call.target, by, call.args.reason)


def release(call: Call, by: str) -> Done | Refusal:
    """Take a part off hold."""
    return trouble.release(call.shop, call.target, by)


def skip(call: Call, by: str) -> Done | Refusal:
    """Leave the next step out."""
    return trouble.skip(call.shop, call.target, by, call.args.reason)


def earlier(call: Call, by: str) -> Done | Refusal:
    """The last thing done to the part happened earlier."""
    return trouble.back_date(call.shop, call.target, by, call.args.minutes)


def take_back(call: Call, by: str) -> Done | Refusal:
    """Undo the last thing done, or a chosen line."""
    line = call.args.line
    return undo(call.shop, by) if line is None else undo_line(call.shop, by, line)


def rework(call: Call, by: str) -> Done | Refusal:
    """Send a part, or some pieces of a lot, back."""
    args = call.args
    back_to = None if args.back_to is None else _step_meant(call, args.back_to)
    if isinstance(back_to, Refusal):
        return back_to
    return trouble.rework(
        call.shop,
        call.target,
        by,
        args.defect,
        count=args.count,
        back_to=back_to,
        stand=args.to,
    )


def _step_meant(call: Call, shown: int) -> int | Refusal:
    """The step that is shown under a number: those struck out are kept, but not counted."""
    placed = _found(call)
    if placed is None:
        return shown  # the rules say what is wrong with the stand or the tag
    counted = [record for record in placed.part.steps if record.status != "struck"]
    if 1 <= shown <= len(counted):
        return counted[shown - 1].number
    return Refusal(f"no step {shown}", "", f"steps run from 1 to {len(counted)}")


def _found(call: Call) -> Placed | None:
    view, target = look(call.shop), call.target
    return view.on(target) if isinstance(target, int) else view.find(target.strip())

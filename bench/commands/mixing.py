"""Pots and readings."""

from __future__ import annotations

from bench.commands.call import Call
from bench.commands.overriding import override_of
from bench.process.mixing import Known, mix_for
from bench.process.refusal import Refusal
from bench.shop import pots
from bench.shop.acting import Done
from bench.shop.readings import take_reading
from bench.shop.sight import look
from bench.trade.mixing import Mix


def mix(call: Call, by: str) -> Done | Refusal:
    """Record a mix, start its pot clock, and say what goes in up to which line."""
    args = call.args
    known, override = _known(call), override_of(args)
    if isinstance(override, Refusal):
        return override
    done = pots.mix(
        call.shop,
        args.product,
        by,
        known=known,
        thinner_pct=args.thinner,
        at=call.at,
        tins=args.tins,
        override=override,
    )
    if isinstance(done, Refusal) or known is None:
        return done
    worked = mix_for(look(call.shop).products[args.product], known, args.thinner)
    lines = pour_lines(worked) if isinstance(worked, Mix) else ()
    return Done(done.text, done.tag, (*lines, *done.notes))


def _known(call: Call) -> Known | None:
    args = call.args
    if args.need is None and args.left is None and args.poured is None:
        return None
    return Known(args.need, args.left, args.poured)


def pour_lines(worked: Mix) -> tuple[str, ...]:
    """Each part in the order of pouring, with the line the cup then stands at."""
    lines = []
    for pour in worked.pours:
        line = f"{pour.role:<10}{pour.ml:>7.0f} ml  fill to {pour.fill_to_ml:.0f} ml"
        if pour.g is not None and pour.scale_to_g is not None:
            line += f"  or {pour.g:.0f} g, scale to {pour.scale_to_g:.0f} g"
        lines.append(line)
    return tuple(lines)


def bin_pot(call: Call, by: str) -> Done | Refusal:
    """Empty or bin a pot."""
    return pots.bin_pot(call.shop, call.args.pot, by, left_ml=call.args.left)


def top_up(call: Call, by: str) -> Done | Refusal:
    """Pour a fresh mix into an open pot."""
    args = call.args
    known = _known(call)
    if known is None:
        return Refusal("how much is not said", "", "add --need, --left or --poured")
    override = override_of(args)
    if isinstance(override, Refusal):
        return override
    return pots.top_up(
        call.shop,
        args.pot,
        by,
        known=known,
        thinner_pct=args.thinner,
        tins=args.tins,
        override=override,
    )


def flush(call: Call, by: str) -> Done | Refusal:
    """A gun is flushed."""
    return pots.flush(call.shop, call.args.pot, by)


def reading(call: Call, by: str) -> Done | Refusal:
    """Write down what a thermometer says."""
    args = call.args
    return take_reading(
        call.shop, by, air_c=args.air, rh_pct=args.rh, metal_c=args.metal, at=call.at
    )

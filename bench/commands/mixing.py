"""Pots and readings."""

from __future__ import annotations

from bench.commands.call import Call
from bench.process.mixing import Known, mix_for, too_small_to_measure
from bench.process.refusal import Refusal
from bench.shop import pots
from bench.shop.acting import Done
from bench.shop.readings import take_reading
from bench.shop.sight import look
from bench.trade.mixing import Mix

TENTHS_UNDER = 100.0
"""Half a millilitre of less than this is over half a percent of a part."""


def mix(call: Call, by: str) -> Done | Refusal:
    """Record a mix, start its pot clock, and say what goes in up to which line."""
    args = call.args
    known = _known(call)
    done = pots.mix(
        call.shop,
        args.product,
        by,
        known=known,
        thinner_pct=args.thinner,
        at=call.at,
        tins=args.tins,
        override=args.override,
    )
    if isinstance(done, Refusal) or known is None:
        return done
    view = look(call.shop)
    product = view.products[args.product]
    worked = mix_for(product, known, args.thinner)
    if isinstance(worked, Refusal):
        return done
    small = too_small_to_measure(product, worked.total_ml, view.house.cup_step_ml)
    warning = (f"warning: {small}",) if small else ()
    return Done(done.text, done.tag, (*pour_lines(worked), *warning, *done.notes))


def _known(call: Call) -> Known | None:
    args = call.args
    if args.need is None and args.left is None and args.poured is None:
        return None
    return Known(args.need, args.left, args.poured)


def pour_lines(worked: Mix) -> tuple[str, ...]:
    """Each part in the order of pouring, with the line the cup then stands at."""
    lines = []
    for pour in worked.pours:
        line = f"{pour.role:<10}{_size(pour.ml):>7} ml  fill to {_size(pour.fill_to_ml)} ml"
        if pour.g is not None and pour.scale_to_g is not None:
            line += f"  or {_size(pour.g)} g, scale to {_size(pour.scale_to_g)} g"
        lines.append(line)
    return tuple(lines)


def _size(amount: float) -> str:
    """Millilitres or grams: whole ones, and tenths where a whole one would spoil the ratio."""
    return f"{amount:.1f}" if amount < TENTHS_UNDER else f"{amount:.0f}"


def bin_pot(call: Call, by: str) -> Done | Refusal:
    """Empty or bin a pot."""
    return pots.bin_pot(call.shop, call.args.pot, by, left_ml=call.args.left)


def top_up(call: Call, by: str) -> Done | Refusal:
    """Pour a fresh mix into an open pot."""
    args = call.args
    known = _known(call)
    if known is None:
        return Refusal("how much is not said", "", "add --need, --left or --poured")
    return pots.top_up(
        call.shop,
        args.pot,
        by,
        known=known,
        thinner_pct=args.thinner,
        tins=args.tins,
        override=args.override,
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

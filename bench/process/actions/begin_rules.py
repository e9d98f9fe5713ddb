"""May this step begin? Every rule in one place; the first that says no is the answer."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from operator import attrgetter

from bench.process.ahead.lookahead import USUAL_COAT, window_against
from bench.process.clocks.conditions import conditions_against, wash_against
from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.pots import Pot, pot_off_ratio, pot_past_life, pot_to_take, pot_word
from bench.process.clocks.stand_state import StandState, span_at
from bench.process.parts.measurements import Measurement, deviations_of
from bench.process.parts.part import (
    ALREADY_DONE,
    REPAIRS,
    Mark,
    Part,
    StepRecord,
    soak_flag,
    soak_words,
    zones_rinsed_early,
)
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.layers import Clash, clashes, goes_over, surface_words
from bench.process.sheets.product import Limits, Product
from bench.process.sheets.route import BARE_METALS
from bench.process.stock.equipment import Equipment, equipment_against, training_against
from bench.process.stock.tins import Tin, in_date, in_turn
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.process.wording.time_text import format_duration

HARDENS = ("hardener", "activator")
"""A mix with one of these is nothing to spray before it is mixed, whatever its pot life."""


def objections_to_begin(
    part: Part,
    state: StandState,
    around: Environment,
    pots: Collection[Pot],
    at: datetime,
    now: datetime,
    tins: Iterable[Tin] = (),
    equipment: Iterable[Equipment] = (),
    painters: Sequence[str] = (),
    untrained: Collection[str] = (),
    lasts: timedelta = USUAL_COAT,
    units: ShopUnits = METRIC,
    surface_error_c: float = 0.0,
    measured: Sequence[Measurement] = (),
) -> Iterator[Refusal]:
    """Return every rule against beginning the part's next step at ``at``, on a stand in ``state``.

    One that nobody may override comes alone. now: the present in the shop's zone, for the words.
    tins: those of the step's product. painters: who would begin it; with nobody named, whatever is
    in anybody's hands stands against it. untrained: who is not trained for isocyanate. lasts:
    from its first face to its last. surface_error_c: of the thermometer surfaces are read with.
    measured: on the part.
    """
    record = part.current()
    if record is None:
        yield Refusal("everything on its route is done", state.word, "take it off the stand")
        return
    if never := _never(part, record, state) or _not_flashed(part, record, state, at, now):
        yield never
        return
    product = around.products.get(record.step.product)
    limits, mark = (product.limits, product.doubt_of("limits")) if product else (Limits(), "")
    if record.status == "todo":
        yield from _on_it(part, painters)
        yield from _window(part, record, state, at, now)
        yield from window_against(part, record, around, at, lasts)
        yield from _held(part, measured, around.products)
    if record.step.kind == "dwell" or record.step.most_s:
        yield from wash_against(around.conditions(at), limits, at, mark)
    if record.step.kind == "coat":
        yield from _prepared(part, record)
        yield from _goes_over(part, record, product, around.products)
        yield from conditions_against(around.conditions(at), limits, at, mark, surface_error_c)
        if product is not None:
            yield from _pot(product, pots, at, now)
            yield from _tins(product, pots, tins, at)
    if record.status == "todo":
        yield from training_against(record.step, product, painters, untrained)
        yield from equipment_against(record.step, product, equipment, painters, now, units)


def _on_it(part: Part, painters: Sequence[str]) -> Iterator[Refusal]:
    """Refuse a part that somebody else has taken.

    With nobody named it is free to begin.
    """
    if part.taken_by and painters and not set(part.taken_by) & set(painters):
        who = " and ".join(part.taken_by)
        right = f"help, or {who} {'hands' if len(part.taken_by) == 1 else 'hand'} it over"
        has = "has" if len(part.taken_by) == 1 else "have"
        yield rules.PART_TAKEN.refuses(f"{who} {has} taken it", "", right)


def _never(part: Part, record: StepRecord, state: StandState) -> Refusal | None:
    if record.step.kind == "cure":
        return Refusal("curing runs by itself", state.word, "wait, then test it")
    if part.hold:
        return Refusal("it is on hold", part.hold, "release it first")
    if record.status == "in hand" and record.step.kind != "dwell":
        open_faces = " ".join(mark.name for mark in record.open_marks())
        remaining = f"faces open: {open_faces}" if open_faces else ""
        return Refusal(f"{record.step.name} is begun already", remaining, "finish it")
    again = zones_rinsed_early(record)
    if record.status == "in hand" and not again and all(mark.begun_at for mark in record.marks):
        return Refusal(f"{record.step.name}: every zone is wet already", "", "rinse the oldest")
    if record.step.kind == "coat" and not surface_of(part):
        return Refusal(
            "its substrate is not named", f"tag {part.tag}", "name it before the first coat"
        )
    return None


def _onto_wet_coat(part: Part, record: StepRecord, state: StandState, at: datetime) -> bool:
    """Return whether it is a coat onto one whose solvent is still in it."""
    below = part.clock_step()
    coats = record.step.kind == "coat" and below is not None and below.step.kind == "coat"
    here = span_at(state.spans, at)
    flashing = here is not None and here.word in ("wet", "flash")
    return coats and record.status == "todo" and flashing


def _not_flashed(
    part: Part, record: StepRecord, state: StandState, at: datetime, now: datetime
) -> Refusal | None:
    if record.step.wet_on_wet or not _onto_wet_coat(part, record, state, at):
        return None
    rule = "the coat below has not flashed off"
    return rules.NOT_FLASHED.refuses(rule, _opens(state, at, now), "wait, then test it")


def _opens(state: StandState, at: datetime, now: datetime) -> str:
    if state.opens is None:
        return "does not open at these temperatures"
    return f"opens {state.opens.words(now)}, in {format_duration(state.opens.left_s(at))}"


def _window(
    part: Part, record: StepRecord, state: StandState, at: datetime, now: datetime
) -> Iterator[Refusal]:
    if record.step.wet_on_wet and _onto_wet_coat(part, record, state, at):
        return
    if state.word in ("WET", "FLASH", "DRYING", "WAIT"):
        yield rules.TOO_SOON.refuses("too soon", _opens(state, at, now), "wait, then test it")
    elif state.word == "KEEP OFF":
        opens = state.opens.words(now) if state.opens else "not at these temperatures"
        rule = "the recoat window is closed: the coat below may wrinkle"
        yield rules.KEEP_OFF.refuses(rule, f"opens again {opens}", "wait")
    elif state.word == "ABRADE":
        closed = f"closed {state.missed.words(now)}" if state.missed else ""
        remedy = state.note or "wash it and abrade it first"
        yield rules.WINDOW_MISSED.refuses("the window was missed", closed, remedy)
    elif state.test:
        rule = "nobody has passed the test"
        below = part.clock_step()
        soaked = [soak_flag(below, mark) for mark in below.marks] if below else []
        opinions = "; ".join(text for text in (state.test, *soaked) if text)
        yield rules.UNTESTED.refuses(rule, opinions, "test it first")


def _held(
    part: Part, measured: Sequence[Measurement], products: Mapping[str, Product]
) -> Iterator[Refusal]:
    """Refuse to go over a hold point before all is measured there and within its limits.

    That its test is passed, by name, is asked as of any step.
    """
    done = [record for record in part.steps if record.status == "done"]
    if not done or not done[-1].step.hold_point:
        return
    reasons = "; ".join(deviations_of(part, done[-1], measured, products))
    if reasons:
        rule = f"hold point: {done[-1].step.name} is not released"
        yield rules.HOLD_POINT.refuses(rule, reasons, "measure it; rework what is outside limits")


def _prepared(part: Part, record: StepRecord) -> Iterator[Refusal]:
    """Refuse a coat on bare metal whose every preparing step was skipped, none as already done."""
    if surface_of(part) not in BARE_METALS:
        return
    before = [r for r in part.steps if r.number < record.number and r.status != "struck"]
    preparing = [r for r in before if r.step.kind in ("work", "dwell")]
    skipped = [r for r in preparing if r.status == "skipped" and r.reason != ALREADY_DONE]
    if skipped and skipped == preparing:
        reasons = "; ".join(f"{r.step.name} skipped: {r.reason}" for r in skipped)
        remedy = f"prepare it; if it came prepared, correct the reason to '{ALREADY_DONE}'"
        yield rules.NOT_PREPARED.refuses("its surface was not prepared", reasons, remedy)


def objection_to_rinse(
    record: StepRecord, zone: Mark, at: datetime, now: datetime
) -> tuple[Refusal, ...]:
    """Return why not to rinse a wet zone at ``at``; empty once it has had its minimum.

    now: the present in the shop's zone, for the words.
    """
    step = record.step
    if zone.begun_at is None:
        return ()
    soaked_s = (at - zone.begun_at).total_seconds()
    if soaked_s >= step.least_s:
        return ()
    least_at = zone.begun_at + timedelta(seconds=step.least_s)
    until = Edge(least_at, "opening").words(now)
    soak_text = f"{soak_words(step, soaked_s)} of {step.least_s / 60:g}-{step.most_s / 60:g}"
    rule = f"too early to rinse {zone.name}"
    return (rules.RINSED_EARLY.refuses(rule, soak_text, f"leave it on, wet, until {until}"),)


def surface_of(part: Part) -> str:
    """Return what the next coat goes onto: the last coat's product by its key, else the substrate.

    A coat left out as already done came with the part; left out for any other reason it is not
    there. Washing, mordant and keying leave the surface what it is. In rework, doing again what
    came before the first coat means that the coats are off.
    """
    on, put_right = part.substrate, False
    bare: list[StepRecord] = []
    for record in part.steps:
        if record.status != "done" and (record.status, record.reason) != ("skipped", ALREADY_DONE):
            continue
        if record.step.kind == "coat":
            on = record.step.product
        elif on == part.substrate:
            bare.append(record)
        elif record.step.name in REPAIRS:
            put_right = True
        elif put_right and any(earlier.step == record.step for earlier in bare):
            on = part.substrate
    return on


def clashes_ahead(part: Part, products: Mapping[str, Product]) -> list[Clash]:
    """Return every coat still to do whose product does not go over the layer it will meet."""
    ahead = [record.step for record in part.steps if record.status in ("in hand", "todo")]
    return clashes(surface_of(part), ahead, products)


def _goes_over(
    part: Part, record: StepRecord, product: Product | None, products: Mapping[str, Product]
) -> Iterator[Refusal]:
    on = surface_of(part)
    if product is None or not product.over:
        name = product.name if product else record.step.product
        yield rules.OVER_UNKNOWN.refuses(
            f"no substrate listed for {name}",
            f"on it: {surface_words(on, products)}",
            "check the data sheet; try it on a coupon",
        )
    elif not goes_over(record.step, product, on):
        goes = ", ".join(surface_words(surface, products) for surface in product.over)
        yield rules.NOT_OVER.refuses(
            f"{product.name} does not go over what is on it",
            surface_words(on, products),
            f"it goes over {goes}",
        )


def _pot(product: Product, pots: Iterable[Pot], at: datetime, now: datetime) -> Iterator[Refusal]:
    roles = [share.role for share in product.ratio.shares] if product.ratio else []
    if not product.keeps_a_pot_clock and not set(roles) & set(HARDENS):
        return
    own = [pot for pot in pots if pot.product == product.key and pot.mixed_at <= at]
    words = {pot.letter: pot_word(pot, at) for pot in own}
    if {"USE", "BIN BY"} & set(words.values()):
        return
    resting = [pot.ready for pot in own if words[pot.letter] == "REST"]
    taken = pot_to_take(product.key, own, at)
    over = [pot.end for pot in own if pot.end is not None and pot.end.at <= at]
    if resting:
        rests = f"until {min(resting, key=attrgetter('at')).words(now)}"
        rule = f"the pot of {product.name} still rests"
        yield rules.POT_RESTS.refuses(rule, rests, "wait for its rest to end")
    elif taken is not None:
        if taken.off:
            yield pot_off_ratio(f"the pot of {product.name}", taken.off)
        if over:
            ended = max(over, key=attrgetter("at")).words(now)
            yield pot_past_life(f"the pot of {product.name}", ended)
    else:
        yield rules.NO_POT.refuses(f"no pot of {product.name}", "none open", "mix one first (*)")


def _tins(
    product: Product, pots: Collection[Pot], tins: Iterable[Tin], at: datetime
) -> Iterator[Refusal]:
    """Refuse a pot mixed from a tin out of date, or the tin itself where nothing is mixed."""
    pot = pot_to_take(product.key, pots, at)
    if pot is not None and pot.against:
        rule = f"pot {pot.letter} was mixed from a tin out of date"
        remedy = "bin it and mix from a tin that is in date"
        yield rules.POT_FROM_OLD_TIN.refuses(rule, "; ".join(pot.against), remedy)
    if product.ratio is None and not product.keeps_a_pot_clock:
        refusals = [in_date(tin, at) for tin in in_turn(tins, at)[:1]]
        yield from (refusal for refusal in refusals if refusal is not None)

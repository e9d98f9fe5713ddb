"""Where parts are: placing, moving, swapping, taking off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bench.process.parts.part import Part, points_left
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import LEFT_ON_PART
from bench.process.sheets.route import Route, Shape, Step
from bench.process.wording.text_rules import clean_name
from bench.process.wording.time_text import format_number
from bench.shop.core.mappers import by_key, new_step, routes_of, shapes_of
from bench.shop.core.overrides import overrides_of, with_overrides
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.shop.parts.area import against_area
from bench.store.queries import bench_rows
from bench.store.schema.tables import PartRow, RouteRow, ShapeRow

MOST_IN_A_LOT = 999
MOST_TAG = 8


@dataclass(frozen=True)
class NewPart:
    """A part or lot as it is typed. stand None: it waits on none; area_m2: of one piece, if known.

    route, shape: keys. Without a tag it gets the next free number; without a name, its shape's.
    """

    stand: int | None
    route: str
    shape: str
    count: int = 1
    tag: str = ""
    name: str = ""
    job: str = ""
    owner: str = ""
    area_m2: float | None = None


def place(
    shop: Shop,
    stand: int,
    by: str,
    *,
    route: str,
    shape: str,
    count: int = 1,
    tag: str = "",
    name: str = "",
    job: str = "",
    owner: str = "",
    area_m2: float | None = None,
) -> Outcome | Refusal:
    """Put a new part or lot on an empty stand, at the start of a route.

    Without a tag the next free number is taken; without a name, the shape's.
    """
    new = NewPart(stand, route, shape, count, tag, name, job, owner, area_m2)
    with shop.act("place", by) as act:
        if fault := next(faults_of(act, new), None):
            return fault
        return act.done(*add_part(act, new))


def faults_of(act: Transaction, new: NewPart) -> Iterator[Refusal]:
    """Yield everything that is wrong with a new part."""
    found: list[object] = [
        not_empty(act, new.stand) if new.stand is not None else None,
        by_key(act.once(routes_of, RouteRow), new.route, "route"),
        by_key(act.once(shapes_of, ShapeRow), new.shape, "shape"),
    ]
    if not 1 <= new.count <= MOST_IN_A_LOT:
        found.append(Refusal(f"a lot of {new.count}", "", f"from 1 to {MOST_IN_A_LOT}"))
    found.append(against_area(new.area_m2) if new.area_m2 is not None else None)
    texts = ((new.name, "the name"), (new.job, "the job"), (new.owner, "the owner"))
    found += [clean_name(text, what) for text, what in texts if text]
    found.append(fit_tag(act, new.tag) if new.tag else None)
    yield from (each for each in found if isinstance(each, Refusal))


def add_part(act: Transaction, new: NewPart) -> tuple[str, str]:
    """Make the rows of a part that ``faults_of`` has nothing against; its tag, and words for it."""
    plan, kind = routes_of(act.session)[new.route], shapes_of(act.session)[new.shape]
    row = PartRow(
        tag=_clean(new.tag) or next_tag(act),
        name=_clean(new.name) or kind.name,
        job=_clean(new.job),
        owner=_clean(new.owner),
        count=new.count,
        substrate=plan.substrate,
        shape=kind.key,
        route=plan.key,
        stand=new.stand,
        last_stand=new.stand,
        area_m2=new.area_m2,
    )
    act.session.add(row)
    act.session.flush()
    add_steps(act, row, plan, kind)
    lot = f", {row.count} pieces" if row.count > 1 else ""
    area = f" of {format_number(row.area_m2)} m2 each" if row.area_m2 is not None else ""
    where = f"placed on stand {row.stand}" if row.stand is not None else "taken in, on no stand yet"
    return row.tag, f"tag {row.tag} {row.name}{lot}{area} {where}: {plan.name}"


def _clean(text: str) -> str:
    """Give a text that was checked, without stray spaces; an empty one stays so."""
    clean = clean_name(text, "it") if text else ""
    assert isinstance(clean, str)
    return clean


def add_steps(act: Transaction, row: PartRow, plan: Route, shape: Shape) -> None:
    """Give the part its own copy of the route: a later change of the route leaves it alone."""
    for number, step in enumerate(plan.steps, start=1):
        act.session.add(new_step(row, number, step, mark_names(step, shape)))


def mark_names(step: Step, shape: Shape | None) -> tuple[str, ...]:
    """Name the zones of a wash, or the faces of what is ticked off face by face."""
    if shape is None:
        return ()
    return shape.zones if step.kind == "dwell" else shape.faces if step.tick else ()


def move(shop: Shop, target: Target, by: str, *, to: int, swap: bool = False) -> Outcome | Refusal:
    """Put a part on another stand. No clock changes: paint dries wherever it stands.

    One that had left the bench is back with its route, its record and its tag.
    """
    with shop.act("move", by) as act:
        row = act.row(target)
        if isinstance(row, Refusal):
            return row
        if row.merged_into:
            other_lot = f"move tag {row.merged_into}, or split pieces off it"
            return Refusal(f"tag {row.tag} was put with tag {row.merged_into}", "", other_lot)
        stand = act.stand(to)
        if isinstance(stand, Refusal):
            return stand
        if row.stand == to:
            return Refusal(f"tag {row.tag} is on stand {to} already")
        other = bench_rows.part_on(act.session, to)
        if other is not None and not swap:
            return Refusal(
                f"stand {to} is occupied",
                f"tag {other.tag} {other.name}",
                "choose another, or swap the two",
            )
        if other is not None and row.stand is None:
            return Refusal(
                "nothing to swap with",
                f"tag {row.tag} is on no stand",
                "take the other one off first",
            )
        if other is not None and (conflict := act.unseen(other)):
            return conflict
        return _settle(act, row, other, to)


def _settle(act: Transaction, row: PartRow, other: PartRow | None, to: int) -> Outcome | Refusal:
    old_stand, came_back = row.stand, row.away
    row.stand = None
    act.session.flush()
    if other is not None:
        other.stand = other.last_stand = None
        act.session.flush()
        other.stand = other.last_stand = old_stand
    row.stand = row.last_stand = to
    row.away, row.left_at = False, None
    swap = f", tag {other.tag} {other.name} to stand {old_stand}" if other is not None else ""
    came = f"from stand {old_stand} " if old_stand is not None else ""
    moved = "put back on" if came_back else f"moved {came}to"
    return act.done(row.tag, f"tag {row.tag} {row.name} {moved} stand {to}{swap}")


def take_off(
    shop: Shop, target: Target, by: str, *, override: Override | None = None
) -> Outcome | Refusal:
    """Take a part off its stand. CURED, it leaves the bench; else its clocks run on.

    Nothing leaves with a bung in it or a bare contact point, unless ``override`` has the reason.
    """
    with shop.act("take off", by) as act:
        row = act.row(target)
        if isinstance(row, Refusal):
            return row
        if row.stand is None:
            last_place = f"last on stand {row.last_stand}" if row.last_stand else ""
            return Refusal(f"tag {row.tag} is on no stand", last_place)
        part = act.part(row)
        is_finished = part.current() is None
        left_on_it = _points_left_on(part) if is_finished else []
        overridden_rules = overrides_of(act, left_on_it, override, ())
        if isinstance(overridden_rules, Refusal):
            return overridden_rules
        old_stand, row.stand = row.stand, None
        row.away, row.left_at = is_finished, act.now if is_finished else None
        row.taken_by = [] if is_finished else row.taken_by
        if not row.away:
            act.notes.append("its clocks run on; it stays in the list until it has a stand again")
        taken_off = f"tag {row.tag} {row.name} taken off stand {old_stand}"
        return act.done(row.tag, with_overrides(taken_off, overridden_rules))


def _points_left_on(part: Part) -> list[Refusal]:
    """The rule against a part that leaves with bungs or bare contact points on it."""
    points = points_left(part)
    if not points:
        return []
    remedy = "count them out or touch them up, or say why it goes so"
    return [LEFT_ON_PART.refuses(f"tag {part.tag} does not leave yet", points, remedy)]


def not_empty(act: Transaction, number: int) -> Refusal | None:
    """Say why nothing new can stand on a stand: it is not there, or something is on it."""
    stand = act.stand(number)
    if isinstance(stand, Refusal):
        return stand
    on_it = bench_rows.part_on(act.session, number)
    if on_it is not None:
        return Refusal(
            f"stand {number} is occupied", f"tag {on_it.tag} {on_it.name}", "choose an empty one"
        )
    return None


def fit_tag(act: Transaction, tag: str, of: PartRow | None = None) -> str | Refusal:
    """Check a tag: nothing else bears it. Stray spaces go. of: the part that is to bear it."""
    clean_tag = clean_name(tag, "the tag")
    if isinstance(clean_tag, Refusal):
        return clean_tag
    if len(clean_tag) > MOST_TAG:
        return Refusal("the tag is too long", f"{len(clean_tag)} characters", f"at most {MOST_TAG}")
    holder = bench_rows.part_tagged(act.session, clean_tag)
    if holder is not None and holder is not of:
        remedy = "use a free tag"
        if holder.away and not holder.merged_into:
            remedy = "the same part is put back with move; another one takes a free tag"
        read = f"{holder.name}, {_whereabouts(act, holder)}"
        return Refusal(f"tag {clean_tag} is taken", read, remedy)
    return clean_tag


def _whereabouts(act: Transaction, row: PartRow) -> str:
    """Say where the part with a tag is, or since when it is not here."""
    if row.stand is not None:
        return f"on stand {row.stand}"
    if row.merged_into:
        return f"put with tag {row.merged_into}"
    if row.left_at is not None:
        return f"left the bench {row.left_at.astimezone(act.local_now.tzinfo):%d %b %Y}"
    return "not on a stand"


def next_tag(act: Transaction) -> str:
    """Give the number after the highest tag. A tag of nines only is passed over."""
    numbers = [int(tag) for tag in bench_rows.tags(act.session) if tag.isdecimal()]
    return str(max((n for n in numbers if len(str(n + 1)) <= MOST_TAG), default=0) + 1)

"""Mixing: each part by its role, the fill lines of the cup, and when the pot is to be binned."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len

from bench.process.hazards import finish_words
from bench.process.mixing import Known, Pouring, on_the_lines, pouring, too_small_to_measure
from bench.process.overriding import Override
from bench.process.part import Part
from bench.process.pots import pot_clock
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.shopunits import quantity
from bench.process.spoken import clock_words, span_words
from bench.process.stockwords import age_words, left_words
from bench.process.tins import Plan, batch_words, plan_notes
from bench.screens.ahead import Kept, mix_lines
from bench.screens.ask import Asked, Choose, Numbers, Sure
from bench.screens.base import BenchScreen
from bench.screens.cautions import masks_words, mix_rows
from bench.screens.keys import KeyWord, offered
from bench.screens.overriding import over_rules
from bench.shop import pots
from bench.shop.acting import Done, Shop
from bench.shop.ahead import MixAhead, ahead_of_mix
from bench.shop.stocked import plan_for, tins
from bench.trade.ageing import is_guess
from bench.widgets.cup import Level, drawn_cup, lines_to_pour
from bench.widgets.lines import Line, Piece, fit, line, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

ENOUGH_ML = 300.0
"""Offered when somebody presses Enter on an empty line: a cup, not a guess of the need."""

POURS_WIDE = 42

LEAST_TOLD = 2
"""Rows below what could hurt, for the mix itself, or the block is turned away with its pages."""


async def mix_flow(bench: Paintbench, part: Part | None) -> None:
    """Choose product and what is known; then the mix screen, whose Enter starts the pot clock."""
    product = await _product(bench, part)
    if product is None:
        return
    if product.ratio is None:
        told = [f"{product.name} starts to age the moment it is activated."]
        if await bench.push_screen_wait(Sure(f"Activate {product.name} now?", told)):
            await _mixed(bench, lambda shop, by, why: pots.mix(shop, product.key, by, override=why))
        return
    known = await what_is_known(bench, product)
    if known is not None:
        await bench.push_screen_wait(MixScreen(product, known))


async def _product(bench: Paintbench, part: Part | None) -> Product | None:
    """The product of the part's next coat first, then all the others that are mixed."""
    mixed = [p for p in bench.view.products.values() if p.ratio is not None or p.keeps_a_pot_clock]
    if part is not None:
        ahead = [r.step.product for r in part.steps if r.status in ("todo", "in hand")]
        mixed.sort(key=lambda p: ahead.index(p.key) if p.key in ahead else len(ahead))
    which = await bench.push_screen_wait(Choose("Mix: what?", [_offered(p) for p in mixed]))
    return None if which is None else mixed[which]


async def _mixed(
    bench: Paintbench, mix: Callable[[Shop, str, Override | None], Done | Refusal]
) -> Done | Refusal:
    """Mix; where only a tin out of date is there, ask for the reason and have it signed."""
    answer = bench.do(lambda shop, by: mix(shop, by, None))
    return await over_rules(bench, "Mix it", answer, mix) or answer


def _offered(product: Product) -> str:
    if product.ratio is None:
        return f"{product.name} (activate)"
    shares = ":".join(f"{share.parts:g}" for share in product.ratio.shares)
    return f"{product.name}  {shares} by {product.ratio.by}"


async def what_is_known(bench: Paintbench, product: Product) -> Known | None:
    """How much is needed, left, or in the cup: the one thing a painter knows before mixing."""
    assert product.ratio is not None
    roles = [share.role for share in product.ratio.shares]
    title = f"Mix {product.name}"
    choices = [
        "how much is needed",
        "how much is left of each part",
        f"how much {roles[0]} is in the cup already",
    ]
    which = await bench.push_screen_wait(Choose(f"{title}: what is known?", choices))
    asked = {
        0: [Asked("needed, mixed", "ml", ENOUGH_ML)],
        1: [Asked(f"{role} left", "ml") for role in roles],
        2: [Asked(f"{roles[0]} in the cup", "ml")],
    }
    if which is None:
        return None
    numbers = await bench.push_screen_wait(Numbers(title, asked[which]))
    if numbers is None:
        return None
    if which == 0:
        return Known(need_ml=numbers[0])
    if which == 1:
        found = zip(roles, numbers, strict=True)
        return Known(left_ml={role: ml for role, ml in found if ml is not None})
    return Known(poured=(roles[0], numbers[0] or 0.0))


def _in_rows(text: str, width: int) -> list[str]:
    """What fits as it is, else broken at spaces."""
    return [text] if cell_len(text) <= width else wrapped([text], width)


class MixScreen(BenchScreen[None]):
    """The cup: its lines, and new lines when somebody poured past one."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("enter",), "Enter", "hardener is in", "start"),
        KeyWord(("9",), "9", "rest", "turn"),
        KeyWord(("*",), "*", "lines", "to_the_lines"),
        KeyWord(tuple("1234"), "1-4", "too much", "choose"),
        KeyWord(("+",), "+", "more", "more"),
        KeyWord(("-",), "-", "less", "less"),
        KeyWord((".",), ".", "tins", "other_tins"),
        KeyWord(("0", "/"), "0", "back", "leave"),
    )

    def __init__(self, product: Product, known: Known) -> None:
        super().__init__()
        self.product, self.known = product, known
        self.thinner_pct = product.thinner.least_pct if product.thinner else None
        self.chosen: int | None = None
        self.past: tuple[str, float] | None = None
        self.named: dict[str, int] = {}
        self.page, self.pages = 0, 1
        self._planned: tuple[object, Plan] = (None, Plan())
        self._ahead: Kept[MixAhead] = Kept(lambda: ahead_of_mix(self.bench.shop, product.key))

    @property
    def pouring(self) -> Pouring | Refusal:
        """What goes into the cup, with the pour too many if there was one."""
        house = self.bench.view.house
        return pouring(self.product, self.known, self.thinner_pct, self.past, house.cup_ml)

    @property
    def planned(self) -> int:
        """How many pours were meant: what is to be added for one too many is not among them."""
        cup_ml = self.bench.view.house.cup_ml
        found = pouring(self.product, self.known, self.thinner_pct, None, cup_ml)
        return len(found.pours) if isinstance(found, Pouring) else 0

    def draw(self, width: int, height: int) -> list[Line]:
        """Pours and cup side by side, then what could hurt, total, thinner and pot life."""
        title, masks = f" Mix {self.product.name} ", masks_words(self.bench)
        room = max(width - cell_len(title), 0) if masks else 0
        wide = min(cell_len(masks) + 2, room)
        masked = Piece(fit(f" {masks}", wide), "ruined")
        lines: list[Line] = [(Piece(fit(title, width - wide), "head"), masked)]
        found = self.pouring
        if isinstance(found, Refusal):
            lines += [
                line(f"   {text}", width, "refused") for text in wrapped([str(found)], width - 6)
            ]
        else:
            lines += self._cup(found, width)
            room = max(height - 2 - len(lines), 1)
            hurts = mix_rows(self.product, width - 2)
            told = self._told(found, width) + [(text, "") for text in self._care(width)]
            below = [(row, style) for text, style in told for row in _in_rows(text, width - 2)]
            # On every page; where there is too little room for that, first of all.
            on_each = hurts if len(hurts) + LEAST_TOLD <= room else []
            below = below if on_each else [*hurts, *below]
            room -= len(on_each)
            self.pages = -(-len(below) // room)
            self.page %= self.pages
            shown = [*on_each, *below[self.page * room :][:room]]
            lines += [line(f" {text}", width, style) for text, style in shown]
        lines += [line("", width)] * (height - 2 - len(lines))
        said = self.said_line(width) if self.bench.said or not self.past else self._past(width)
        return [*lines[: height - 2], said, self.keys_line(width)]

    def _past(self, width: int) -> Line:
        """The pour too many, where answers stand: nothing is to be said of it on a later page."""
        role, ml = self.past or ("", 0.0)
        return line(f" {role} is {self._volume(ml)} past its line: new lines", width, "bold")

    def _cup(self, found: Pouring, width: int) -> list[Line]:
        levels = [
            Level(pour.role, pour.ml, pour.fill_to_ml, pour.role in found.in_cup)
            for pour in found.pours
        ]
        ascii_only, units = self.bench.ascii_only, self.bench.view.house.units
        left = lines_to_pour(levels, self.chosen, POURS_WIDE, ascii_only=ascii_only, units=units)
        right = drawn_cup(levels, width - POURS_WIDE, max(len(left), 8), units)
        left += [Piece(" " * POURS_WIDE)] * (len(right) - len(left))
        return [(a, b) for a, b in zip(left, right, strict=True)]

    def _told(self, found: Pouring, width: int) -> list[tuple[str, str]]:
        told = self._tins_against(found, width)
        step_ml = self.bench.view.house.cup_step_ml
        if warning := too_small_to_measure(self.product, found.total_ml, step_ml):
            told += [(text, "urgent") for text in wrapped([warning], width - 2)]
        told.append((f"in all {self._volume(found.total_ml)}{self._thinner_words()}", ""))
        if found.over_cup_ml > 0:
            over, cup = map(self._volume, (found.over_cup_ml, self.bench.view.house.cup_ml))
            words = f"{over} more than the {cup} cup: a bigger cup"
            told.append((f"NO: {words}, or two pours", "refused"))
        now = self.bench.now()
        mixed, around = [(now, found.total_ml)], self.bench.view.around
        use_from, ends, basis = pot_clock(self.product, mixed, around)
        if ends is not None:
            guess = is_guess(basis) or self.product.source == "placeholder"
            rest_s = (use_from - now).total_seconds()
            rest = f", rest {span_words(rest_s)} first" if rest_s else ""
            told.append(
                (f"started now: BIN BY {clock_words(ends, now)}{'?' * guess}{rest}", "bold")
            )
        told += self._tins_told(found, width)
        told += [(text, "bold") for text in mix_lines(self._ahead.of(self.bench), width - 2)]
        return told

    def plan(self, found: Pouring) -> Plan:
        """Which tins it is poured from: those the painter named, else those whose turn it is."""
        amounts = found.by_role()
        asked = (self.bench.view, tuple(amounts.items()), tuple(self.named.values()))
        if self._planned[0] != asked:
            key, named = self.product.key, list(self.named.values())
            plan = plan_for(self.bench.shop, key, amounts, named)
            self._planned = asked, Plan() if isinstance(plan, Refusal) else plan
        return self._planned[1]

    def _tins_told(self, found: Pouring, width: int) -> list[tuple[str, str]]:
        """From which tins."""
        return [(text, "") for text in wrapped(plan_notes(self.plan(found)), width - 2)]

    def _tins_against(self, found: Pouring, width: int) -> list[tuple[str, str]]:
        """What there is against those tins: first of what is said of the mix."""
        found_against = self.plan(found).against(self._now)
        against = [f"NO: {refused.rule} ({refused.read})" for _, refused in found_against]
        return [(text, "refused") for text in wrapped(against, width - 2)]

    @property
    def _now(self) -> datetime:
        return self.bench.now()

    def _volume(self, ml: float) -> str:
        return quantity(ml, "ml", self.bench.view.house.units, ".0f")

    def _thinner_words(self) -> str:
        allowed = self.product.thinner
        if allowed is None or self.thinner_pct is None:
            return ""
        of = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}[allowed.of]
        return (
            f", thinner {self.thinner_pct:g} % of {of} "
            f"({allowed.least_pct:g} to {allowed.most_pct:g}: + -)"
        )

    def _care(self, width: int) -> list[str]:
        product = self.product
        told = wrapped(finish_words(product.cautions), width - 2, "! ")
        if product.source == "placeholder":
            told += wrapped(["placeholder figures: the tin's own sheet decides"], width - 2, "? ")
        return told

    # -- keys ------------------------------------------------------------------

    def keys_now(self) -> Sequence[KeyWord]:
        """A digit for each pour; more and less only where there is something to change."""
        found = self.pouring
        if isinstance(found, Refusal):
            return [key for key in self.KEYS if key.does == "leave"]
        allowed, thinner_pct = self.product.thinner, self.thinner_pct
        if self.chosen is not None:
            idle = {"less"} if self.past is None else set()
        elif allowed is None or thinner_pct is None:
            idle = {"more", "less"}
        else:
            idle = {"more"} if thinner_pct >= allowed.most_pct else set()
            idle |= {"less"} if thinner_pct <= allowed.least_pct else set()
        idle |= {"turn"} if self.pages == 1 else set()
        start, *rest = offered(self.KEYS, idle, choose=self.planned)
        return [replace(start, word=self._is_in()), *rest]

    def _is_in(self) -> str:
        """What starts the pot clock: hardener or activator, whichever the product has."""
        roles = [share.role for share in self.product.ratio.shares] if self.product.ratio else []
        found = next((role for role in roles if role in ("hardener", "activator")), "")
        return f"{found} is in" if found else "it is mixed"

    def turn(self) -> None:
        """The rest of what stands below the cup."""
        self.page += 1

    def choose(self, digit: str) -> None:
        """The part that was poured past its line: + says by how many of the cup's graduations."""
        if int(digit) <= self.planned:
            place = int(digit) - 1
            self.chosen = None if self.chosen == place else place
            self.past = None

    def more(self) -> None:
        """One graduation more of the chosen part; with none chosen, one percent more thinner."""
        self._change(1.0)

    def less(self) -> None:
        """One less."""
        self._change(-1.0)

    def _change(self, by: float) -> None:
        found = self.pouring
        if self.chosen is not None and isinstance(found, Pouring):
            role = found.pours[self.chosen].role
            past_ml = (self.past[1] if self.past else 0.0) + by * self.bench.view.house.cup_step_ml
            self.past = (role, past_ml) if past_ml > 0 else None
        elif self.product.thinner is not None and self.thinner_pct is not None:
            allowed = self.product.thinner
            wanted = self.thinner_pct + by
            self.thinner_pct = min(max(wanted, allowed.least_pct), allowed.most_pct)

    def to_the_lines(self) -> None:
        """The next mix up whose every part stands on a line of the cup."""
        rounded = on_the_lines(
            self.product, self.known, self.thinner_pct, self.bench.view.house.cup_step_ml
        )
        if isinstance(rounded, Refusal):
            self.tell(rounded)
            return
        before = self.pouring
        self.known, self.past, self.chosen = rounded, None, None
        if self.pouring == before:
            self.tell(Done("every part stands on a line of the cup already"))

    def start(self) -> None:
        """Hardener has met base: start the clock, keep the mix as it was really poured."""
        found = self.pouring
        if isinstance(found, Pouring):
            self.ask(self._start(Known(as_poured=found.by_role())))

    async def _start(self, known: Known) -> None:
        key, named = self.product.key, tuple(self.named.values())

        def mix(shop: Shop, by: str, why: Override | None) -> Done | Refusal:
            return pots.mix(shop, key, by, known=known, tins=named, override=why)

        if isinstance(await _mixed(self.bench, mix), Done):
            self.dismiss(None)

    def other_tins(self) -> None:
        """Take another tin than the one whose turn it is."""
        found = self.pouring
        if isinstance(found, Pouring):
            self.ask(self._other_tins([role for role, _ in self.plan(found).taken]))

    async def _other_tins(self, roles: Sequence[str]) -> None:
        bench, now = self.bench, self._now
        thinners = {p.key for p in bench.view.products.values() if p.kind == "thinner"}
        there = [
            (role, tin)
            for role in dict.fromkeys(roles)
            for tin in tins(bench.shop).tins
            if (tin.product, tin.role) == (self.product.key, role)
            or (role == "thinner" and tin.product in thinners)
        ]
        if not there:
            bench.tell(Refusal("no tin of it is listed", "", "mixing goes on without"))
            return
        units = bench.view.house.units
        names = [
            f"{role} {batch_words(tin)}, {age_words(tin, now)}, {left_words(tin, units)}"
            for role, tin in there
        ]
        which = await bench.push_screen_wait(Choose("Pour from which tin?", names))
        if which is not None:
            self.named[there[which][0]] = there[which][1].number

    def leave(self, _: str) -> None:
        """Back without mixing."""
        self.dismiss(None)

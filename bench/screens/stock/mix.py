"""Mixing: each part by its role, the fill lines of the cup, and when the pot must be binned."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from rich.cells import cell_len

from bench.process.clocks.pots import pot_if_mixed, why_shorter
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.safety.hazards import finish_words, hazards_of_mix, wear_for
from bench.process.sheets.product import Product
from bench.process.sheets.washes import is_diluted
from bench.process.stock.cup import Cup, Pouring, too_small_to_measure, volume
from bench.process.stock.mixing import MixStart, batches_of, mix_name, ratio_doubt
from bench.process.stock.tins import Tin, TinPlan, age_words, batch_words, left_words, plan_notes
from bench.process.wording.time_text import format_duration
from bench.screens.bench.cautions import masks_words, mix_rows
from bench.screens.core.keys import Flow, KeyWord, active_keys
from bench.screens.core.pages import PagedScreen, PageRow, chunks
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.overrides import over_rules
from bench.screens.dialogs.questions import choose, is_sure, show
from bench.screens.setup.lookahead import Memo, mix_lines
from bench.screens.stock.mix_questions import (
    ENOUGH_ML,
    likeliest_mix,
    offered_as,
    placeholder_words,
    products_to_mix,
    ratio_is_read,
    wash_is_made_ready,
    what_is_known,
)
from bench.shop.core.transaction import Outcome
from bench.shop.queries.lookahead import MixAhead, ahead_of_mix
from bench.shop.queries.menu_numbers import product_numbers
from bench.shop.stock import pots
from bench.shop.stock.tin_list import plan_for, tins
from bench.widgets.cup import LARGE, SMALL, drawn_cup, lines_to_pour
from bench.widgets.lines import Line, Piece, fit, line, text_lines, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

LARGE_FROM = (110, 38)
"""A terminal of so many cells and lines has room for figures of five rows."""

LEAST_TOLD = 2
"""Rows below what could hurt, for the mix itself, or the block is turned away with its pages."""


async def mix_flow(bench: Paintbench, part: Part | None) -> None:
    """Choose product and what is known; then the mix screen, whose Enter starts the pot clock."""
    names = {product.key: offered_as(bench, product) for product in products_to_mix(bench)}
    numbers = product_numbers(bench.shop)
    key = await choose_key(bench, "Mix: what?", names, numbers, likeliest_mix(bench, part, names))
    if key is None:
        return
    product = bench.view.products[key]
    if is_diluted(product):
        await wash_is_made_ready(bench, product)
        return
    if product.ratio is None:
        notes = [f"{product.name} starts to age the moment it is activated."]
        if await is_sure(bench, f"Activate {product.name} now?", notes):
            await over_rules(
                bench,
                "Mix it",
                lambda shop, by, why: pots.mix(shop, product.key, by, override=why),
            )
        return
    facts = await what_is_known(bench, product)
    if facts is not None and await ratio_is_read(bench, product, facts):
        await show(bench, MixScreen(product, facts))


def _in_rows(text: str, width: int) -> list[str]:
    """What fits as it is, else broken at spaces."""
    return [text] if cell_len(text) <= width else wrapped([text], width)


class MixScreen(PagedScreen[None]):
    """The cup: its lines, and new lines when somebody poured past one."""

    HELP_KEY = KeyWord(("8", "?"), "8", "help")

    def __init__(self, product: Product, facts: MixStart) -> None:
        super().__init__()
        self.product, self.known = product, facts
        self.chosen = ""
        self.named: dict[str, int] = {}
        self._cup: Cup | None = None
        self._planned: tuple[object, TinPlan] = (None, TinPlan())
        self._ahead: Memo[MixAhead] = Memo(lambda: ahead_of_mix(self.bench.shop, product.key))

    @property
    def cup(self) -> Cup:
        """The cup of the shop, with what is wanted in it."""
        if self._cup is None:
            house, thinner = self.bench.view.house, self.product.thinner
            pct = thinner.least_pct if thinner else None
            self._cup = Cup(self.product, self.known, house.cup_ml, house.cup_step_ml, pct)
        return self._cup

    @property
    def pouring(self) -> Pouring | Refusal:
        """What goes into the cup, and what of it is in."""
        return self.cup.pouring

    @property
    def _now(self) -> datetime:
        return self.bench.now()

    # -- the picture -----------------------------------------------------------

    def body(self, width: int, height: int) -> list[Line]:
        """Pours and cup side by side, then what could hurt, total, thinner and pot life."""
        pouring = self.pouring
        if isinstance(pouring, Refusal):
            title = self._title(mix_name(self.product, self.product.doubt), width)
            return title + text_lines([str(pouring)], width, "refused")
        doubt = self.doubt_of(pouring)
        lines = self._title(mix_name(self.product, doubt), width) + self._warned(doubt, width)
        lines += [self.air_line(width)] if self._large else []
        lines += self._pours(pouring, doubt, width)
        room = max(height - len(lines), 1)
        hurts = mix_rows(self.product, width - 2)
        words = [*self._rows(pouring, doubt, width), *self._care(width)]
        below = [(row, style) for text, style in words for row in _in_rows(text, width - 2)]
        # On every page; where there is too little room for that, first of all.
        on_each = hurts if len(hurts) + LEAST_TOLD <= room else []
        below = below if on_each else [*hurts, *below]
        shown = [*on_each, *self.page_of(chunks(below, room - len(on_each)))]
        return lines + [line(f" {text}", width, style) for text, style in shown]

    def _title(self, name: str, width: int) -> list[Line]:
        """What is mixed, and why masks are on: beside it where there is room."""
        title, masks = f" Mix {name} ", masks_words(self.bench)
        masked = Piece(f" {masks} ", "ruined") if masks else Piece("")
        left = width - cell_len(masked.text)
        if cell_len(title) <= left:
            return [(Piece(fit(title, left), "head"), masked)]
        return [line(title, width, "head"), *text_lines([masks], width, "ruined", indent=1)]

    def _warned(self, doubt: str, width: int) -> list[Line]:
        """Above all figures: the mask that isocyanate asks for, and that figures are no sheet's."""
        worn = wear_for(hazards_of_mix(self.product), self.product.wear)
        mask = f"ISOCYANATE: {worn[0].split(',')[0]}." if self.product.isocyanate else ""
        unread = ["? RATIO NOT FROM YOUR TIN: check it"] if doubt else []
        text = " ".join(filter(None, [mask, *(unread or placeholder_words(self.product))]))
        return text_lines([text], width, "urgent", indent=1) if text else []

    @property
    def _large(self) -> bool:
        return self.size.width >= LARGE_FROM[0] and self.size.height >= LARGE_FROM[1]

    def _pours(self, pouring: Pouring, doubt: str, width: int) -> list[Line]:
        size, units = LARGE if self._large else SMALL, self.bench.view.house.units
        parts = pouring.parts(self.product, doubt)
        ascii_only = self.bench.ascii_only
        left = lines_to_pour(parts, self.chosen, size, ascii_only=ascii_only, units=units)
        doubts = pouring.doubts(self.product, doubt)
        right = drawn_cup(pouring, doubts, width - size.width, max(len(left), 8), units)
        left += [Piece(" " * size.width)] * (len(right) - len(left))
        return [(a, b) for a, b in zip(left, right, strict=True)]

    def foot(self, width: int) -> list[Line]:
        """The last answer, else the pour too many, else the air where it stands nowhere above."""
        if self.bench.said:
            return super().foot(width)
        if words := self.cup.over_words(self.bench.view.house.units):
            return [line(f" {words}", width, "bold")]
        return super().foot(width) if self._large else [self.air_line(width)]

    def doubt_of(self, pouring: Pouring) -> str:
        """The mark of the ratio, as long as nobody read it off the tins that are poured from."""
        read = self.bench.view.tin_ratios.get(self.product.key)
        return ratio_doubt(self.product, read, batches_of(self.plan(pouring)))

    def _rows(self, pouring: Pouring, doubt: str, width: int) -> list[PageRow]:
        """Say what there is against it, its total, its life, its tins, what would come of it."""
        house = self.bench.view.house
        small = too_small_to_measure(self.product, pouring.total_ml, house.cup_step_ml)
        total = f"in all {volume(pouring.total_ml, house.units, doubt)}{self._thinner_words()}"
        return [
            *((f"NO: {text}", "refused") for text in self._against(pouring, doubt)),
            *([(small, "urgent")] if small else []),
            (total, ""),
            *self._pot_rows(pouring),
            *((text, "") for text in plan_notes(self.plan(pouring))),
            *((text, "bold") for text in mix_lines(self._ahead.of(self.bench), width - 2)),
        ]

    def _against(self, pouring: Pouring, doubt: str) -> list[str]:
        """What there is against the cup, the tins, and mixing: first of what is said of it."""
        units, ahead = self.bench.view.house.units, self._ahead.of(self.bench)
        against = [self.cup.too_small_words(doubt, units), self.cup.lacking_words(units)]
        refusals = (refused for _, refused in self.plan(pouring).against(self._now))
        against += [f"{refused.rule} ({refused.read})" for refused in refusals]
        if isinstance(ahead, MixAhead):
            against += [str(refused) for refused in ahead.against]
        return [text for text in against if text]

    def _pot_rows(self, pouring: Pouring) -> list[PageRow]:
        """By when it must be binned if it were mixed now, and why that is sooner than the sheet."""
        view, now, total_ml = self.bench.view, self._now, pouring.total_ml
        pot = pot_if_mixed(self.product, total_ml, view.around, now)
        if pot.end is None:
            return []
        rest_s = (pot.use_from - now).total_seconds()
        rest = (
            f", rest {format_duration(rest_s)}{self.product.doubt_of('induction_s')} first"
            if rest_s
            else ""
        )
        why = why_shorter(self.product, total_ml, view.around.paint_c(now), view.house.units)
        words = (f"mixed now: BIN BY {pot.end.words(now)}{rest}", why)
        return [(", ".join(filter(None, words)), "bold")]

    def plan(self, pouring: Pouring) -> TinPlan:
        """Which tins it is poured from: those the painter named, else those whose turn it is."""
        amounts = pouring.by_role()
        basis = (self.bench.view, tuple(amounts.items()), tuple(self.named.values()))
        if self._planned[0] != basis:
            key, named = self.product.key, list(self.named.values())
            plan = plan_for(self.bench.shop, key, amounts, named)
            self._planned = basis, TinPlan() if isinstance(plan, Refusal) else plan
        return self._planned[1]

    def _thinner_words(self) -> str:
        allowed, pct = self.product.thinner, self.cup.thinner_pct
        if allowed is None or pct is None:
            return ""
        mark = self.product.doubt_of("thinner")
        of = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}[allowed.of]
        return (
            f", thinner {pct:g}{mark} % of {of} "
            f"({allowed.least_pct:g}{mark} to {allowed.most_pct:g}{mark}: + -)"
        )

    def _care(self, width: int) -> list[PageRow]:
        notes = wrapped(finish_words(self.product.cautions), width - 2, "! ")
        return [(text, "") for text in notes]

    # -- keys ------------------------------------------------------------------

    def keys_now(self) -> Sequence[KeyWord]:
        """A digit for each part; more and less only where there is something to change."""
        pouring, cup = self.pouring, self.cup
        if isinstance(pouring, Refusal):
            return [key for key in self.KEYS if key.do is MixScreen.back]
        allowed, pct = self.product.thinner, cup.thinner_pct
        if self.chosen:
            more, less = True, cup.past_ml(self.chosen) > 0
        elif allowed is None or pct is None:
            more, less = False, False
        else:
            more, less = pct < allowed.most_pct, pct > allowed.least_pct
        idle = self.idle()
        idle |= {MixScreen.more} if not more else set()
        idle |= {MixScreen.less} if not less else set()
        count = len(pouring.parts(self.product))
        keys = active_keys(self.KEYS, idle, {MixScreen.choose: count})
        words = {"Enter": self._is_in(), "*": "exact" if cup.on_lines else "lines"}
        return [replace(key, word=words.get(key.shown, key.word)) for key in keys]

    def _is_in(self) -> str:
        """What starts the pot clock: hardener or activator, whichever the product has."""
        roles = [share.role for share in self.product.ratio.shares] if self.product.ratio else []
        role = next((role for role in roles if role in ("hardener", "activator")), "")
        return f"{role} is in" if role else "it is mixed"

    def choose(self, digit: str) -> None:
        """The part that was poured past its line: + says by how many of the cup's graduations."""
        pouring = self.pouring
        if isinstance(pouring, Refusal):
            return
        parts = pouring.parts(self.product)
        if int(digit) <= len(parts):
            role = parts[int(digit) - 1].role
            self.chosen = "" if self.chosen == role else role

    def more(self) -> None:
        """One graduation more of the chosen part; with none chosen, one percent more thinner."""
        self._take(self.cup.more(self.chosen) if self.chosen else self.cup.thinned(1.0))

    def less(self) -> None:
        """Take one off."""
        self._take(self.cup.less(self.chosen) if self.chosen else self.cup.thinned(-1.0))

    def to_the_lines(self) -> None:
        """The next mix up whose every part stands on a line of the cup, or the exact one again."""
        before = self.pouring
        if self._take(self.cup.to_lines()) and self.pouring == before:
            self.tell(Outcome("every part stands on a line of the cup already"))

    def _take(self, cup: Cup | Refusal) -> bool:
        """Go on with a cup, where it can be poured."""
        if isinstance(cup, Refusal):
            return self.tell(cup)
        self._cup, self.bench.said = cup, None
        return True

    async def start(self) -> None:
        """Hardener has met base: start the clock, keep the mix as it was really poured."""
        pouring = self.pouring
        if isinstance(pouring, Refusal):
            return
        facts = MixStart(as_poured=pouring.by_role())
        key, named = self.product.key, tuple(self.named.values())
        if not await ratio_is_read(self.bench, self.product, facts, None, named):
            return
        answer = await over_rules(
            self.bench,
            "Mix it",
            lambda shop, by, why: pots.mix(shop, key, by, known=facts, tins=named, override=why),
        )
        if isinstance(answer, Outcome):
            self.dismiss(None)

    async def other_tins(self) -> None:
        """Take another tin than the one whose turn it is."""
        pouring = self.pouring
        if isinstance(pouring, Refusal):
            return
        there = self._tins_for([role for role, _ in self.plan(pouring).taken])
        if not there:
            self.tell(Refusal("no tin of it is listed", "", "mixing goes on without"))
            return
        now, units = self._now, self.bench.view.house.units
        choices = [
            (
                f"{role} {batch_words(tin)}, {age_words(tin, now)}, {left_words(tin, units)}",
                {role: tin.number},
            )
            for role, tin in there
        ]
        chosen = await choose(self.bench, "Pour from which tin?", choices)
        if chosen is not None:
            self.named.update(chosen)
            self.bench.said = None  # what was said of the tin before it

    def _tins_for(self, roles: Sequence[str]) -> list[tuple[str, Tin]]:
        """Every tin that a role could be poured from, with the role."""
        thinners = {p.key for p in self.bench.view.products.values() if p.kind == "thinner"}
        return [
            (role, tin)
            for role in dict.fromkeys(roles)
            for tin in tins(self.bench.shop).tins
            if (tin.product, tin.role) == (self.product.key, role)
            or (role == "thinner" and tin.product in thinners)
        ]

    # -- ways out --------------------------------------------------------------

    @property
    def would_lose(self) -> bool:
        """Whether somebody poured or typed something that nothing has written down."""
        typed = self.known != MixStart(need_ml=ENOUGH_ML)
        return isinstance(self.pouring, Pouring) and (typed or bool(self.cup.contents))

    def back(self) -> Flow | None:
        """Go one screen back, once it is sure that the mix is thrown away."""
        if self.would_lose:
            return self._throw_away(super().back)
        return super().back()

    def asks_to_go(self, go: Callable[[], object]) -> bool:
        """Ask before everything is closed, instead of whatever question stood over it."""
        if not self.would_lose:
            return False
        self.bench.close_above(self)
        self.ask(self._throw_away(go))
        return True

    async def _throw_away(self, leave: Callable[[], object]) -> None:
        units = self.bench.view.house.units
        each = [f"{volume(ml, units)} {role}" for role, ml in self.cup.contents.items()]
        notes = [f"In the cup: {', '.join(each)}."] if each else []
        if await is_sure(self.bench, "Throw this mix away?", [*notes, "No pot is recorded."]):
            leave()

    KEYS = (
        KeyWord(("enter",), "Enter", "hardener is in", start),
        KeyWord(("9",), "9", "rest", PagedScreen.turn),
        KeyWord(("*",), "*", "lines", to_the_lines),
        KeyWord(tuple("1234"), "1-4", "too much", each=choose),
        KeyWord(("+",), "+", "more", more),
        KeyWord(("-",), "-", "less", less),
        KeyWord((".",), ".", "tins", other_tins),
        KeyWord(("0", "/"), "0", "back", back),
    )

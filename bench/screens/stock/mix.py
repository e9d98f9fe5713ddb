"""Mixing: each part by its role, the fill lines of the cup, and when the pot must be binned."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from rich.cells import cell_len

from bench.process.clocks.pots import pot_if_mixed
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.safety.hazards import finish_words
from bench.process.sheets.product import Product
from bench.process.sheets.washes import BUCKET_L, is_diluted, ready_words, warm_words
from bench.process.stock.mixing import (
    MixStart,
    Pouring,
    batches_of,
    cup_figures,
    mix_for,
    mix_name,
    on_the_lines,
    plan_pours,
    ratio_doubt,
    ratio_figures,
    ratio_with_roles,
    too_small_to_measure,
)
from bench.process.stock.tins import Tin, TinPlan, age_words, batch_words, left_words, plan_notes
from bench.process.wording.display_units import shop_unit
from bench.process.wording.time_text import format_duration, format_number
from bench.screens.bench.cautions import masks_words, mix_rows
from bench.screens.bench.step_details import WHOLE
from bench.screens.core.keys import KeyWord, active_keys
from bench.screens.core.pages import PagedScreen, PageRow, Pages, chunks
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.overrides import over_rules
from bench.screens.dialogs.questions import ask_numbers, choose, is_sure, show
from bench.screens.setup.data_sheets import change_product
from bench.screens.setup.lookahead import Memo, mix_lines
from bench.shop.core.transaction import Outcome
from bench.shop.queries.lookahead import MixAhead, ahead_of_mix
from bench.shop.queries.menu_numbers import product_numbers
from bench.shop.stock import pots
from bench.shop.stock.tin_list import plan_for, tins
from bench.shop.stock.tin_ratio import confirm_ratio
from bench.widgets.cup import Level, drawn_cup, lines_to_pour
from bench.widgets.lines import Line, Piece, fit, line, text_lines, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

ENOUGH_ML = 300.0
"""Offered when somebody presses Enter on an empty line: a cup, not a guess of the need."""

POURS_WIDE = 42

LEAST_TOLD = 2
"""Rows below what could hurt, for the mix itself, or the block is turned away with its pages."""

AHEAD = ("todo", "in hand")
"""Steps that a product is still wanted for."""

YES, NO = "yes, it does", "no or not sure: type the tin's figures first, mix nothing"


async def mix_flow(bench: Paintbench, part: Part | None) -> None:
    """Choose product and what is known; then the mix screen, whose Enter starts the pot clock."""
    names = {product.key: _offered(bench, product) for product in _mixed(bench)}
    likeliest = _likeliest(bench, part, names)
    numbers = product_numbers(bench.shop)
    key = await choose_key(bench, "Mix: what?", names, numbers, likeliest)
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


def _mixed(bench: Paintbench) -> list[Product]:
    """All that is mixed, activated or diluted."""
    products = bench.view.products.values()
    return [p for p in products if p.ratio is not None or p.keeps_a_pot_clock or is_diluted(p)]


def _likeliest(bench: Paintbench, part: Part | None, mixed: Collection[str]) -> str | None:
    """The product that is next for the part; without one, for the most urgent stand."""
    tags = [task.tag for task in bench.view.wants(bench.now())]
    placed = [bench.view.find(tag) for tag in dict.fromkeys(tags)]
    parts = [part] if part is not None else [each.part for each in placed if each is not None]
    ahead = (record for each in parts for record in each.steps if record.status in AHEAD)
    return next((r.step.product for r in ahead if r.step.product in mixed), None)


async def wash_is_made_ready(bench: Paintbench, product: Product) -> None:
    """Ask how much is wanted, then say what goes into the bucket. It lives in no pot."""
    question = NumberQuestion("ready wash wanted", "l", BUCKET_L)
    numbers = await ask_numbers(bench, f"Dilute {product.name}", [question])
    if numbers is None:
        return
    ready_l = numbers[0] or 0.0
    try:
        words = ready_words(product, ready_l)
    except ValueError as fault:
        bench.tell(Refusal("the wash cannot be worked out", "", str(fault)))
        return

    def found() -> tuple[str, list[PageRow]]:
        warm = warm_words(product, bench.view.house.units)
        rows = [(text, "bold") for text in words] + mix_rows(product, WHOLE)
        rows += [(warm, "")] if warm else []
        rows.append(("It has no pot life: no pot is recorded.", ""))
        rows += [(text, "") for text in placeholder_words(product)]
        return f"{product.name}: {format_number(ready_l)} l ready to use", rows

    await show(bench, Pages(found))


def _offered(bench: Paintbench, product: Product) -> str:
    if is_diluted(product):
        return f"{product.name} (dilute)"
    if product.ratio is None:
        return f"{product.name} (activate)"
    doubt = ratio_doubt(product, bench.view.tin_ratios.get(product.key))
    return f"{mix_name(product, doubt)} by {product.ratio.by}"


async def ratio_is_read(
    bench: Paintbench,
    product: Product,
    facts: MixStart,
    thinner_pct: float | None = None,
    named: Sequence[int] = (),
) -> bool:
    """Ask what the tin says, as long as nobody typed its data sheet or read it off these tins.

    False where nobody says that the tin has the same: then nothing is mixed. known, thinner_pct,
    named: of the mix, as ``pots.mix`` takes them.
    """
    mix = mix_for(product, facts, thinner_pct)
    if isinstance(mix, Refusal) or product.ratio is None:
        return True
    amounts = {pour.role: pour.ml for pour in mix.pours}
    plan = plan_for(bench.shop, product.key, amounts, named)
    batches = () if isinstance(plan, Refusal) else batches_of(plan)
    if not ratio_doubt(product, bench.view.tin_ratios.get(product.key), batches):
        return True
    title = f"Does your tin say {ratio_with_roles(product.ratio)}?"
    notes = ["The ratio came with the program: nobody read it off your tin."]
    if batches:
        notes.append(f"Poured from: {', '.join(batches)}.")
    answer = await choose(bench, title, {YES: True, NO: False}, notes)
    if answer:
        says = ratio_figures(product.ratio)
        done = bench.do(
            confirm_ratio,
            product.key,
            bench.painter,
            says=says,
            known=facts,
            thinner_pct=thinner_pct,
            tins=named,
        )
        return isinstance(done, Outcome)
    if answer is False:
        await change_product(bench, product.key)
    return False


async def what_is_known(bench: Paintbench, product: Product) -> MixStart | None:
    """How much is needed, left, or in the cup: the one thing a painter knows before mixing."""
    assert product.ratio is not None
    roles = [share.role for share in product.ratio.shares]
    base = roles[0]
    choices: dict[str, tuple[list[NumberQuestion], Callable[[Sequence[float]], MixStart]]] = {
        "how much is needed": (
            [NumberQuestion("needed, mixed", "ml", ENOUGH_ML)],
            lambda ml: MixStart(need_ml=ml[0]),
        ),
        "how much is left of each part": (
            [NumberQuestion(f"{role} left", "ml") for role in roles],
            lambda ml: MixStart(left_ml=dict(zip(roles, ml, strict=True))),
        ),
        f"how much {base} is in the cup already": (
            [NumberQuestion(f"{base} in the cup", "ml")],
            lambda ml: MixStart(poured=(base, ml[0])),
        ),
    }
    title = f"Mix {product.name}"
    chosen = await choose(bench, f"{title}: what is known?", choices)
    if chosen is None:
        return None
    questions, known_by = chosen
    numbers = await ask_numbers(bench, title, questions)
    return None if numbers is None else known_by([number or 0.0 for number in numbers])


def placeholder_words(product: Product) -> list[str]:
    """What is said of figures that nobody read off a sheet."""
    return ["? placeholder figures: the tin's own sheet decides"] if product.doubt else []


def _in_rows(text: str, width: int) -> list[str]:
    """What fits as it is, else broken at spaces."""
    return [text] if cell_len(text) <= width else wrapped([text], width)


class MixScreen(PagedScreen[None]):
    """The cup: its lines, and new lines when somebody poured past one."""

    HELP_KEY = KeyWord(("8", "?"), "8", "help")

    def __init__(self, product: Product, facts: MixStart) -> None:
        super().__init__()
        self.product, self.known = product, facts
        self.thinner_pct = product.thinner.least_pct if product.thinner else None
        self.chosen = ""
        self.past: list[tuple[str, float]] = []
        self.named: dict[str, int] = {}
        self._planned: tuple[object, TinPlan] = (None, TinPlan())
        self._ahead: Memo[MixAhead] = Memo(lambda: ahead_of_mix(self.bench.shop, product.key))

    @property
    def pouring(self) -> Pouring | Refusal:
        """What goes into the cup, with the pour too many if there was one."""
        house = self.bench.view.house
        return plan_pours(self.product, self.known, self.thinner_pct, self.past, house.cup_ml)

    @property
    def planned(self) -> int:
        """How many pours were meant: what must be added for one too many is not among them."""
        cup_ml = self.bench.view.house.cup_ml
        pour = plan_pours(self.product, self.known, self.thinner_pct, (), cup_ml)
        return len(pour.pours) if isinstance(pour, Pouring) else 0

    def body(self, width: int, height: int) -> list[Line]:
        """Pours and cup side by side, then what could hurt, total, thinner and pot life."""
        pour = self.pouring
        doubt = self.product.doubt if isinstance(pour, Refusal) else self.doubt_of(pour)
        lines = self._title(mix_name(self.product, doubt), width)
        if isinstance(pour, Refusal):
            lines += text_lines([str(pour)], width, "refused")
        else:
            lines += self._cup(pour, width)
            room = max(height - len(lines), 1)
            hurts = mix_rows(self.product, width - 2)
            words = self._pour_rows(pour, width) + [(text, "") for text in self._care(width)]
            below = [(row, style) for text, style in words for row in _in_rows(text, width - 2)]
            # On every page; where there is too little room for that, first of all.
            on_each = hurts if len(hurts) + LEAST_TOLD <= room else []
            below = below if on_each else [*hurts, *below]
            shown = [*on_each, *self.page_of(chunks(below, room - len(on_each)))]
            lines += [line(f" {text}", width, style) for text, style in shown]
        return lines

    def _title(self, name: str, width: int) -> list[Line]:
        """What is mixed, and why masks are on: beside it where there is room."""
        title, masks = f" Mix {name} ", masks_words(self.bench)
        masked = Piece(f" {masks} ", "ruined") if masks else Piece("")
        left = width - cell_len(masked.text)
        if cell_len(title) <= left:
            return [(Piece(fit(title, left), "head"), masked)]
        return [line(title, width, "head"), *text_lines([masks], width, "ruined", indent=1)]

    def foot(self, width: int) -> list[Line]:
        """The last answer, else the pour too many: nothing is said of it on a later page."""
        if self.bench.said or not self.past:
            return super().foot(width)
        text = "; ".join(f"{role} is {self._volume(ml)} past its line" for role, ml in self.past)
        return [line(f" {text}: new lines", width, "bold")]

    def _cup(self, found: Pouring, width: int) -> list[Line]:
        doubts = found.doubts(self.product, self.doubt_of(found))
        levels = [
            Level(
                *(pour.role, pour.ml, pour.fill_to_ml, place < found.in_cup),
                more=found.is_more(place),
                doubt=doubt,
            )
            for place, (pour, doubt) in enumerate(zip(found.pours, doubts, strict=True))
        ]
        ascii_only, units = self.bench.ascii_only, self.bench.view.house.units
        chosen = next((n for n, pour in enumerate(found.pours) if pour.role == self.chosen), None)
        left = lines_to_pour(levels, chosen, POURS_WIDE, ascii_only=ascii_only, units=units)
        right = drawn_cup(levels, width - POURS_WIDE, max(len(left), 8), units)
        left += [Piece(" " * POURS_WIDE)] * (len(right) - len(left))
        return [(a, b) for a, b in zip(left, right, strict=True)]

    def doubt_of(self, pour: Pouring) -> str:
        """The mark of the ratio, as long as nobody read it off the tins that are poured from."""
        read = self.bench.view.tin_ratios.get(self.product.key)
        return ratio_doubt(self.product, read, batches_of(self.plan(pour)))

    def _pour_rows(self, pour: Pouring, width: int) -> list[tuple[str, str]]:
        doubt = self.doubt_of(pour)
        rows = self._against(pour, width)
        step_ml = self.bench.view.house.cup_step_ml
        if warning := too_small_to_measure(self.product, pour.total_ml, step_ml):
            rows += [(text, "urgent") for text in wrapped([warning], width - 2)]
        rows.append((f"in all {self._volume(pour.total_ml, doubt)}{self._thinner_words()}", ""))
        if pour.over_cup_ml > 0:
            over = self._volume(pour.over_cup_ml, doubt)
            cup = self._volume(self.bench.view.house.cup_ml)
            words = f"{over} more than the {cup} cup: a bigger cup"
            rows.append((f"NO: {words}, or two pours", "refused"))
        now = self.bench.now()
        pot = pot_if_mixed(self.product, pour.total_ml, self.bench.view.around, now)
        if pot.end is not None:
            rest_s = (pot.use_from - now).total_seconds()
            rest = f", rest {format_duration(rest_s)}{self.product.doubt} first" if rest_s else ""
            rows.append((f"started now: BIN BY {pot.end.words(now)}{rest}", "bold"))
        rows += self._tin_rows(pour, width)
        rows += [(text, "bold") for text in mix_lines(self._ahead.of(self.bench), width - 2)]
        return rows

    def plan(self, pour: Pouring) -> TinPlan:
        """Which tins it is poured from: those the painter named, else those whose turn it is."""
        amounts = pour.by_role()
        basis = (self.bench.view, tuple(amounts.items()), tuple(self.named.values()))
        if self._planned[0] != basis:
            key, named = self.product.key, list(self.named.values())
            plan = plan_for(self.bench.shop, key, amounts, named)
            self._planned = basis, TinPlan() if isinstance(plan, Refusal) else plan
        return self._planned[1]

    def _tin_rows(self, pour: Pouring, width: int) -> list[tuple[str, str]]:
        """Say from which tins it is poured."""
        return [(text, "") for text in wrapped(plan_notes(self.plan(pour)), width - 2)]

    def _against(self, pour: Pouring, width: int) -> list[tuple[str, str]]:
        """What there is against those tins, and against mixing: first of what is said of it."""
        found_against = self.plan(pour).against(self._now)
        against = [f"NO: {refused.rule} ({refused.read})" for _, refused in found_against]
        ahead = self._ahead.of(self.bench)
        if isinstance(ahead, MixAhead):
            against += [f"NO: {refused}" for refused in ahead.against]
        return [(text, "refused") for text in wrapped(against, width - 2)]

    @property
    def _now(self) -> datetime:
        return self.bench.now()

    def _volume(self, ml: float, doubt: str = "") -> str:
        units = self.bench.view.house.units
        return f"{cup_figures(ml, units)}{doubt} {shop_unit('ml', units)}"

    def _thinner_words(self) -> str:
        allowed = self.product.thinner
        if allowed is None or self.thinner_pct is None:
            return ""
        mark = self.product.doubt
        of = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}[allowed.of]
        return (
            f", thinner {self.thinner_pct:g}{mark} % of {of} "
            f"({allowed.least_pct:g}{mark} to {allowed.most_pct:g}{mark}: + -)"
        )

    def _care(self, width: int) -> list[str]:
        product = self.product
        notes = wrapped(finish_words(product.cautions), width - 2, "! ")
        notes += wrapped(placeholder_words(product), width - 2)
        return notes

    # -- keys ------------------------------------------------------------------

    def keys_now(self) -> Sequence[KeyWord]:
        """A digit for each pour; more and less only where there is something to change."""
        pour = self.pouring
        if isinstance(pour, Refusal):
            return [key for key in self.KEYS if key.do is MixScreen.back]
        allowed, thinner_pct = self.product.thinner, self.thinner_pct
        if self.chosen:
            more, less = True, self._past_ml() > 0
        elif allowed is None or thinner_pct is None:
            more, less = False, False
        else:
            more, less = thinner_pct < allowed.most_pct, thinner_pct > allowed.least_pct
        idle = self.idle()
        if not more:
            idle.add(MixScreen.more)
        if not less:
            idle.add(MixScreen.less)
        if pour.in_cup:
            idle.add(MixScreen.to_the_lines)
        start, *rest = active_keys(self.KEYS, idle, {MixScreen.choose: self.planned})
        return [replace(start, word=self._is_in()), *rest]

    def _is_in(self) -> str:
        """What starts the pot clock: hardener or activator, whichever the product has."""
        roles = [share.role for share in self.product.ratio.shares] if self.product.ratio else []
        pour = next((role for role in roles if role in ("hardener", "activator")), "")
        return f"{pour} is in" if pour else "it is mixed"

    def choose(self, digit: str) -> None:
        """The part that was poured past its line: + says by how many of the cup's graduations."""
        pour = self.pouring
        if isinstance(pour, Pouring) and int(digit) <= self.planned:
            role = pour.pours[int(digit) - 1].role
            self.chosen = "" if self.chosen == role else role

    def _past_ml(self) -> float:
        """How far the chosen part is past its line, if it was the last to go past one."""
        role, past_ml = self.past[-1] if self.past else ("", 0.0)
        return past_ml if self.chosen == role else 0.0

    def more(self) -> None:
        """One graduation more of the chosen part; with none chosen, one percent more thinner."""
        self._change(1.0)

    def less(self) -> None:
        """Take one off."""
        self._change(-1.0)

    def _change(self, by: float) -> None:
        pour = self.pouring
        if self.chosen and isinstance(pour, Pouring):
            before_ml = self._past_ml()
            past_ml = before_ml + by * self.bench.view.house.cup_step_ml
            earlier = self.past[:-1] if before_ml else self.past
            self.past = [*earlier, (self.chosen, past_ml)] if past_ml > 0 else earlier
            self.bench.said = None  # the pour too many stands there now
        elif self.product.thinner is not None and self.thinner_pct is not None:
            allowed = self.product.thinner
            wanted = self.thinner_pct + by
            self.thinner_pct = min(max(wanted, allowed.least_pct), allowed.most_pct)

    def to_the_lines(self) -> None:
        """The next mix up whose every part stands on a line of the cup; not once paint is in it."""
        before = self.pouring
        if isinstance(before, Pouring) and before.in_cup:
            self.tell(Refusal("paint is in the cup already", "", "pour to the lines shown"))
            return
        rounded = on_the_lines(
            self.product, self.known, self.thinner_pct, self.bench.view.house.cup_step_ml
        )
        if isinstance(rounded, Refusal):
            self.tell(rounded)
            return
        self.known, self.chosen = rounded, ""
        if self.pouring == before:
            self.tell(Outcome("every part stands on a line of the cup already"))

    async def start(self) -> None:
        """Hardener has met base: start the clock, keep the mix as it was really poured."""
        pour = self.pouring
        if isinstance(pour, Refusal):
            return
        facts = MixStart(as_poured=pour.by_role())
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
        pour = self.pouring
        if isinstance(pour, Refusal):
            return
        there = self._tins_for([role for role, _ in self.plan(pour).taken])
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

    KEYS = (
        KeyWord(("enter",), "Enter", "hardener is in", start),
        KeyWord(("9",), "9", "rest", PagedScreen.turn),
        KeyWord(("*",), "*", "lines", to_the_lines),
        KeyWord(tuple("1234"), "1-4", "too much", each=choose),
        KeyWord(("+",), "+", "more", more),
        KeyWord(("-",), "-", "less", less),
        KeyWord((".",), ".", "tins", other_tins),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )

"""Mixing: each part by its role, the fill lines of the cup, and when the pot is to be binned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from bench.process.mixing import Known, mix_for
from bench.process.part import Part
from bench.process.pots import pot_ends
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.spoken import clock_words
from bench.screens.ask import Asked, Choose, Numbers, Sure
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.shop import pots
from bench.trade.mixing import Mix
from bench.widgets.lines import Line, line, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

ENOUGH_ML = 300.0
"""Offered when somebody presses Enter on an empty line: a cup, not a guess of the need."""


async def mix_flow(bench: Paintbench, part: Part | None) -> None:
    """Choose product and what is known; then the mix screen, whose Enter starts the pot clock."""
    product = await _product(bench, part)
    if product is None:
        return
    if product.ratio is None:
        told = [f"{product.name} starts to age the moment it is activated."]
        if await bench.push_screen_wait(Sure(f"Activate {product.name} now?", told)):
            bench.do(lambda shop, by: pots.mix(shop, product.key, by))
        return
    known = await _known(bench, product)
    if known is not None:
        await bench.push_screen_wait(MixScreen(product, known))


async def _product(bench: Paintbench, part: Part | None) -> Product | None:
    """The product of the part's next coat, else a choice of all that are mixed."""
    mixed = [p for p in bench.view.products.values() if p.ratio is not None or p.keeps_a_pot_clock]
    if part is not None:
        ahead = [r.step.product for r in part.steps if r.status in ("todo", "in hand")]
        mixed.sort(key=lambda p: ahead.index(p.key) if p.key in ahead else len(ahead))
    which = await bench.push_screen_wait(Choose("Mix: what?", [_offered(p) for p in mixed]))
    return None if which is None else mixed[which]


def _offered(product: Product) -> str:
    if product.ratio is None:
        return f"{product.name} (activate)"
    shares = ":".join(f"{share.parts:g}" for share in product.ratio.shares)
    return f"{product.name}  {shares} by {product.ratio.by}"


async def _known(bench: Paintbench, product: Product) -> Known | None:
    assert product.ratio is not None
    roles = [share.role for share in product.ratio.shares]
    choices = [
        "how much is needed",
        "how much is left of each part",
        f"how much {roles[0]} is in the cup already",
    ]
    which = await bench.push_screen_wait(Choose(f"Mix {product.name}: what is known?", choices))
    if which == 0:
        numbers = await bench.push_screen_wait(
            Numbers(f"Mix {product.name}", [Asked("needed, mixed", "ml", ENOUGH_ML)])
        )
        return Known(need_ml=numbers[0]) if numbers else None
    if which == 1:
        asked = [Asked(f"{role} left", "ml") for role in roles]
        numbers = await bench.push_screen_wait(Numbers(f"Mix {product.name}", asked))
        if numbers is None:
            return None
        left = {role: ml for role, ml in zip(roles, numbers, strict=True) if ml is not None}
        return Known(left_ml=left)
    if which == 2:
        numbers = await bench.push_screen_wait(
            Numbers(f"Mix {product.name}", [Asked(f"{roles[0]} in the cup", "ml")])
        )
        return Known(poured=(roles[0], numbers[0] or 0.0)) if numbers else None
    return None


class MixScreen(BenchScreen[None]):
    """The cup."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("enter",), "Enter", "hardener is in: start the pot clock", "start"),
        KeyWord(("+",), "+", "more thinner", "more_thinner"),
        KeyWord(("-",), "-", "less", "less_thinner"),
        KeyWord(("0", "escape", "/"), "0", "back", "leave"),
    )

    def __init__(self, product: Product, known: Known) -> None:
        super().__init__()
        self.product, self.known = product, known
        self.thinner_pct = product.thinner.least_pct if product.thinner else None

    @property
    def mix(self) -> Mix | Refusal:
        """The mix as it would be poured."""
        return mix_for(self.product, self.known, self.thinner_pct)

    def draw(self, width: int, height: int) -> list[Line]:
        """Parts by role with fill lines, total, thinner, pot life, cautions."""
        product = self.product
        lines = [line(f" Mix {product.name}", width, "head"), line("", width)]
        mix = self.mix
        if isinstance(mix, Refusal):
            lines += [
                line(f"   {text}", width, "refused") for text in wrapped([f"NO: {mix}"], width - 6)
            ]
        else:
            lines += self._cup(mix, width)
            lines += self._after(width)
        rest = wrapped((product.wear and [", ".join(product.wear)]) or [], width - 6, "wear: ")
        rest += wrapped(product.cautions, width - 6, "! ")
        if product.source == "placeholder":
            rest += wrapped(
                ["placeholder figures: the tin's own sheet decides; type it in"], width - 6, "? "
            )
        lines += [line("", width), *(line(f"   {text}", width) for text in rest)]
        lines += [line("", width)] * (height - 2 - len(lines))
        return [*lines[: height - 2], self.said_line(width), self.keys_line(width)]

    def _cup(self, mix: Mix, width: int) -> list[Line]:
        lines = [line(f"   {'part':<12}{'pour':>10}{'fill the cup to':>20}", width, "dim")]
        for pour in mix.pours:
            text = f"   {pour.role:<12}{pour.ml:>7.0f} ml{pour.fill_to_ml:>17.0f} ml"
            lines.append(line(text, width, "bold"))
        lines.append(line(f"   {'in all':<12}{mix.total_ml:>7.0f} ml", width))
        return lines

    def _after(self, width: int) -> list[Line]:
        lines = []
        if self.product.thinner is not None and self.thinner_pct is not None:
            allowed = self.product.thinner
            of = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}[
                allowed.of
            ]
            lines.append(
                line(
                    f"   thinner {self.thinner_pct:g} % of {of} (allowed {allowed.least_pct:g} to "
                    f"{allowed.most_pct:g})",
                    width,
                )
            )
        now = self.bench.now()
        ends, basis = pot_ends(self.product, now, self.bench.view.around.paint_c(now))
        if ends is not None:
            mark = (
                "?" if basis in ("guess", "outside") or self.product.source == "placeholder" else ""
            )
            lines.append(
                line(f"   started now: BIN BY {clock_words(ends, now)}{mark}", width, "bold")
            )
        if self.product.induction_s:
            lines.append(line(f"   rest {self.product.induction_s / 60:g} min before use", width))
        return lines

    def more_thinner(self) -> None:
        """One percent more thinner, up to what the product allows."""
        self._thin(1.0)

    def less_thinner(self) -> None:
        """One percent less."""
        self._thin(-1.0)

    def _thin(self, by_pct: float) -> None:
        allowed = self.product.thinner
        if allowed is not None and self.thinner_pct is not None:
            wanted = self.thinner_pct + by_pct
            self.thinner_pct = min(max(wanted, allowed.least_pct), allowed.most_pct)

    def start(self) -> None:
        """Hardener has met base: start the clock, keep the mix."""
        if isinstance(self.mix, Refusal):
            return
        known, thinner_pct, key = self.known, self.thinner_pct, self.product.key
        answer = self.bench.do(
            lambda shop, by: pots.mix(shop, key, by, known=known, thinner_pct=thinner_pct)
        )
        if self.tell(answer):
            self.dismiss(None)

    def leave(self, _: str) -> None:
        """Back without mixing."""
        self.dismiss(None)

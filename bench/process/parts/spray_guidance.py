"""The spray line and what is shown with it: three numbers, not a page."""

from __future__ import annotations

from bench.process.parts.part import ALREADY_DONE, Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool
from bench.process.wording.display_units import (
    METRIC,
    ShopUnits,
    convert_figures,
    convert_units,
    format_figures,
    shop_unit,
)
from bench.trade.film import wet_from_dry

FIXES: dict[str, str] = {
    "run": "too close or too slow: 5 cm further off, or faster",
    "sag": "too wet: 5 cm further off, or faster",
    "orange peel": "thin 5 %, 0.2 bar more; not too close with low air",
    "dry spray": "too far, too hot, too much air: 5 cm closer",
    "fish-eye": "oily air or silicone: drain the receiver, wash again",
    "solvent pop": "lighter coats, longer flash, no warm draught",
    "lifting": "sprayed while it said KEEP OFF: let it cure, sand, test a patch",
    "stripes": "overlap under a half: step half the fan",
    "dropped": "look for bare spots before it goes on",
    "other": "look at the last coat before the next",
}
"""Defect: what to do on the next pass (common practice, no source)."""

DEFECTS = tuple(FIXES)

SYMPTOM_PASSES: tuple[tuple[str, str], ...] = (
    ("runs, sags, ripples", FIXES["run"]),
    ("dimpled like an orange", FIXES["orange peel"]),
    ("sandy, dull, furry edges", FIXES["dry spray"]),
    ("light and dark stripes", FIXES["stripes"]),
    ("small craters", FIXES["fish-eye"]),
    ("pin holes, little blisters", FIXES["solvent pop"]),
    ("thick in the middle, thin at the ends", "the wrist swings: move the arm"),
    ("heavy where passes start and stop", "pull and release the trigger off the part"),
    ("bare rings inside channels", "mini-gun, round fan, insides first"),
    ("the can sputters, goes weak", "it is cold from long bursts: swap to the warm can"),
)
"""What is seen on the part, and the next pass (common practice, no source)."""

ORDER = (
    "Insides first, where the fan bounces back; corners, undersides, brackets on both sides, tops; "
    "the outer faces last.",
    "From the far end towards the door: overspray lands ahead of you.",
    "Two painters: from the middle on opposite rails outward; agree who has which crossmember.",
    "Keep the edge wet: 60 cm at a time, two passes, no edge older than 3-5 min.",
)
"""The order of faces on a ladder frame (common practice, no source)."""


def wet_target_um(product: Product) -> float | None:
    """Give wet film that dries to the target, at the least thinner. None without film or solids."""
    if product.film is None or product.volume_solids_pct is None:
        return None
    thinner_pct = product.thinner.least_pct if product.thinner else 0.0
    return wet_from_dry(product.film.target_um, product.volume_solids_pct, thinner_pct)


def spray_line(
    product: Product, tool: SprayTool, units: ShopUnits = METRIC, film: str | None = None
) -> str:
    """Return distance and film for the tool in hand, on one line, in the shop's units.

    film: what to spray in words; None for a whole coat of the product.
    """
    if film is None:
        wet_um = wet_target_um(product)
        dry_um = product.film.target_um if product.film else 0.0
        film = f"whole coat {wet_words(wet_um, dry_um, product, units)}" if wet_um else ""
    return " | ".join(text for text in (tool.name, *_by_hand(tool, units), film) if text)


def wet_words(wet_um: float, dry_um: float, product: Product, units: ShopUnits = METRIC) -> str:
    """Say a wet film and what is left of it when it is dry."""
    wet = format_figures(wet_um, "um", units, ".0f")
    return (
        f"{wet}{product.doubt_of('film', 'volume_solids_pct')} {dry_words(dry_um, product, units)}"
    )


def dry_words(dry_um: float, product: Product, units: ShopUnits = METRIC) -> str:
    """Say what stands behind the figure of a wet film: its unit, and what it dries to."""
    dry = format_figures(dry_um, "um", units, ".0f")
    return f"{shop_unit('um', units)} wet = {dry}{product.doubt_of('film')} dry"


def _by_hand(tool: SprayTool, units: ShopUnits) -> list[str]:
    """Return the distance, the overlap and the speed of a tool, each in words."""
    words = []
    length = shop_unit("cm", units)
    if tool.distance_cm:
        words.append(f"{convert_figures(_range(tool.distance_cm), 'cm', units)} {length} off")
    if tool.overlap_pct:
        words.append(f"overlap {_range(tool.overlap_pct)} %")
    if tool.speed_cm_s:
        words.append(f"{convert_figures(_range(tool.speed_cm_s), 'cm', units)} {length}/s")
    return words


def tool_lines(tool: SprayTool, units: ShopUnits = METRIC) -> tuple[str, ...]:
    """Return the whole set-up of a tool, in one line or two."""
    lines = [" | ".join([tool.name, *_by_hand(tool, units)])]
    set_up = set_up_line(tool, units)
    return (*lines, set_up) if set_up else tuple(lines)


def set_up_line(tool: SprayTool, units: ShopUnits = METRIC) -> str:
    """Return air and tip: with the spray line the first time somebody takes this tool that day."""
    return convert_units(" | ".join(text for text in (tool.air, tool.tip) if text), units)


def next_faces(record: StepRecord, most: int = 8) -> str:
    """Return the faces still open, in the order they are sprayed."""
    return " ".join(mark.name for mark in record.open_marks()[:most])


def fix_after(part: Part, record: StepRecord) -> str:
    """Return what to do differently, once, on the first coat after a defect."""
    if not part.rework or record.step.kind != "coat" or record.status != "todo":
        return ""
    return FIXES.get(part.rework, FIXES["other"])


def skipped_steps_below(part: Part, record: StepRecord) -> tuple[str, ...]:
    """Return what was skipped between the last coat and this one; shown when the coat begins."""
    if record.step.kind != "coat":
        return ()
    lines: list[str] = []
    for earlier in reversed([r for r in part.steps if r.number < record.number]):
        if earlier.step.kind == "coat" and earlier.status == "done":
            break
        if earlier.status == "skipped" and earlier.reason != ALREADY_DONE:
            lines.insert(0, f"{earlier.step.name} was skipped: {earlier.reason}")
    return tuple(lines)


def _range(pair: tuple[float, float]) -> str:
    least, most = pair
    return f"{least:g}" if least == most else f"{least:g}-{most:g}"

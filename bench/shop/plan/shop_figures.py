"""The shop's own figures of a plan: what was typed in set-up, else placeholders."""

from __future__ import annotations

from datetime import datetime

from bench.process.plan.figures import ShopFigures
from bench.shop.settings.shop_settings import ShopSettings


def shop_figures(house: ShopSettings, stands: int, now: datetime) -> ShopFigures:
    """Give what a plan wants to know of the shop: what was typed, else placeholders."""
    typed = {
        "spray_spaces": house.of_plan("spray_spaces"),
        "mixing_min": house.of_plan("mixing_min"),
        "flush_min": house.of_plan("flush_min"),
        "handling_h": (house.of_plan("handling_min") or 0.0) / 60 or None,
        "filled_pct": house.of_plan("full_pct"),
        "slack_min": house.of_plan("closing_slack_min"),
        "wet_min": house.of_plan("wet_min"),
        "moving_min": house.of_plan("moving_min"),
    }
    figures = {name: figure for name, figure in typed.items() if figure is not None}
    if "spray_spaces" in figures:
        figures["spray_spaces"] = round(figures["spray_spaces"])
    clearance = house.clearance.on(now.astimezone(house.hours.zone).date())
    return ShopFigures(
        **figures,  # type: ignore[arg-type]  # its names are those of the fields
        cup_ml=house.cup_ml,
        clearance_min=clearance.typed.total_seconds() / 60,
        stands=stands,
    )

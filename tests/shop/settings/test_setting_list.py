"""What a shop starts with fits the list of settings."""

from __future__ import annotations

from bench.shop.settings.setting_list import BY_KEY, DEFAULTS, SETTINGS


def test_what_a_shop_starts_with_is_within_its_own_range() -> None:
    for setting in SETTINGS:
        if setting.unit and setting.start is not None:
            assert setting.fault(setting.start) is None, setting.key
    assert BY_KEY.keys() >= DEFAULTS.keys() - {
        "probe",
        "clearance_on",
        "clearance_by",
        "themes",
        "typed",
        "before",
        "jump",
        "forecasts",
    }

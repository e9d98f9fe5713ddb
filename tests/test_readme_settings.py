"""README's table of the settings says what the program does (``bench.process.setting_list``)."""

from __future__ import annotations

from pathlib import Path

from bench.process.setting_list import BY_KEY, DEFAULTS, SETTINGS, Setting

README = Path(__file__).resolve().parents[1] / "README.md"


def row(setting: Setting) -> str:
    """A setting as README's table has it."""
    begins = (
        f"{setting.start:g} {setting.unit}"
        if setting.kind in ("quantity", "minutes") and setting.start is not None
        else ""
    )
    return f"| `--{setting.option}` | {setting.help} | {setting.range} | {begins} |"


def test_every_setting_of_the_shop_stands_in_the_readme_with_its_range_and_its_start() -> None:
    wanted = [row(setting) for setting in SETTINGS if setting.option]
    rows = [
        line for line in README.read_text(encoding="utf-8").splitlines() if line.startswith("| `--")
    ]
    assert rows == wanted, "\n".join(wanted)


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

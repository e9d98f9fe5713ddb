"""What the shell offers: run in bash itself, and held against the table of commands."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from bench.commands.core.catalogue import COMMANDS
from bench.commands.reports.completion import whole_parser

from ..running import Paintbench

TYPED = {
    ("sh",): {"sheet", "shop", "shapes", "shopping"},
    ("sheet", "--fo"): {"--form", "--force"},
    ("sheet", "--form", "ca"): {"care", "care-html", "care-pdf"},
    ("sheet", "--spr"): {"--spreadsheet"},
    ("sum", "ma"): {"mass"},
    ("sum", "mass", "--z"): {"--zinc"},
    ("equipment", "as"): {"ask"},
    ("equipment", "ask", "--do"): {"--doubtful"},
    ("completion", ""): {"bash", "zsh"},
    ("nonsense",): set(),
}

ASK = """
source "$1"
while read -r line; do
    eval "COMP_WORDS=(paintbench $line)"; COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); COMPREPLY=()
    _shtab_paintbench; echo "${COMPREPLY[*]}"
done
"""


def test_bash_offers_what_may_come_next(anywhere: Paintbench, tmp_path: Path) -> None:
    script = tmp_path / "completion.bash"
    script.write_text(anywhere("completion", "bash").out)
    lines = "".join(" ".join(word or "''" for word in words) + "\n" for words in TYPED)
    ran = subprocess.run(
        ["bash", "-c", ASK, "ask", script], input=lines, capture_output=True, text=True, check=True
    )
    offered = [set(line.split()) for line in ran.stdout.split("\n")[:-1]]
    assert dict(zip(TYPED, offered, strict=True)) == TYPED
    assert "complete -o bashdefault -F _shtab_paintbench paintbench" in script.read_text()


def test_every_command_has_its_options_for_the_shell() -> None:
    def parsers(parser: object, name: str) -> dict[str, set[str]]:
        found = {name.strip(): set(parser._option_string_actions)}  # type: ignore[attr-defined]
        for action in parser._actions:  # type: ignore[attr-defined]
            if hasattr(action, "_name_parser_map"):
                for word, below in action.choices.items():
                    found |= parsers(below, f"{name} {word}")
        return found

    options = parsers(whole_parser(), "")
    assert {command.name for command in COMMANDS} <= options.keys()
    assert "--solvent" in options["sum closed"]
    assert "--reason" in options["correct"]


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_each_shell_has_a_script_of_plain_text(anywhere: Paintbench, shell: str) -> None:
    ran = anywhere("completion", shell)
    assert (ran.code, ran.err) == (0, "")
    assert "take-off" in ran.out
    assert ran.out.isprintable() or {c for c in ran.out if not c.isprintable()} == {"\n"}
    assert anywhere("completion", shell, "--json").json()["shell"] == shell


def test_an_error_is_said_before_the_usage(anywhere: Paintbench) -> None:
    for words in (("completion", "fish"), ("sum", "mass", "--length", "3"), ("nonsense",)):
        ran = anywhere(*words)
        first, second = ran.err.splitlines()[:2]
        assert ran.code == 2
        assert ": error: " in first
        assert second.startswith("usage: paintbench")

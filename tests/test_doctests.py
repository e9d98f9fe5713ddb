"""The worked examples in docstrings. By pytest's own option every module would be searched for them."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def with_examples() -> list[str]:
    """The modules of the program that have any."""
    files = sorted((ROOT / "bench").rglob("*.py"))
    found = [file for file in files if ">>> " in file.read_text(encoding="utf-8")]
    return [".".join(file.relative_to(ROOT).with_suffix("").parts) for file in found]


@pytest.mark.parametrize("name", with_examples())
def test_what_a_docstring_works_out_is_so(name: str) -> None:
    tried = doctest.testmod(importlib.import_module(name))
    assert tried.attempted
    assert not tried.failed, "see what is printed"

"""What steel weighs, and the zinc that is on it only where somebody says so."""

from __future__ import annotations

import pytest

from bench.trade import masses, sections


def test_without_zinc_nothing_of_it_is_weighed() -> None:
    """4800 mm2 of 7850 kg/m3: 37.68 kg a metre; 85 um of zinc on 1.2 m2. Arithmetic."""
    piece = sections.read_piece("flat 600x8")
    black, dipped = masses.mass_of(piece, 1), masses.mass_of(piece, 1, zinc_um=85)
    assert black.steel_kg == pytest.approx(37.68)
    assert black.zinc_kg == 0
    assert dipped.zinc_kg == pytest.approx(0.085 * 7.14 * 1.216, rel=0.02)

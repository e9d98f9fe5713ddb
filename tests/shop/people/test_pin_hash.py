"""A PIN is four figures, and kept only as its scrypt hash."""

from __future__ import annotations

import hashlib

import pytest

from bench.shop.people.pins import hashed_pin, is_pin, matches_pin


def test_the_hash_under_it_is_the_standards_own() -> None:
    # RFC 7914 section 12, third test vector, N = 16384, r = 8, p = 1 (from memory).
    told = hashlib.scrypt(
        b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1, maxmem=2**26, dklen=64
    )
    assert told.hex().startswith("7023bdcb3afd7348461c06cd81fd38eb")


def test_only_the_same_pin_matches_and_the_salt_tells_two_alike_apart() -> None:
    kept = hashed_pin("0042", b"salt of a painter")
    assert kept.startswith("scrypt 16384 8 1 "), "what trying them all costs"
    assert matches_pin("0042", kept)
    assert not matches_pin("0043", kept)
    assert not matches_pin("42", kept)
    assert kept != hashed_pin("0042", b"salt of another")
    assert "0042" not in kept


@pytest.mark.parametrize("text", ["", "42", "12345", "12a4", "١٢٣٤", "1 34", "-123"])
def test_anything_but_four_figures_is_no_pin(text: str) -> None:
    assert not is_pin(text)
    with pytest.raises(ValueError, match="four figures"):
        hashed_pin(text, b"salt")

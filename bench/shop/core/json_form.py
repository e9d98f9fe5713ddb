"""Plain values to JSON as the data holds it, and back."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter


@cache
def reader(kind: Any) -> TypeAdapter[Any]:
    """Give the reader of a kind, made once: making one costs far more than using it."""
    return TypeAdapter(kind)


def as_json(value: Any) -> dict[str, Any]:
    """Write a product, route, step or shape as it is stored."""
    kind: Any = type(value)
    plain: dict[str, Any] = reader(kind).dump_python(value, mode="json")
    return plain

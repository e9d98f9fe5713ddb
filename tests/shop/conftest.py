"""What painters do, on a SQLite file and on PostgreSQL."""

from tests.databases import pytest_generate_tests

__all__ = ["pytest_generate_tests"]

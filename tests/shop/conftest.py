"""What painters do, on a SQLite file and on PostgreSQL."""

from tests.databases import data, postgresql, schemas

__all__ = ["data", "postgresql", "schemas"]

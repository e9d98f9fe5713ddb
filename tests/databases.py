"""The same tests on both databases: a SQLite file, and a schema of its own on a PostgreSQL server.

A folder whose tests run on both imports ``pytest_generate_tests`` in its conftest.py: then ``data``,
and so ``shop``, is a file first and a server's address after. Tests of the file itself are marked
``sqlite``. The server's address is in PAINTBENCH_TEST_POSTGRES (``scripts/with-postgres`` sets it);
its database is the tests' to empty. Without it the tests on PostgreSQL are skipped, and in CI
(CI=true) they fail.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from sqlalchemy import Connection, create_engine, make_url, text
from sqlmodel import SQLModel

from bench.store import tables
from bench.store.database import open_store
from bench.store.migrations import newest

SERVER = "PAINTBENCH_TEST_POSTGRES"
NO_SERVER = f"no PostgreSQL server: {SERVER} is not set; scripts/with-postgres starts one"

POSTGRESQL = pytest.param("postgresql", marks=pytest.mark.postgresql)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every test that needs the shop's data runs on both databases."""
    if "data" in metafunc.fixturenames:
        only_file = metafunc.definition.get_closest_marker("sqlite")
        both = ["sqlite"] if only_file else ["sqlite", POSTGRESQL]
        metafunc.parametrize("data", both, indirect=True)


class Schemas:
    """The schemas of a server, given to a test each and emptied after it: far quicker than new ones."""

    def __init__(self, address: str) -> None:
        self._address = make_url(address)
        self._admin = create_engine(self._address, isolation_level="AUTOCOMMIT")
        self._name = f"paintbench tests {os.getpid()}"
        self._free: list[str] = []
        self._taken: list[str] = []

    def take(self, *, empty: bool = False) -> str:
        """The address of a schema that holds an unopened shop's tables, or nothing at all."""
        name = self._free.pop() if self._free and not empty else self._make()
        self._taken.append(name)
        address = self._at(name)
        if not empty:
            open_store(address).close()
        return address

    @property
    def address(self) -> str:
        """The server's database itself, with the password."""
        return self._address.render_as_string(hide_password=False)

    @property
    def last(self) -> str:
        """The address that was given last."""
        return self._at(self._taken[-1])

    def ask(self, question: str) -> object:
        """One figure as the server has it."""
        with self._admin.connect() as connection:
            return connection.execute(text(question)).scalar()

    def run(self, statement: str) -> None:
        """What somebody does to the server by hand."""
        with self._admin.connect() as connection:
            connection.execute(text(statement))

    def hang_up(self) -> None:
        """Let go of everybody who is connected to these schemas, as a restart of the server does."""
        self.run(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            f" WHERE application_name = '{self._name}'"
        )

    def give_back(self) -> None:
        """After a test: nobody is connected any more, and what it wrote is gone."""
        self.hang_up()
        with self._admin.connect() as connection:
            while self._taken:
                name = self._taken.pop()
                if _has_our_tables(connection, name):
                    _empty(connection, name)
                    self._free.append(name)
                else:
                    connection.execute(text(f"DROP SCHEMA {name} CASCADE"))

    def close(self) -> None:
        """Leave the server as it was."""
        with self._admin.connect() as connection:
            for name in self._free:
                connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
        self._admin.dispose()

    def _make(self) -> str:
        with self._admin.connect() as connection:
            found = connection.execute(text("SELECT count(*) FROM pg_namespace")).scalar()
            name = f"shop_{os.getpid()}_{found}"
            connection.execute(text(f"CREATE SCHEMA {name}"))
        return name

    def _at(self, name: str) -> str:
        there = self._address.update_query_dict(
            {"options": f"-csearch_path={name}", "application_name": self._name}
        )
        return there.render_as_string(hide_password=False)


def _has_our_tables(connection: Connection, name: str) -> bool:
    there = connection.execute(text(f"SELECT to_regclass('{name}.schema_version')")).scalar()
    if there is None:
        return False
    version = connection.execute(text(f"SELECT version FROM {name}.schema_version")).scalar()
    return bool(version == newest())


def _empty(connection: Connection, name: str) -> None:
    rows = list(reversed(SQLModel.metadata.sorted_tables))
    kept = tables.SchemaVersion.__tablename__
    gone = [f"DELETE FROM {name}.{table.name};" for table in rows if table.name != kept]
    again = [
        f"SELECT setval(pg_get_serial_sequence('{name}.{table.name}', 'id'), 1, false);"
        for table in rows
        if table.name != kept and "id" in table.columns
    ]
    connection.exec_driver_sql("BEGIN;" + "".join([*gone, *again]) + "COMMIT")


@pytest.fixture(scope="session")
def schemas() -> Iterator[Schemas]:
    """The PostgreSQL server of the tests, if there is one."""
    address = os.environ.get(SERVER)
    if not address:
        if os.environ.get("CI") == "true":
            pytest.fail(NO_SERVER)
        pytest.skip(NO_SERVER)
    server = Schemas(address)
    yield server
    server.close()


@pytest.fixture
def postgresql(schemas: Schemas) -> Iterator[Schemas]:
    """The server, for a test that makes its own places on it."""
    yield schemas
    schemas.give_back()

"""The same tests on both databases: a SQLite file, and a schema of its own on a PostgreSQL server.

A folder whose tests run on both imports ``pytest_generate_tests`` in its conftest.py: then ``data``,
and so ``shop``, is a file first and a server's address after. Marked ``sqlite`` are tests of the file
itself, and those of rules that ask the database nothing but what others ask on both;
``sqlite(False)`` marks one test of such a file that runs on both all the same. The server's address
is in PAINTBENCH_TEST_POSTGRES (``scripts/with-postgres`` sets it); its database is the tests' to
empty. Without it the tests on PostgreSQL are skipped, and in CI (CI=true) they fail.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import count

import pytest
from sqlalchemy import Connection, Table, create_engine, make_url, text
from sqlmodel import SQLModel

from bench.store.databases.database import open_store
from bench.store.schema import tables
from bench.store.schema.migrations import newest
from tests.engines import share

SERVER = "PAINTBENCH_TEST_POSTGRES"
NO_SERVER = f"no PostgreSQL server: {SERVER} is not set; scripts/with-postgres starts one"

POSTGRESQL = pytest.param("postgresql", marks=pytest.mark.postgresql)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every test that needs the shop's data runs on both databases."""
    if "data" in metafunc.fixturenames:
        mark = metafunc.definition.get_closest_marker("sqlite")
        only_file = mark is not None and mark.args != (False,)
        both = ["sqlite"] if only_file else ["sqlite", POSTGRESQL]
        metafunc.parametrize("data", both, indirect=True)


class Schemas:
    """The schemas of a server, given to a test each and emptied after it: far quicker than new ones."""

    def __init__(self, address: str) -> None:
        self._address = make_url(address)
        self._admin = create_engine(self._address, isolation_level="AUTOCOMMIT")
        self._name = f"paintbench tests {os.getpid()}"
        self._numbers = count(1)
        self._free: list[str] = []
        self._taken: list[str] = []
        self._model = ""
        self._copying = ""

    def take(self, *, empty: bool = False) -> str:
        """The address of a schema that holds an unopened shop's tables, or nothing at all."""
        name = self._free.pop() if self._free and not empty else self._make(empty=empty)
        self._taken.append(name)
        return self._at(name)

    def fill(self, address: str, fill: Callable[[str], None]) -> None:
        """Write into a schema that was taken what ``fill`` writes, which is called once and copied."""
        if not self._model:
            self._model = self._make()
            fill(self._at(self._model))
        (name,) = (name for name in self._taken if self._at(name) == address)
        with self._admin.connect() as connection:
            if not self._copying:
                self._copying = _copying(connection, self._model)
            connection.exec_driver_sql(self._copying.format(into=name))

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
            for name in (*self._free, *filter(None, [self._model])):
                connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
        self._admin.dispose()

    def _make(self, *, empty: bool = False) -> str:
        # Several processes run tests on one server.
        name = f"shop_{os.getpid()}_{next(self._numbers)}"
        with self._admin.connect() as connection:
            connection.execute(text(f"CREATE SCHEMA {name}"))
        if not empty:
            open_store(self._at(name)).close()
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


def _tables() -> list[Table]:
    """All but the one of the version, referred to before referring."""
    kept = tables.SchemaVersion.__tablename__
    return [table for table in SQLModel.metadata.sorted_tables if table.name != kept]


def _empty(connection: Connection, name: str) -> None:
    gone = [f"DELETE FROM {name}.{table.name};" for table in reversed(_tables())]
    again = [
        f"SELECT setval(pg_get_serial_sequence('{name}.{table.name}', 'id'), 1, false);"
        for table in _tables()
        if "id" in table.columns
    ]
    connection.exec_driver_sql("BEGIN;" + "".join([*gone, *again]) + "COMMIT")


def _copying(connection: Connection, model: str) -> str:
    """Statements that write a schema's rows into the empty tables of another, ``{into}``."""
    copying = []
    for table in _tables():
        there = f"{model}.{table.name}"
        if connection.execute(text(f"SELECT count(*) FROM {there}")).scalar():
            copying.append(f"INSERT INTO {{into}}.{table.name} SELECT * FROM {there};")
            if "id" in table.columns:
                last = f"(SELECT max(id) FROM {there})"
                here = f"pg_get_serial_sequence('{{into}}.{table.name}', 'id')"
                copying.append(f"SELECT setval({here}, {last});")
    return "BEGIN;" + "".join(copying) + "COMMIT"


@pytest.fixture(scope="session")
def schemas() -> Iterator[Schemas]:
    """The PostgreSQL server of the tests, if there is one."""
    address = os.environ.get(SERVER)
    if not address:
        if os.environ.get("CI") == "true":
            pytest.fail(NO_SERVER)
        pytest.skip(NO_SERVER)
    server = Schemas(address)
    plain = create_engine(address)
    plain.connect().close()
    share(plain)
    yield server
    server.close()


@pytest.fixture
def postgresql(schemas: Schemas) -> Iterator[Schemas]:
    """The server, for a test that makes its own places on it."""
    yield schemas
    schemas.give_back()

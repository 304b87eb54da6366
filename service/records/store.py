"""The database: one way to change it, one way to read it, the same on SQLite and PostgreSQL."""

import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from service.metrology.errors import DomainError
from service.records.journal import write_journal

try:  # a current SQLite where its wheel exists: see the WAL-reset bug in DEVELOPERS.md
    from pysqlite3 import dbapi2 as _sqlite
except ImportError:  # pragma: no cover - depends on the platform
    _sqlite = sqlite3

sqlite_module: ModuleType = _sqlite

_UNIQUE_VIOLATION = "23505"
"""PostgreSQL, appendix A: unique_violation. SQLite has one writer at a time, who sees what the last one stored."""
_PRAGMAS = ("foreign_keys=ON", "busy_timeout=10000", "synchronous=FULL", "cache_size=-32000", "temp_store=MEMORY")


class TakenMeanwhile(DomainError):
    """What was to be stored has come to be there since it was looked for, under the same code, name or form key."""


class Store:
    """Opens sessions that write (`change`) and that only read (`reading`), and answers hot reads (`rows`)."""

    def __init__(self, url: str) -> None:
        """`url` is a SQLAlchemy address: sqlite:///FILE or postgresql+psycopg://…"""
        self.url = url
        self.is_sqlite = make_url(url).get_backend_name() == "sqlite"
        if self.is_sqlite:
            self._file = Path(make_url(url).database or "")
            self._file.parent.mkdir(parents=True, exist_ok=True)
            self.write_engine = _sqlite_engine(url, writes=True)
            self.read_engine = _sqlite_engine(url, writes=False)
            self._hot = threading.local()
        else:
            self.write_engine = create_engine(url, pool_size=5, pool_pre_ping=True)
            self.read_engine = create_engine(
                url, pool_size=5, pool_pre_ping=True, execution_options={"postgresql_readonly": True}
            )

    @contextmanager
    def change(self) -> Iterator[Session]:
        """A session that writes: committed when the block ends cleanly, rolled back otherwise.

        What was appended to the journal is written last, since only one at a time may write there. Raises
        TakenMeanwhile where two on PostgreSQL add the same thing at once: nobody can lock a row that is not there yet.
        """
        try:
            with Session(self.write_engine, expire_on_commit=False) as session, session.begin():
                yield session
                write_journal(session)
        except IntegrityError as error:
            if getattr(error.orig, "sqlstate", None) != _UNIQUE_VIOLATION:
                raise
            sentence = "Somebody entered the same at the same moment: open the page again and look at what is there."
            raise TakenMeanwhile("taken-meanwhile", sentence) from error

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that cannot write."""
        with Session(self.read_engine, expire_on_commit=False) as session:
            yield session

    def rows(self, sql: str, params: Sequence[Any] = ()) -> list[Any]:
        """Rows straight from the driver, for hot pages. `sql` marks its parameters with `?`."""
        if self.is_sqlite:
            return self._hot_connection().execute(sql, params).fetchall()  # type: ignore[no-any-return]
        with self.read_engine.connect() as connection:
            result = connection.exec_driver_sql(sql.replace("%", "%%").replace("?", "%s"), tuple(params))
            return list(result.all())

    def batches(self, sql: str, size: int) -> Iterator[list[Any]]:
        """All rows of a long reading, so many at a time and never all in memory; straight from the driver."""
        with self.read_engine.connect() as connection:
            driver = connection.connection.driver_connection
            assert driver is not None
            # A named cursor stays on the server, which otherwise sends everything at once.
            cursor = driver.cursor() if self.is_sqlite else driver.cursor(name="batches")
            with closing(cursor):
                cursor.execute(sql)
                while rows := cursor.fetchmany(size):
                    yield rows

    def hurry(self) -> None:
        """Let no commit wait for the disk any more: only for a SQLite file that nobody relies on before it is whole."""
        if self.is_sqlite:  # outside a transaction, and on the one connection that writes
            writer = self.write_engine.raw_connection()
            try:
                writer.cursor().execute("PRAGMA synchronous=OFF")
            finally:
                writer.close()

    def close(self) -> None:
        """Give all connections back."""
        if self.is_sqlite and hasattr(self._hot, "connection"):
            self._hot.connection.close()
            del self._hot.connection
        self.write_engine.dispose()
        self.read_engine.dispose()

    def _hot_connection(self) -> Any:
        if not hasattr(self._hot, "connection"):
            # Autocommit: every statement sees the newest commit and no snapshot lingers.
            connection = sqlite_module.connect(str(self._file), isolation_level=None, cached_statements=256)
            # All that SQLite maps at most: a map takes addresses, not memory, and saves a copy of every page read.
            for pragma in (*_PRAGMAS, "query_only=ON", "mmap_size=2147418112"):
                connection.execute(f"PRAGMA {pragma}")
            # The thread of the event loop answers the busy pages: there the inner pages of a file beyond the map stay
            # at hand, which took half of a page's reading time at 5 GB.
            if threading.current_thread() is threading.main_thread():
                connection.execute("PRAGMA cache_size=-128000")
            self._hot.connection = connection
        return self._hot.connection


def _sqlite_engine(url: str, *, writes: bool) -> Engine:
    """One writer with immediate transactions, or several readers that refuse to write."""
    engine = create_engine(
        url,
        module=sqlite_module,
        connect_args={"isolation_level": None, "check_same_thread": False},
        pool_size=1 if writes else 5,
        max_overflow=0 if writes else 20,
        pool_timeout=30,
    )

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _: Any) -> None:
        for pragma in ("journal_mode=WAL", *_PRAGMAS):
            connection.execute(f"PRAGMA {pragma}")
        if not writes:
            connection.execute("PRAGMA query_only=ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        # Deferred transactions that read first and write later fail at once when another one wrote in between.
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine

"""Bringing a database to the newest schema."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

from service.paths import MIGRATIONS
from service.records.store import Store

_APPENDED_ONLY = (
    "journal",
    "entry",
    "calibration",
    "calibration_scan",
    "calibration_annulment",
    "photograph",
    "photograph_file",
    "hole_evaluation",
    "bench_trace",
    "bench_trace_piece",
    "bench_trace_reading",
    "bench_trace_rejection",
    "test_rig_oil",
    "test_rig_check",
    "decision_rule",
    "certificate",
    "certificate_file",
    "certificate_end",
)
TRIGGERS = frozenset(f"{table}_no_{event}" for table in _APPENDED_ONLY for event in ("update", "delete")) | {
    "unit_stays_condemned"
}
"""Guards that every migrated database carries; start-up counts them."""
SQLITE_TRIGGERS = TRIGGERS | {"journal_no_replace"}
"""On SQLite: INSERT OR REPLACE passes by the trigger on deletions."""
POSTGRESQL_TRIGGERS = TRIGGERS | {f"{table}_no_truncate" for table in _APPENDED_ONLY}
"""On PostgreSQL: TRUNCATE passes by the triggers of rows."""


def migrate(store: Store) -> None:
    """Upgrade to the newest revision, each migration in a transaction of its own, and take back excess privileges."""
    config = _config()
    config.attributes["engine"] = store.write_engine
    command.upgrade(config, "head")
    # The migration's connection is left with its foreign keys off and with its timeouts: never write with it again.
    store.write_engine.dispose()
    if not store.is_sqlite:
        _take_back_privileges(store)


def current_revision(store: Store) -> str | None:
    """The revision that the database is at, None when it is empty."""
    with store.read_engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def newest_revision() -> str | None:
    """The newest revision that this release knows."""
    return ScriptDirectory.from_config(_config()).get_current_head()


def _config(location: Path = MIGRATIONS) -> Config:
    config = Config()
    config.set_main_option("script_location", str(location).replace("%", "%%"))
    return config


_TOO_MUCH = text(
    "SELECT DISTINCT c.relname, CASE a.grantee WHEN 0 THEN 'PUBLIC' ELSE a.grantee::regrole::text END "
    "FROM pg_class c, aclexplode(c.relacl) a WHERE c.relnamespace = current_schema()::regnamespace "
    "AND c.relname = ANY(:tables) AND a.grantee <> c.relowner AND pg_has_role(c.relowner, 'USAGE') "
    "AND a.privilege_type IN ('UPDATE', 'DELETE', 'TRUNCATE', 'TRIGGER')"
)


def _take_back_privileges(store: Store) -> None:
    """Whoever does not own what is only appended to reads it and appends, and no more: triggers stop the owner."""
    with store.write_engine.begin() as connection:
        for table, grantee in connection.execute(_TOO_MUCH, {"tables": list(_APPENDED_ONLY)}).all():
            # Names come quoted from the database itself.
            connection.exec_driver_sql(f"REVOKE UPDATE, DELETE, TRUNCATE, TRIGGER ON {table} FROM {grantee}")

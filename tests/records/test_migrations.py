"""From an empty database to the schema that the tables describe, on both databases."""

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import text
from sqlmodel import SQLModel

import service.records.tables  # noqa: F401  (fills the metadata)
from service.records.migrations import current_revision, migrate, newest_revision
from service.records.store import Store
from service.startup_checks import startup_findings
from tests.databases import opened


def test_an_empty_database_goes_up_to_the_newest_revision(empty_url: str) -> None:
    with opened(empty_url) as store:
        assert current_revision(store) is None
        assert [finding.code for finding in startup_findings(store) if finding.fatal] == ["schema"]
        migrate(store)
        assert current_revision(store) == newest_revision() is not None
        assert [finding for finding in startup_findings(store) if finding.fatal] == []


def test_migrating_twice_changes_nothing(store: Store) -> None:
    before = current_revision(store)
    migrate(store)
    assert current_revision(store) == before


def test_the_migrated_schema_is_what_the_tables_describe(store: Store) -> None:
    with store.read_engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_foreign_keys_hold_again_after_a_migration(store: Store) -> None:
    migrate(store)
    if store.is_sqlite:
        with store.write_engine.connect() as connection:
            assert connection.execute(text("PRAGMA foreign_keys")).scalar() == 1


@pytest.mark.parametrize("trigger", ["journal_no_update", "entry_no_delete"])
def test_a_missing_trigger_keeps_the_service_from_starting(store: Store, trigger: str) -> None:
    table = trigger.partition("_")[0]
    on = "" if store.is_sqlite else f" ON {table}"
    with store.write_engine.begin() as connection:
        connection.execute(text(f"DROP TRIGGER {trigger}{on}"))
    fatal = [finding for finding in startup_findings(store) if finding.fatal]
    assert [finding.code for finding in fatal] == ["triggers"]
    assert trigger in fatal[0].sentence


@pytest.mark.parametrize("database_kind", ["postgresql"])
@pytest.mark.parametrize(
    "change", ["DROP TRIGGER entry_no_truncate ON entry", "ALTER TABLE entry DISABLE TRIGGER entry_no_truncate"]
)
def test_a_guard_that_is_gone_or_switched_off_keeps_the_service_from_starting(store: Store, change: str) -> None:
    with store.write_engine.begin() as connection:
        connection.execute(text(change))
    fatal = [finding for finding in startup_findings(store) if finding.fatal]
    assert [finding.code for finding in fatal] == ["triggers"]
    assert "entry_no_truncate" in fatal[0].sentence

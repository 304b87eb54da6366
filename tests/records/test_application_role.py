"""On PostgreSQL a role that owns no table does all of a workshop's work and cannot change what is recorded."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from sqlalchemy import text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from service.records.journal_verification import verify_journal
from service.records.migrations import migrate
from service.startup_checks import startup_findings
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form
from tests.databases import opened
from tests.registered_fleet import PASSWORD, Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["postgresql"])

GRANTS = (
    "GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO",
    "GRANT USAGE ON ALL SEQUENCES IN SCHEMA public TO",
)
"""As README.md has it."""


@pytest.fixture
def served(shop: Shop) -> Iterator[Shop]:
    """The workshop served by such a role, after the owner has migrated."""
    role = f"spindle_serves_{make_url(shop.store.url).database}"
    with shop.store.write_engine.begin() as connection:
        connection.execute(text(f'CREATE ROLE "{role}" LOGIN'))
        for grant in GRANTS:
            connection.execute(text(f'{grant} "{role}"'))
    migrate(shop.store)
    address = make_url(shop.store.url).set(username=role).render_as_string(hide_password=False)
    with opened(address) as store:
        yield replace(shop, store=store)
    with shop.store.write_engine.begin() as connection:
        connection.execute(text(f'DROP OWNED BY "{role}"'))
        connection.execute(text(f'DROP ROLE "{role}"'))


def test_the_role_serves_one_injector_from_the_crate_to_its_certificate(served: Shop, fleet: Fleet) -> None:
    assert [finding for finding in startup_findings(served.store) if finding.fatal] == []
    number = bring_to(served, fleet, Stage.PROVED)
    sign_release(served, fleet.manager, number, form(served, number), password=PASSWORD)
    report = verify_journal(served.store)
    assert (report.faults, report.certificates) == ((), 1)
    migrate(served.store)  # nothing to do for who owns nothing, and nothing refused


@pytest.mark.parametrize("table", ["journal", "entry", "certificate"])
@pytest.mark.parametrize("change", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {} CASCADE"])
def test_the_role_cannot_change_what_is_only_appended_to(served: Shop, table: str, change: str) -> None:
    with pytest.raises(DBAPIError, match="permission denied"), served.store.write_engine.begin() as connection:
        connection.execute(text(change.format(table)))

"""From the first release's database with data in it: every row of its journal is chained, and its guards stand."""

import pytest
from alembic import command
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.records.journal_verification import verify_journal
from service.records.migrations import _config, migrate
from service.startup_checks import startup_findings
from tests.databases import opened
from tests.journals import stored_rows, write_events
from tests.records.test_calibrations_from_the_first_release import OLD_DATA

MANY = 5_003
"""More than the migration fills at a time."""
ODD = 'He said: "C:\\new\tline"\n' + "0,85 µm – 日本 \U0001f6a2 \x1f"


def test_an_old_journal_is_chained_as_it_stands_gaps_and_odd_signs_included(empty_url: str) -> None:
    with opened(empty_url) as store:
        config = _config()
        config.attributes["engine"] = store.write_engine
        command.upgrade(config, "0001")
        store.write_engine.dispose()
        row = text(
            "INSERT INTO journal (id, at, person_id, person_name, action, subject_kind, subject_id, reason, before, "
            "after) VALUES (:id, '2026-03-02T08:00:00.000000Z', :person, 'Tove', 'noted', 'unit', 'S', :reason, '', '')"
        )
        with store.write_engine.begin() as connection:
            for statement in OLD_DATA:
                connection.execute(text(statement))
            connection.execute(
                row,
                [
                    {"id": 3 * number, "person": number % 2 or None, "reason": ODD if number == 2 else ""}
                    for number in range(1, MANY)
                ],
            )
        migrate(store)
        assert verify_journal(store).faults == ()
        assert verify_journal(store).last_row == 3 * (MANY - 1)
        assert stored_rows(store)[2][7] == ODD
        write_events(store, 2)
        assert (verify_journal(store).faults, verify_journal(store).rows) == ((), MANY + 2)
        assert [finding for finding in startup_findings(store) if finding.fatal] == []
        for change in ("UPDATE journal SET chain_hash = ''", "DELETE FROM journal"):
            with pytest.raises(DBAPIError, match="never changed"), store.write_engine.begin() as connection:
                connection.execute(text(change))

"""A database with fittings from before batches were looked up: each is found by its batch after the migration."""

import json
from collections.abc import Iterator

import pytest
from alembic import command
from sqlalchemy import text

from service.records.migrations import _config, migrate
from service.records.recall_reads import fitted_from_batch, injectors_fitted_from
from service.records.store import Store
from service.startup_checks import startup_findings
from tests.databases import opened
from tests.records.test_calibrations_from_the_first_release import OLD_DATA

BEFORE = "0004"
MANY = 2_500
"""More than two of the migration's helpings."""


def fitting(number: int) -> dict[str, object]:
    """One fitting of the overhaul; the first few have batches written in several ways."""
    batch = {2: "Übung  77-A", 3: " übung 77-a ", 4: "=CMD|7"}.get(number, f"B-{number}")
    payload = {"kind": "fitted", "item": "seal-ring", "batch": batch}
    return {"id": number, "payload": json.dumps(payload), "key": f"form-f-{number}", "subject": f"fit:{number}"}


@pytest.fixture
def grown(empty_url: str) -> Iterator[Store]:
    """A database at the revision before, with fittings, brought to the newest schema."""
    with opened(empty_url) as store:
        config = _config()
        config.attributes["engine"] = store.write_engine
        command.upgrade(config, "0001")
        store.write_engine.dispose()
        with store.write_engine.begin() as connection:
            for statement in OLD_DATA:
                connection.execute(text(statement))
            connection.execute(
                text(
                    "INSERT INTO entry (id, overhaul_id, seq, kind, subject, title, verdict, sentence, at, person_id, "
                    "person_name, payload, form_key) VALUES (:id, 1, :id, 'fitted', :subject, 'Fitted new', '', '', "
                    "'2026-03-02T09:00:00.000000Z', 1, 'Tove', :payload, :key)"
                ),
                [fitting(number) for number in range(2, MANY + 2)],
            )
        command.upgrade(config, BEFORE)
        store.write_engine.dispose()
        migrate(store)
        yield store


def test_every_earlier_fitting_is_found_by_its_batch_however_it_was_written(grown: Store) -> None:
    assert [one.seq for one in fitted_from_batch(grown, "ÜBUNG 77-A")] == [2, 3]
    assert [one.seq for one in fitted_from_batch(grown, "=cmd|7")] == [4]
    assert [one.seq for one in fitted_from_batch(grown, f"b-{MANY + 1}")] == [MANY + 1], "the last of all"
    assert fitted_from_batch(grown, "B-2") == ()
    (injector,) = injectors_fitted_from(grown, "b-5").values()
    assert (injector.serial, injector.vessel) == ("SN-1", "V")


def test_what_is_no_fitting_has_no_batch_and_every_guard_stands(grown: Store) -> None:
    assert grown.rows("SELECT count(*) FROM fitted_batch") == [(MANY,)]
    assert grown.rows("SELECT count(*) FROM fitted_batch WHERE entry_id = 1") == [(0,)]
    assert [finding for finding in startup_findings(grown) if finding.fatal] == []

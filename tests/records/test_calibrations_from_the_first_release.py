"""From the first release's database with data in it: each instrument's columns become its first calibration."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal as D

import pytest
from alembic import command
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.records.instrument_reads import due_list, instrument_history
from service.records.migrations import _config, current_revision, migrate, newest_revision
from service.records.store import Store
from service.startup_checks import startup_findings
from service.workshop.calibration import CalibrationState, FoundState
from tests.databases import opened

OLD_DATA = (
    "INSERT INTO operator (id, name, contact, standing_order, version) VALUES (1, 'O', '', '', 1)",
    "INSERT INTO vessel (id, operator_id, name, imo_number, version) VALUES (1, 1, 'V', '9000003', 1)",
    "INSERT INTO injector_type (id, code, name, version) VALUES (1, 'T', 'T', 1)",
    "INSERT INTO engine (id, vessel_id, designation, cylinders, injectors_per_cylinder, injector_type_id, version) "
    "VALUES (1, 1, 'Main', 6, 2, 1, 1)",
    "INSERT INTO sheet_revision (id, injector_type_id, revision, state, content, approved_by, version) "
    "VALUES (1, 1, 1, 'approved', '{}', '', 1)",
    "INSERT INTO person (id, login, name, role, password_hash, active, version) "
    "VALUES (1, 'tove', 'Tove', 'technician', 'x', true, 1)",
    "INSERT INTO consignment (id, number, vessel_id, received_at, due_on, reference, remark, standing_order, form_key) "
    "VALUES (1, 'CN-1', 1, '2026-03-02T08:00:00.000000Z', '2026-04-01', '', '', '', 'form-0001')",
    "INSERT INTO unit (id, serial, injector_type_id, vessel_id, condemned) VALUES (1, 'SN-1', 1, 1, false)",
    "INSERT INTO overhaul (id, number, unit_id, consignment_id, engine_id, sheet_id, cylinder, position, fuel, reason, "
    "packing, remark, stage, held, opened_at, last_seq) VALUES "
    "(1, 'OH-1', 1, 1, 1, 1, 1, '', 'residual', 'planned', 'sound', '', 'stripped', false, "
    "'2026-03-02T08:00:00.000000Z', 1)",
    "INSERT INTO instrument (id, code, kind, description, unit, expanded_uncertainty, calibration, due, active, "
    "version) VALUES (7, 'MIC-1', 'micrometer', 'Old', 'mm', '0.002', 'CAL-1', '2027-01-31', true, 4), "
    "(9, 'BORE-1', 'bore-gauge', '', 'mm', '0.0015', 'CAL-2', '2026-01-31', false, 1)",
    "INSERT INTO entry (id, overhaul_id, seq, kind, subject, title, verdict, sentence, at, person_id, person_name, "
    "payload, form_key) VALUES (1, 1, 1, 'examined', 's', 't', '', '', '2026-03-02T08:00:00.000000Z', 1, 'Tove', '{}', "
    "'form-0002')",
    "INSERT INTO entry_instrument (entry_id, instrument_id) VALUES (1, 7)",
    "INSERT INTO journal (id, at, person_id, person_name, action, subject_kind, subject_id, reason, before, after) "
    "VALUES (1, '2026-03-02T08:00:00.000000Z', 1, 'Tove', 'instrument', 'instrument', 'MIC-1', '', '', '')",
)


@pytest.fixture
def grown(empty_url: str) -> Iterator[Store]:
    """A database of the first release with data in it, brought to the newest schema."""
    with opened(empty_url) as store:
        config = _config()
        config.attributes["engine"] = store.write_engine
        command.upgrade(config, "0001")
        store.write_engine.dispose()
        with store.write_engine.begin() as connection:
            for statement in OLD_DATA:
                connection.execute(text(statement))
        migrate(store)
        yield store


def test_what_was_known_of_a_calibration_is_its_first_row_and_nothing_is_made_up(grown: Store) -> None:
    with grown.reading() as session:
        found = instrument_history(session, "MIC-1")
    assert found is not None
    (line,) = found.calibrations
    one = line.calibration
    assert (one.certificate, one.due, one.expanded_uncertainty, one.k) == ("CAL-1", date(2027, 1, 31), D("0.002"), 2)
    assert (one.on, one.laboratory, one.found, one.points) == (None, "", FoundState.NOT_STATED, ())
    assert (found.row.id, found.row.version, found.row.description) == (7, 4, "Old")
    assert (found.known.lower, found.known.upper, found.known.resolution) == (None, None, None)


def test_a_withdrawn_instrument_stays_withdrawn_and_the_other_stays_due_on_its_day(grown: Store) -> None:
    (line,) = due_list(grown, date(2026, 3, 2))
    assert (line.code, line.due, line.standing) == ("MIC-1", date(2027, 1, 31), CalibrationState.IN_DATE)
    with grown.reading() as session:
        withdrawn = instrument_history(session, "BORE-1")
    assert withdrawn is not None
    assert (withdrawn.row.state, len(withdrawn.calibrations)) == ("withdrawn", 1)


def test_entries_keep_their_instruments_and_every_guard_stands(grown: Store) -> None:
    assert current_revision(grown) == newest_revision()
    assert grown.rows("SELECT entry_id, instrument_id FROM entry_instrument") == [(1, 7)]
    assert [finding for finding in startup_findings(grown) if finding.fatal] == [], "the census of triggers"
    if grown.is_sqlite:
        assert grown.rows("PRAGMA foreign_key_check") == []
    for table in ("journal", "entry", "calibration"):
        with pytest.raises(DBAPIError, match="never changed"), grown.change() as session:
            session.execute(text(f"DELETE FROM {table}"))  # noqa: S608


def test_a_new_calibration_follows_the_ones_taken_over(grown: Store) -> None:
    with pytest.raises(DBAPIError), grown.change() as session:
        session.execute(text("INSERT INTO gauge_pin (instrument_id, nominal) VALUES (99, '0.85')"))
    with grown.change() as session:
        session.execute(
            text(
                "INSERT INTO calibration (instrument_id, calibrated_on, due, certificate, laboratory, "
                "expanded_uncertainty, k, found, points, remark, recorded_at, person_name) VALUES (7, '2026-03-01', "
                "'2027-03-01', 'NEW', 'L', '0.001', '2', 'within-limits', '[]', '', '2026-03-02T08:00:00.000000Z', '')"
            )
        )
    (line,) = due_list(grown, date(2026, 3, 2))
    assert (line.certificate, line.due) == ("NEW", date(2027, 3, 1))

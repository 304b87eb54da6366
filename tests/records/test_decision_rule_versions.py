"""The versions of the decision rule in the database: the first by the migration, none ever changed."""

import pytest
from alembic import command
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.cli.serving import tell_findings
from service.records.decision_rules import open_verdicts, rule_in_force
from service.records.json_text import canonical
from service.records.migrations import _config, migrate
from service.records.store import Store
from service.startup_checks import startup_findings
from tests.databases import opened
from tests.records.test_calibrations_from_the_first_release import OLD_DATA
from tests.records.test_first_release_entries import STORED


def test_a_database_from_before_has_the_default_as_its_first_version(empty_url: str) -> None:
    with opened(empty_url) as store:
        config = _config()
        config.attributes["engine"] = store.write_engine
        command.upgrade(config, "0005")
        store.write_engine.dispose()
        migrate(store)
        rows = store.rows("SELECT version, kind, guard_factor, probability, in_force_from FROM decision_rule")
        assert [tuple(row) for row in rows] == [(1, "guard-band-by-uncertainty", "1", None, None)]
        with store.reading() as session:
            assert rule_in_force(session).text == "Rule 1: ISO 14253-1, guard band 1 × U"
        assert [finding for finding in startup_findings(store) if finding.fatal] == []


def test_verdicts_from_before_stand_as_they_were_given_and_count_as_judged_earlier(empty_url: str) -> None:
    stored = next(one for one in STORED if one["kind"] == "examined" and one["measurement"]["kind"] == "size")
    payload = canonical(stored)
    with opened(empty_url) as store:
        config = _config()
        config.attributes["engine"] = store.write_engine
        command.upgrade(config, "0001")
        store.write_engine.dispose()
        with store.write_engine.begin() as connection:
            for statement in OLD_DATA:
                with_payload = statement.replace("'Tove', '{}', 'form-0002'", "'Tove', :payload, 'form-0002'")
                given = {"payload": payload} if with_payload != statement else {}
                connection.execute(text(with_payload), given)
        migrate(store)
        assert [tuple(row) for row in store.rows("SELECT payload FROM entry")] == [(payload,)]
        with store.reading() as session:
            rule = rule_in_force(session)
            assert [(one.number, one.earlier) for one in open_verdicts(session, rule)] == [("OH-1", True)]
        assert "Rule" not in stored["outcome"]["rule"], "it was given before rules had numbers"
        assert [finding for finding in startup_findings(store) if finding.fatal] == [], "no guard was lost on the way"


@pytest.mark.parametrize("change", ["UPDATE decision_rule SET guard_factor = '0'", "DELETE FROM decision_rule"])
def test_a_version_is_never_changed_or_deleted(store: Store, change: str) -> None:
    with pytest.raises(DBAPIError, match="never changed"), store.write_engine.begin() as connection:
        connection.execute(text(change))
    assert [tuple(row) for row in store.rows("SELECT version, guard_factor FROM decision_rule")] == [(1, "1")]


@pytest.mark.parametrize("database_kind", ["postgresql"])
def test_the_versions_are_not_emptied_at_a_stroke(store: Store) -> None:
    with pytest.raises(DBAPIError, match="never changed"), store.write_engine.begin() as connection:
        connection.execute(text("TRUNCATE decision_rule"))


@pytest.mark.parametrize("trigger", ["decision_rule_no_update", "decision_rule_no_delete"])
def test_a_missing_guard_of_the_versions_keeps_the_service_from_starting(store: Store, trigger: str) -> None:
    on = "" if store.is_sqlite else " ON decision_rule"
    with store.write_engine.begin() as connection:
        connection.execute(text(f"DROP TRIGGER {trigger}{on}"))
    fatal = [finding for finding in startup_findings(store) if finding.fatal]
    assert [finding.code for finding in fatal] == ["triggers"]
    assert trigger in fatal[0].sentence


def test_the_guard_factor_of_the_first_release_is_told_to_count_no_more(
    store: Store, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    tell_findings(store)
    assert "SPINDLEBOOK_GUARD_FACTOR" not in capsys.readouterr().err
    monkeypatch.setenv("SPINDLEBOOK_GUARD_FACTOR", "0")
    tell_findings(store)
    assert "SPINDLEBOOK_GUARD_FACTOR is not read any more" in capsys.readouterr().err

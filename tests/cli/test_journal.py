"""`spindlebook journal …` from a terminal: what it prints, and with what status it ends."""

import re
from collections.abc import Callable

import pytest
from sqlalchemy import text
from typer.testing import CliRunner, Result

from service.cli.main import app
from service.records.store import Store
from tests.journals import guards_lifted, stored_rows, write_events

Ask = Callable[..., Result]


@pytest.fixture
def ask(store: Store, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Runs `spindlebook journal …` over the test's database."""
    monkeypatch.setenv("SPINDLEBOOK_DATABASE_URL", store.url)
    return lambda *arguments: CliRunner().invoke(app, ["journal", *arguments])


def test_a_whole_journal_is_verified_with_its_head(ask: Ask, store: Store) -> None:
    write_events(store, 5)
    done, head = ask("verify"), ask("head")
    newest = stored_rows(store)[-1][11]
    assert done.exit_code == head.exit_code == 0
    assert head.stdout == f"{newest} row 5\n"
    assert done.stdout == f"5 rows follow from one another, to row 5 with the hash {newest}\n"
    assert done.stderr == ""


def test_the_first_broken_row_is_named_and_the_status_is_1(ask: Ask, store: Store) -> None:
    write_events(store, 5)
    with guards_lifted(store) as connection:
        connection.execute(text("UPDATE journal SET reason = 'nothing happened' WHERE id = 3"))
    done = ask("verify")
    assert done.exit_code == 1
    assert done.stderr == "Row 3 was edited: reason is not as it was written.\n"
    assert done.stdout.startswith("2 rows follow from one another")


def test_a_head_noted_on_paper_is_found_however_it_was_typed(ask: Ask, store: Store) -> None:
    write_events(store, 5)
    noted = stored_rows(store)[2][11].upper()
    done = ask("verify", "--head", f"{noted[:32]} {noted[32:]} ")
    assert done.exit_code == 0, done.output
    assert "The given head is that of row 3." in done.stdout


def test_a_head_that_is_in_no_row_ends_with_status_1(ask: Ask, store: Store) -> None:
    write_events(store, 5)
    done = ask("verify", "--head", "f" * 64)
    assert done.exit_code == 1
    assert "in no row" in done.stderr


@pytest.mark.parametrize("head", ["abc", "g" * 64, "0" * 65])
def test_a_head_that_is_none_is_bad_input(ask: Ask, head: str) -> None:
    done = ask("verify", "--head", head)
    assert done.exit_code == 2
    assert "64 hexadecimal digits" in done.stderr


def test_missing_guards_are_a_fault_although_the_chain_holds(ask: Ask, store: Store) -> None:
    write_events(store, 5)
    with store.write_engine.begin() as connection:
        on = "" if store.is_sqlite else " ON journal"
        connection.execute(text(f"DROP TRIGGER journal_no_update{on}"))
    done = ask("verify")
    assert done.exit_code == 1
    assert "journal_no_update" in done.stderr
    assert "5 rows follow" in done.stdout


def test_a_database_that_was_never_made_is_bad_input(ask: Ask, empty_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPINDLEBOOK_DATABASE_URL", empty_url)
    done = ask("verify")
    assert done.exit_code == 2
    assert "spindlebook migrate" in done.stderr


def test_a_clock_set_back_is_named_with_status_0(ask: Ask, store: Store) -> None:
    write_events(store, 3)
    write_events(store, 2)
    done = ask("verify")
    assert done.exit_code == 0
    assert re.search(r"row 4 of 2026-03-02T08:00:00\S+ after row 3 of 2026-03-02T08:02:00", done.stdout)


def test_a_bar_is_shown_where_it_takes_long(ask: Ask, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    write_events(store, 2)
    assert "Rows of the journal" not in ask("verify").stderr
    monkeypatch.setattr("service.cli.journal._PATIENCE_S", -1.0)
    assert "Rows of the journal" in ask("verify").stderr

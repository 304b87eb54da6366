"""`spindlebook demo`: a database of its own, its logins on the screen, and no other file touched."""

import sqlite3
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

import seed_demo.scenario
from seed_demo.cast import PEOPLE, WORKSHOP_NAME
from service.cli.main import app

DEMO_FILE = "spindlebook.sqlite3"


def _demo(folder: Path, *more: str) -> Result:
    return CliRunner(env={"COLUMNS": "200"}).invoke(app, ["demo", "--no-serve", "--dir", str(folder), *more])


def _units(folder: Path) -> int:
    connection = sqlite3.connect(folder / DEMO_FILE)
    try:
        return int(connection.execute("SELECT count(*) FROM unit").fetchone()[0])
    finally:
        connection.close()


def test_the_demo_fills_a_database_prints_every_login_keeps_it_and_begins_afresh(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SPINDLEBOOK_DATABASE_URL", "postgresql+psycopg://nobody@127.0.0.1:1/real_workshop")
    bystander = tmp_path / "somebody-elses.txt"
    bystander.write_text("mine")
    (tmp_path / "filling.sqlite3").write_text("left by a demo that was interrupted")

    first = _demo(tmp_path, "--keep", "--units", "8")
    assert first.exit_code == 0, first.output
    assert WORKSHOP_NAME in first.stdout
    for person in PEOPLE:
        assert person.login in first.stdout
        assert person.password in first.stdout
    told = _units(tmp_path)
    assert told > 8

    kept = _demo(tmp_path, "--keep", "--units", "16")
    assert kept.exit_code == 0, kept.output
    assert _units(tmp_path) == told + 16

    # The second telling may be short: that the first one's records are gone is all that it has to show.
    monkeypatch.setattr("seed_demo.scenario.STORIES", seed_demo.scenario.STORIES[:1])
    afresh = _demo(tmp_path)
    assert afresh.exit_code == 0, afresh.output
    assert 0 < _units(tmp_path) < told - 8
    assert sorted(file.name for file in tmp_path.iterdir()) == sorted([bystander.name, DEMO_FILE, "keys"])
    assert bystander.read_text() == "mine"


@pytest.mark.parametrize("units", ["-1", "many"])
def test_a_number_of_units_that_makes_no_sense_is_refused_in_one_sentence(tmp_path: Path, units: str) -> None:
    refused = _demo(tmp_path, "--units", units)
    assert refused.exit_code == 2
    assert len(refused.stderr.strip().splitlines()) == 1
    assert not (tmp_path / DEMO_FILE).exists()

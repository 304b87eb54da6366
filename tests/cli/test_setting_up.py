"""Setting up for real use from the terminal: migrate, the first people, limit sheets as files."""

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from seed_demo.cast import TWO_STROKE
from seed_demo.foundation import sheet_file
from service.actions.accounts import actor_by_login, sign_in
from service.actions.fleets import save_injector_type
from service.app import make_shop
from service.cli.main import app
from service.paths import SHARED
from service.settings import Settings
from service.workshop.vocabulary import Role

Ask = Callable[..., Result]
PASSWORD = "long enough to keep"  # noqa: S105 - of an invented person


@pytest.fixture
def ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Runs `spindlebook …` over a data folder of the test's own."""
    monkeypatch.setenv("SPINDLEBOOK_DATA_DIR", str(tmp_path / "data"))

    def run(*arguments: str, typed: str = "") -> Result:
        return CliRunner().invoke(app, list(arguments), input=typed)

    return run


def _add_manager(ask: Ask) -> Result:
    assert ask("migrate").exit_code == 0
    add = ("user", "add", "Marta", "--name", "Marta Invented", "--role", "manager")
    return ask(*add, "--password-stdin", typed=f"{PASSWORD}\n")


def _refused(result: Result) -> str:
    assert result.exit_code == 2, result.output
    lines = result.stderr.strip().splitlines()
    assert len(lines) == 1, "one sentence, nothing else"
    return lines[0]


def test_migrating_makes_the_database_and_doing_it_twice_is_harmless(ask: Ask) -> None:
    first, second = ask("migrate"), ask("migrate")
    assert first.exit_code == second.exit_code == 0
    assert first.stdout == second.stdout
    assert "revision" in first.stdout


def test_a_person_added_on_the_server_can_sign_in(ask: Ask) -> None:
    added = _add_manager(ask)
    assert added.exit_code == 0, added.output
    shop = make_shop(Settings())
    signed = sign_in(shop, login="marta", password=PASSWORD)
    shop.store.close()
    assert (signed.actor.name, signed.actor.role) == ("Marta Invented", Role.MANAGER)


def test_a_password_is_asked_twice_and_both_must_agree(ask: Ask) -> None:
    assert ask("migrate").exit_code == 0
    add = ("user", "add", "tim", "--name", "Tim Invented", "--role", "technician")
    typed = f"{PASSWORD}\nanother long one\n{PASSWORD}\n{PASSWORD}\n"
    asked = ask(*add, typed=typed)
    assert asked.exit_code == 0, asked.output
    assert PASSWORD not in asked.output, "what is typed is not shown"


def test_a_short_password_is_refused_in_one_sentence(ask: Ask) -> None:
    assert ask("migrate").exit_code == 0
    add = ("user", "add", "tim", "--name", "Tim Invented", "--role", "technician", "--password-stdin")
    assert "at least 12" in _refused(ask(*add, typed="short\n"))
    assert "no password" in _refused(ask(*add, typed=""))


def test_the_ships_office_needs_an_operator_that_is_registered(ask: Ask) -> None:
    assert ask("migrate").exit_code == 0
    add = ("user", "add", "olga", "--name", "Olga", "--role", "office", "--password-stdin")
    assert "operator" in _refused(ask(*add, typed=f"{PASSWORD}\n"))
    assert "no operator Nowhere" in _refused(ask(*add, "--operator", "Nowhere", typed=f"{PASSWORD}\n"))


def test_a_person_cannot_be_added_before_the_database_is_migrated(ask: Ask) -> None:
    add = ("user", "add", "tim", "--name", "Tim", "--role", "technician", "--password-stdin")
    assert "spindlebook migrate" in _refused(ask(*add, typed=f"{PASSWORD}\n"))


def test_a_sheet_goes_in_as_a_draft_and_comes_out_byte_for_byte(ask: Ask, tmp_path: Path) -> None:
    _add_manager(ask)
    shop = make_shop(Settings())
    with shop.store.reading() as session:
        manager = actor_by_login(session, "marta")
    save_injector_type(shop, manager, code=TWO_STROKE, name="Invented")
    shop.store.close()
    file, out = sheet_file(TWO_STROKE), tmp_path / "out.json"
    taken = ask("sheet", "import", str(file), "--by", "marta")
    assert taken.exit_code == 0, taken.output
    assert "approved" in _refused(ask("sheet", "export", TWO_STROKE)), "a draft is not in force"
    assert ask("sheet", "export", TWO_STROKE, "--revision", "1", "--output", str(out)).exit_code == 0
    assert out.read_bytes() == file.read_bytes()
    assert ask("sheet", "export", TWO_STROKE, "--revision", "1").stdout == file.read_text(encoding="utf-8")


def test_a_sheet_file_with_a_fault_is_refused_by_its_place(ask: Ask, tmp_path: Path) -> None:
    _add_manager(ask)
    broken = tmp_path / "broken.json"
    broken.write_text(sheet_file(TWO_STROKE).read_text(encoding="utf-8").replace('"title"', '"titel"', 1))
    assert "title" in _refused(ask("sheet", "import", str(broken), "--by", "marta"))
    assert "cannot be read" in _refused(ask("sheet", "import", str(tmp_path / "nowhere.json"), "--by", "marta"))
    file = str(sheet_file(TWO_STROKE))
    assert "no person nobody" in _refused(ask("sheet", "import", file, "--by", "nobody"))
    assert f"no injector type {TWO_STROKE}" in _refused(ask("sheet", "import", file, "--by", "marta"))


def test_the_schema_that_is_printed_is_the_published_file(ask: Ask) -> None:
    published = SHARED / "schemas" / "limit-sheet.schema.json"
    assert ask("sheet", "schema").stdout == published.read_text(encoding="utf-8")

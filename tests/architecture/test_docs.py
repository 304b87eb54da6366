"""What the documents say is what the program does: settings, commands, permissions, words, links."""

import ast
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer.main
from typer.testing import CliRunner

from service.actions.shop import BENCH
from service.cli.main import app
from service.settings import Settings
from service.workshop.vocabulary import Role

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
WORDS = {
    *("injector", "nozzle", "spray hole", "needle", "spindle", "guide", "seat", "non-return valve", "spring", "shim"),
    *("disc", "opening pressure", "seat tightness", "back leakage", "limit sheet", "gauge pin", "go", "no-go"),
    *("ovality", "roundness", "deviation", "conformity", "concession", "calibration", "expanded uncertainty"),
}
"""The words of the trade and of the standards that pages, API and certificates use."""


def rows_of(heading: str) -> list[list[str]]:
    """The cells of the table under a heading of the README, its head left out."""
    section = re.search(rf"^## {re.escape(heading)}\n(.*?)(?=^## |\Z)", README, re.S | re.M)
    assert section, f"README has no section {heading}"
    lines = [line for line in section[1].splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_the_table_of_settings_is_that_of_the_program_with_its_defaults() -> None:
    shown = {cells[0].strip("`"): cells[1].strip("`") for cells in rows_of("Settings")}
    fields = {f"SPINDLEBOOK_{name.upper()}": str(field.default) for name, field in Settings.model_fields.items()}
    fields = {
        name: {"": "empty", "None": "empty", "**********": "empty", "False": "false"}.get(default, default)
        for name, default in fields.items()
    }
    assert shown == fields


def commands(command: Any, path: tuple[str, ...] = ("spindlebook",)) -> Iterator[str]:
    """Every command that can be typed, the groups not counted."""
    if not hasattr(command, "commands"):
        yield " ".join(path)
        return
    for name, inner in command.commands.items():
        yield from commands(inner, (*path, name))


def documented_commands() -> list[str]:
    return [cells[0].strip("`") for cells in rows_of("Commands")]


def test_every_command_is_in_the_readme_and_no_other() -> None:
    shown, real = documented_commands(), set(commands(typer.main.get_command(app)))
    assert {one for one in real if not any(f"{line} ".startswith(f"{one} ") for line in shown)} == set()
    assert [line for line in shown if not any(f"{line} ".startswith(f"{one} ") for one in real)] == []


@pytest.mark.parametrize(
    "line", [line for line in documented_commands() if " calc " in line and not re.search(r"[A-Z]{3,}", line)]
)
def test_a_calculation_in_the_readme_runs_as_it_stands(line: str) -> None:
    done = CliRunner().invoke(app, shlex.split(line)[1:])
    assert done.exit_code == 0, done.output


def allowed_by_code() -> dict[str, frozenset[Role]]:
    """Every action that asks for a role, with the roles that it lets pass."""
    found: dict[str, frozenset[Role]] = {}
    for file in (ROOT / "service" / "actions").glob("*.py"):
        for function in ast.parse(file.read_text(encoding="utf-8")).body:
            if not isinstance(function, ast.FunctionDef):
                continue
            for call in ast.walk(function):
                if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "require":
                    found[function.name] = frozenset(roles(call.args[1:]))
    return found


def roles(asked: list[ast.expr]) -> Iterator[Role]:
    for one in asked:
        if isinstance(one, ast.Starred):
            assert ast.unparse(one.value) == "BENCH"
            yield from BENCH
        else:
            assert isinstance(one, ast.Attribute)
            yield Role[one.attr]


def test_the_table_of_who_may_do_what_is_what_the_actions_ask() -> None:
    shown: dict[str, frozenset[Role]] = {}
    for _, technician, manager, office, names in rows_of("Who may do what"):
        marks = zip((Role.TECHNICIAN, Role.MANAGER, Role.OFFICE), (technician, manager, office), strict=True)
        may = frozenset(role for role, mark in marks if mark == "yes")
        shown |= dict.fromkeys(re.findall(r"`(\w+)`", names), may)
    assert shown == allowed_by_code()


def test_every_word_of_the_trade_is_explained_in_the_readme() -> None:
    explained = {word for cells in rows_of("Words") for word in cells[0].split(", ")}
    assert WORDS - explained == set()
    assert [cells[0] for cells in rows_of("Words") if not cells[1]] == []


def test_every_file_that_the_documents_point_to_is_there() -> None:
    named = set(re.findall(r"\]\(([^)#:]+)\)", README + DEVELOPERS))
    named |= set(
        re.findall(r"`((?:service|tests|shared|migrations|templates|seed_demo)/[\w./-]*)`", README + DEVELOPERS)
    )
    assert len(named) > 10
    assert {path for path in named if not (ROOT / path).exists()} == set()


def test_every_room_is_in_the_developers_guide() -> None:
    rooms = {path.name for path in (ROOT / "service").iterdir() if (path / "__init__.py").exists()}
    assert {room for room in rooms if f"`service/{room}/`" not in DEVELOPERS} == set()

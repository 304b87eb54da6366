"""The tools that hold the house are run as tests, one after the other."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BIN = Path(sys.executable).parent
pytestmark = pytest.mark.xdist_group("tools")


def run(*command: str) -> None:
    """Run a tool of this environment at the top of the repository and show what it says where it finds fault."""
    done = subprocess.run(
        [str(BIN / command[0]), *command[1:]],
        cwd=ROOT,
        env={**os.environ, "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        timeout=170,
        check=False,
    )
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"


def test_the_rooms_import_in_one_direction_only() -> None:
    run("lint-imports", "--no-cache")


def test_ruff_finds_no_fault() -> None:
    run("ruff", "check", "--no-cache", "service", "tests", "seed_demo", "migrations")


def test_the_code_is_formatted() -> None:
    run("ruff", "format", "--check", "--no-cache", "service", "tests", "seed_demo", "migrations")


def test_every_type_holds_strictly() -> None:
    run("mypy")


def test_djlint_finds_no_fault_in_the_templates() -> None:
    run("djlint", "templates", "--lint", "--quiet")

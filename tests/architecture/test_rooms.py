"""The house rules that a machine can hold: sizes, names, docstrings, who writes, where floats are kept out."""

import ast
from pathlib import Path

import pytest

from service.settings import Settings

ROOT = Path(__file__).resolve().parents[2]
SERVICE = sorted((ROOT / "service").rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
DEMO = sorted((ROOT / "seed_demo").rglob("*.py"))
VAGUE = {"utils", "util", "helpers", "helper", "common", "base", "manager", "managers", "misc", "tools"}
PURE = ("metrology", "hydraulics", "workshop")
LONGEST = 300


def shown(path: Path) -> str:
    return str(path.relative_to(ROOT))


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def room(path: Path) -> str:
    """The room of a file under service/, empty for one at its root."""
    parts = path.relative_to(ROOT).parts
    return parts[1] if parts[0] == "service" and len(parts) > 2 else ""


def test_a_file_is_one_idea_and_no_longer_than_300_lines() -> None:
    lengths = {shown(path): len(path.read_text(encoding="utf-8").splitlines()) for path in SERVICE + TESTS + DEMO}
    assert {name: length for name, length in lengths.items() if length > LONGEST} == {}


def test_no_module_has_a_name_that_says_nothing() -> None:
    names = {shown(path) for path in SERVICE + TESTS + DEMO if VAGUE & {path.stem, *path.parent.parts[-1:]}}
    assert names == set()


def undocumented(path: Path) -> list[str]:
    """Public functions and methods of public classes without a docstring."""
    missing = []
    for node in tree(path).body:
        members = node.body if isinstance(node, ast.ClassDef) and not node.name.startswith("_") else []
        for item in (node, *members):
            public = isinstance(item, ast.FunctionDef | ast.AsyncFunctionDef) and not item.name.startswith("_")
            if public and ast.get_docstring(item) is None:  # type: ignore[arg-type]
                missing.append(f"{shown(path)}:{item.lineno} {item.name}")  # type: ignore[union-attr]
    return missing


@pytest.mark.parametrize("name", PURE)
def test_every_public_function_of_a_pure_room_says_what_it_gives(name: str) -> None:
    assert [line for path in SERVICE if room(path) == name for line in undocumented(path)] == []


def calls(path: Path, attribute: str) -> list[str]:
    """Where a method of that name is called on something called store."""
    found = []
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == attribute:
            on = node.func.value
            name = on.attr if isinstance(on, ast.Attribute) else on.id if isinstance(on, ast.Name) else ""
            if "store" in name.lower():
                found.append(f"{shown(path)}:{node.lineno}")
    return found


def test_only_the_actions_write() -> None:
    """Besides the actions, the demo loads in bulk and the command line keeps the house."""
    elsewhere = [path for path in SERVICE if room(path) not in ("actions", "cli")]
    assert [line for path in elsewhere for line in calls(path, "change")] == []
    assert [line for path in SERVICE if room(path) == "actions" for line in calls(path, "change")] != []


@pytest.mark.parametrize("name", ["records", "workshop"])
def test_what_is_stored_and_judged_is_never_a_binary_float(name: str) -> None:
    floats = [
        f"{shown(path)}:{node.lineno}"
        for path in SERVICE
        if room(path) == name
        for node in ast.walk(tree(path))
        if (isinstance(node, ast.Name) and node.id == "float")
        or (isinstance(node, ast.Constant) and isinstance(node.value, float))
    ]
    assert floats == []


def test_no_rule_reads_the_clock() -> None:
    """The moment is handed in; `date.today` and `datetime.now` stay outside the rules and the storage."""
    reads = [
        f"{shown(path)}:{node.lineno}"
        for path in SERVICE
        if room(path) in (*PURE, "records", "documents")
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and node.attr in {"now", "today", "utcnow"}
    ]
    assert reads == []


def test_every_setting_says_what_it_is_for() -> None:
    assert [name for name, field in Settings.model_fields.items() if not field.description] == []

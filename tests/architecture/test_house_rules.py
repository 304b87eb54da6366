"""Small rules of the house that a reading of the syntax can hold."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SERVICE = {str(path.relative_to(ROOT / "service")): path for path in sorted((ROOT / "service").rglob("*.py"))}
TREES = {name: ast.parse(path.read_text(encoding="utf-8")) for name, path in SERVICE.items()}
PURE = ("metrology/", "hydraulics/", "workshop/")
SCREEN = 60
"""Lines that stand on one screen."""


def found(kind: type[ast.AST] | tuple[type[ast.AST], ...]) -> Iterator[tuple[str, ast.AST]]:
    """Every node of that kind with the file that it stands in."""
    for name, tree in TREES.items():
        yield from ((name, node) for node in ast.walk(tree) if isinstance(node, kind))


def called(node: ast.AST) -> str:
    """What a call calls, as it is written."""
    assert isinstance(node, ast.Call)
    return ast.unparse(node.func)


def test_the_clock_is_read_where_the_service_is_composed_and_nowhere_else() -> None:
    readers = {"datetime.now", "datetime.utcnow", "date.today", "time.time"}
    reading = {name for name, node in found(ast.Call) if called(node) in readers}
    assert reading == {"app.py"}


def test_nobody_commits_but_the_store() -> None:
    """An action's transaction is committed by `Store.change` when its block ends; one in between would break it."""
    ending = [(name, called(node)) for name, node in found(ast.Call) if called(node).endswith((".commit", ".rollback"))]
    assert ending == []


def test_only_the_command_line_prints() -> None:
    assert [name for name, node in found(ast.Call) if called(node) == "print" and not name.startswith("cli/")] == []


def test_no_error_is_swallowed_whole() -> None:
    """An `except` names what it expects, or it raises something that says more."""
    broad = []
    for name, node in found(ast.ExceptHandler):
        assert isinstance(node, ast.ExceptHandler)
        everything = node.type is None or ast.unparse(node.type) in {"Exception", "BaseException"}
        if everything and not isinstance(node.body[-1], ast.Raise):
            broad.append(name)
    assert broad == []


def test_a_value_of_a_pure_room_never_changes() -> None:
    open_ones = []
    for name, node in found(ast.ClassDef):
        assert isinstance(node, ast.ClassDef)
        for decorator in node.decorator_list:
            written = ast.unparse(decorator)
            if name.startswith(PURE) and "dataclass" in written and "frozen=True" not in written:
                open_ones.append(f"{name}: {node.name}")
    assert open_ones == []


def test_a_function_fits_on_a_screen() -> None:
    long = {}
    for name, node in found((ast.FunctionDef, ast.AsyncFunctionDef)):
        assert isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        lines = (node.end_lineno or node.lineno) - node.lineno + 1
        if lines > SCREEN:
            long[f"{name}: {node.name}"] = lines
    assert long == {}


def test_every_module_says_what_it_holds() -> None:
    assert [name for name, tree in TREES.items() if tree.body and ast.get_docstring(tree) is None] == []


def test_no_work_is_left_for_later_in_the_code() -> None:
    marks = ("TO" + "DO", "FIX" + "ME", "HA" + "CK:")
    files = (*SERVICE.values(), *(ROOT / "templates").rglob("*.html"), *(ROOT / "seed_demo").rglob("*.py"))
    assert [str(path) for path in files if any(mark in path.read_text(encoding="utf-8") for mark in marks)] == []


def test_every_action_that_a_person_takes_asks_who_that_is() -> None:
    """A role by `require`, the fleet by `load_in_scope`, or the own account by its password."""
    careless = []
    for name, tree in TREES.items():
        for node in tree.body:
            if not name.startswith("actions/") or not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
                continue
            takes = {argument.arg for argument in node.args.args}
            asks = {called(call) for call in ast.walk(node) if isinstance(call, ast.Call)}
            if takes >= {"shop", "actor"} and not asks & {"require", "load_in_scope"}:
                careless.append(node.name)
    # `issue` and `append_and_journal` work inside the transaction of an action that has asked.
    assert careless == ["change_own_password", "issue", "append_and_journal"]

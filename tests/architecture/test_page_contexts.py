"""A page and its template agree both ways: every field is printed, and every name printed is a field."""

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import ModuleType
from typing import get_type_hints

import pytest
from jinja2 import Environment, FileSystemLoader, meta, nodes

import service.pages
from service.pages.rendering import Frame
from service.paths import TEMPLATES

MODULES = [importlib.import_module(one.name) for one in pkgutil.walk_packages(service.pages.__path__, "service.pages.")]
_PLACE = {"page": 0, "busy_page": 0, "whole_or_part": 1}
"""What renders a template, and which of its arguments names it; the context comes next."""


def rendered() -> Iterator[tuple[str, type]]:
    """Every template that a route renders, with the class of its context."""
    for module in MODULES:
        tree = ast.parse(inspect.getsource(module))
        for function in ast.walk(tree):
            if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
                continue
            for call in ast.walk(function):
                name = ast.unparse(call.func).rpartition(".")[2] if isinstance(call, ast.Call) else ""
                if not isinstance(call, ast.Call) or name not in _PLACE or len(call.args) < _PLACE[name] + 2:
                    continue
                template, context = call.args[_PLACE[name] : _PLACE[name] + 2]
                if isinstance(template, ast.Constant) and isinstance(template.value, str):
                    whole = f"{template.value}.html" if name == "whole_or_part" else template.value
                    yield whole, class_of(context, function, module)


def class_of(value: ast.expr, function: ast.FunctionDef | ast.AsyncFunctionDef, module: ModuleType) -> type:
    """The class of a value: made on the spot, by a function that says what it gives, or named before."""
    if isinstance(value, ast.Call):
        maker = getattr(module, ast.unparse(value.func))
        return maker if isinstance(maker, type) else get_type_hints(maker)["return"]  # type: ignore[no-any-return]
    assert isinstance(value, ast.Name), ast.unparse(value)
    for line in ast.walk(function):
        if isinstance(line, ast.Assign) and ast.unparse(line.targets[0]) == value.id:
            return class_of(line.value, function, module)
    return get_type_hints(getattr(module, function.name))[value.id]  # type: ignore[no-any-return]


CONTEXTS = dict(sorted(rendered(), key=lambda pair: pair[0]))
GLOBALS = {"kept_verdict", "kept_stage_line"}
_ENVIRONMENT = Environment(loader=FileSystemLoader(TEMPLATES))
_ENVIRONMENT.filters.update(day=str, minute=str)
EVERY = sorted(str(path.relative_to(TEMPLATES)) for path in Path(TEMPLATES).rglob("*.html"))


def parsed(name: str) -> nodes.Template:
    return _ENVIRONMENT.parse((Path(TEMPLATES) / name).read_text(encoding="utf-8"))


def drawn_in(name: str) -> set[str]:
    """The templates that this one includes or extends; they see its context, imported macros do not.

    An include whose name is computed may be any part in the same folder.
    """
    folder = name.rpartition("/")[0]
    found: set[str] = set()
    for node in parsed(name).find_all((nodes.Include, nodes.Extends)):
        assert isinstance(node, nodes.Include | nodes.Extends)
        if isinstance(node.template, nodes.Const):
            found.add(node.template.value)
        else:
            found |= {one for one in EVERY if one.startswith(f"{folder}/_")}
    return found - {name}


def names_asked(name: str, seen: frozenset[str] = frozenset()) -> set[str]:
    """Every name that the template and all it draws in ask of the context."""
    template = parsed(name)
    # What a page imports or defines at its top is known in its blocks, which Jinja's own answer does not say.
    known = {
        alias if isinstance(alias, str) else alias[1]
        for node in template.find_all(nodes.FromImport)
        for alias in node.names
    }
    known |= {macro.name for macro in template.find_all(nodes.Macro)}
    own = {node.name for node in template.find_all(nodes.Name) if node.ctx in ("store", "param")}
    asked = meta.find_undeclared_variables(template) - known - GLOBALS - set(_ENVIRONMENT.globals)
    for other in drawn_in(name) - seen:
        asked |= names_asked(other, seen | {name}) - own
    return asked


@pytest.mark.parametrize("template", CONTEXTS)
def test_every_name_in_a_template_is_a_field_of_its_page(template: str) -> None:
    assert names_asked(template) - {field.name for field in fields(CONTEXTS[template])} == set()


@pytest.mark.parametrize("template", CONTEXTS)
def test_every_field_of_a_page_is_printed_by_its_template(template: str) -> None:
    assert {field.name for field in fields(CONTEXTS[template])} - names_asked(template) == set()


def test_every_page_is_held_to_this() -> None:
    pages = set()
    for module in MODULES:
        for value in vars(module).values():
            framed = is_dataclass(value) and any(field.type is Frame for field in fields(value))
            if framed and isinstance(value, type):
                pages.add(value)
    assert pages
    assert pages - set(CONTEXTS.values()) == set()


def test_every_full_page_has_a_context() -> None:
    whole = {name for name in EVERY if not name.startswith("_") and "/_" not in name}
    assert whole - set(CONTEXTS) == set()


def test_every_part_that_htmx_swaps_stands_in_a_full_page_too() -> None:
    # The unit's status is set into a frame that is kept for each person: see Renderer.busy_page.
    drawn = {"units/_unit.html"}
    waiting = [*drawn, *(name for name in EVERY if "/_" not in name and not name.startswith("_"))]
    while waiting:
        more = drawn_in(waiting.pop()) - drawn
        drawn |= more
        waiting.extend(more)
    parts = {name for name in EVERY if "/_" in name}
    assert parts - drawn == set()


def test_the_folders_of_templates_mirror_the_pages() -> None:
    folders = {name.split("/")[0] for name in EVERY} - {"_layout", "_controls"}
    root = Path(service.pages.__path__[0])
    rooms = {path.stem for path in root.glob("*.py")} | {path.name for path in root.iterdir() if path.is_dir()}
    # Error pages have a module of that fuller name: `errors` would read as the exceptions.
    assert folders - rooms - {"errors"} == set()

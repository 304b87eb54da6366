"""The manager's registers: operators, vessels, engines, types, each saved at the version seen."""

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

import pytest

from service.actions.fleets import save_engine, save_injector_type, save_operator, save_vessel
from service.actions.shop import Conflict, Forbidden, Shop
from service.metrology.errors import DomainError
from tests.actions.at_the_bench import newest_journal_row
from tests.registered_fleet import Fleet


@dataclass(frozen=True)
class Register:
    """One register: how a row is saved, with which fields, and under which key it is changed."""

    save: Callable[..., Any]
    key: str
    new: Callable[[Fleet], dict[str, Any]]
    table: str
    subject: str
    bad: tuple[tuple[dict[str, Any], str], ...] = field(default=())


REGISTERS = [
    Register(
        save_operator,
        "operator_id",
        lambda fleet: {"name": "Eastern Invented Lines"},
        "operator",
        "Eastern Invented Lines",
        (({"name": " "}, "name"), ({"name": "Northern Invented Lines"}, "name"), ({"name": "x" * 121}, "name")),
    ),
    Register(
        save_vessel,
        "vessel_id",
        lambda fleet: {"operator_id": fleet.operator_id, "name": "Invented Sun", "imo": "9000027"},
        "vessel",
        "9000027",
        (({"imo": "9000028"}, "imo_number"), ({"operator_id": 999}, "operator_id"), ({"name": ""}, "name")),
    ),
    Register(
        save_engine,
        "engine_id",
        lambda fleet: {
            "vessel_id": fleet.vessel_id,
            "designation": "Aux",
            "cylinders": 5,
            "injectors_per_cylinder": 1,
            "injector_type_id": fleet.type_id,
        },
        "engine",
        "",
        (
            ({"cylinders": 0}, "cylinders"),
            ({"injectors_per_cylinder": 9}, "injectors_per_cylinder"),
            ({"vessel_id": 999}, "vessel_id"),
            ({"injector_type_id": 999}, "injector_type_id"),
            ({"designation": ""}, "designation"),
        ),
    ),
    Register(
        save_injector_type,
        "type_id",
        lambda fleet: {"code": "new-1", "name": "New type"},
        "injector_type",
        "NEW-1",
        (({"code": ""}, "code"), ({"code": "small-1"}, "code"), ({"name": ""}, "name")),
    ),
]
each_register = pytest.mark.parametrize("register", REGISTERS, ids=lambda register: register.table)


@each_register
def test_a_manager_adds_and_changes_a_row_with_its_journal(shop: Shop, fleet: Fleet, register: Register) -> None:
    fields = register.new(fleet)
    row_id = register.save(shop, fleet.manager, **fields)
    added = newest_journal_row(shop)
    assert (added.action, added.before) == (f"{register.table}-saved", "")
    assert register.subject in added.subject_id
    register.save(shop, fleet.manager, **fields, **{register.key: row_id, "version": 1})
    changed = newest_journal_row(shop)
    assert '"version":1' in changed.before
    assert '"version":2' in changed.after


@each_register
def test_only_a_manager_saves(shop: Shop, fleet: Fleet, register: Register) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            register.save(shop, actor, **register.new(fleet))


@each_register
def test_a_stale_form_is_told_what_the_row_says_now(shop: Shop, fleet: Fleet, register: Register) -> None:
    fields = register.new(fleet)
    row_id = register.save(shop, fleet.manager, **fields)
    register.save(shop, fleet.manager, **fields, **{register.key: row_id, "version": 1})
    before = newest_journal_row(shop).id
    with pytest.raises(Conflict) as conflict:
        register.save(shop, fleet.second_manager, **fields, **{register.key: row_id, "version": 1})
    assert "It now says" in conflict.value.changes[0]
    assert newest_journal_row(shop).id == before


@each_register
def test_of_two_who_save_the_same_version_at_once_one_is_told(shop: Shop, fleet: Fleet, register: Register) -> None:
    fields = register.new(fleet)
    row_id = register.save(shop, fleet.manager, **fields)
    start = threading.Barrier(6)

    def attempt(_: int) -> str:
        start.wait()
        try:
            register.save(shop, fleet.manager, **fields, **{register.key: row_id, "version": 1})
        except Conflict:
            return "told"
        return "saved"

    with ThreadPoolExecutor(6) as pool:
        assert sorted(pool.map(attempt, range(6))) == ["saved"] + ["told"] * 5


@each_register
def test_bad_input_names_its_field_and_stores_nothing(shop: Shop, fleet: Fleet, register: Register) -> None:
    before = newest_journal_row(shop).id
    for changes, name in register.bad:
        with pytest.raises(DomainError) as refusal:
            register.save(shop, fleet.manager, **{**register.new(fleet), **changes})
        assert refusal.value.field == name, changes
    assert newest_journal_row(shop).id == before

"""Correcting a person's name and role, and the password of somebody who forgot it: each signed by a manager."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from service.actions.accounts import change_own_password, set_person_active, sign_in
from service.actions.correcting_people import correct_person, give_password
from service.actions.password_trials import WrongPassword
from service.actions.shop import Actor, Conflict, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.vocabulary import Role
from tests.actions.at_the_bench import newest_journal_row
from tests.actions.test_own_account import sign_ins_of
from tests.registered_fleet import PASSWORD, Fleet

NEW = "another long enough word"


def correct(shop: Shop, actor: Actor, who: Actor, **changes: Any) -> None:
    as_is = {"name": who.name, "role": who.role, "operator": "Northern Invented Lines", "password": PASSWORD}
    correct_person(shop, actor, **{"person_id": who.person_id, "version": 1, **as_is, **changes})


def give(shop: Shop, actor: Actor, who: Actor, **changes: Any) -> None:
    asked = {"new": NEW, "again": NEW, "password": PASSWORD, "version": 1}
    give_password(shop, actor, **{"person_id": who.person_id, **asked, **changes})


def test_a_name_is_corrected_and_whoever_bears_it_stays_signed_in(shop: Shop, fleet: Fleet) -> None:
    sign_in(shop, login="tech", password=PASSWORD)
    correct(shop, fleet.manager, fleet.technician, name=" Tova Technician ")
    assert sign_in(shop, login="tech", password=PASSWORD).actor.name == "Tova Technician"
    assert sign_ins_of(shop, fleet.technician.person_id) == 2
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("person-corrected", "tech", "Mara Manager")
    assert json.loads(row.before) == {"name": "Tove Technician", "operator": "", "role": "technician"}
    assert json.loads(row.after) == {"name": "Tova Technician", "operator": "", "role": "technician"}


@pytest.mark.parametrize(
    ("of", "changes"),
    [
        ("technician", {"role": Role.MANAGER}),
        ("technician", {"role": Role.OFFICE}),
        ("office", {"operator": "Southern Invented Lines"}),
    ],
)
def test_another_role_or_fleet_signs_the_person_out(shop: Shop, fleet: Fleet, of: str, changes: dict[str, Any]) -> None:
    who: Actor = getattr(fleet, of)
    sign_in(shop, login=who.login, password=PASSWORD)
    correct(shop, fleet.manager, who, **changes)
    assert sign_ins_of(shop, who.person_id) == 0
    now = sign_in(shop, login=who.login, password=PASSWORD).actor
    assert (now.role, now.operator_id) != (who.role, who.operator_id)


def test_the_last_manager_cannot_lose_the_role(shop: Shop, fleet: Fleet) -> None:
    set_person_active(shop, fleet.manager, person_id=fleet.second_manager.person_id, active=False, version=1)
    with pytest.raises(Refused) as refused:
        correct(shop, fleet.manager, fleet.manager, role=Role.TECHNICIAN)
    assert (refused.value.code, refused.value.field) == ("last-manager", "role")
    set_person_active(shop, fleet.manager, person_id=fleet.second_manager.person_id, active=True, version=2)
    correct(shop, fleet.manager, fleet.manager, role=Role.TECHNICIAN)
    with pytest.raises(Refused, match="sign in again"):  # with the role that is no longer theirs
        correct(shop, fleet.manager, fleet.technician, name="Tova Technician")


def test_a_forgotten_password_is_set_anew_and_the_journal_does_not_learn_it(shop: Shop, fleet: Fleet) -> None:
    sign_in(shop, login="tech", password=PASSWORD)
    give(shop, fleet.manager, fleet.technician)
    assert sign_ins_of(shop, fleet.technician.person_id) == 0
    with pytest.raises(Refused):
        sign_in(shop, login="tech", password=PASSWORD)
    assert sign_in(shop, login="tech", password=NEW).actor == fleet.technician
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("password-given", "tech", "Mara Manager")
    assert (row.before, row.after) == ("", "")


@pytest.mark.parametrize(
    ("act", "changes", "kind", "field"),
    [
        (correct, {"name": " "}, Refused, "name"),
        (correct, {}, Refused, "name"),
        (correct, {"role": Role.OFFICE, "operator": ""}, Refused, "operator"),
        (correct, {"role": Role.OFFICE, "operator": "Nobody's Lines"}, NotFound, "operator"),
        (correct, {"name": "Tova", "password": "not this one"}, WrongPassword, "password"),
        (correct, {"name": "Tova", "person_id": 999}, NotFound, ""),
        (correct, {"name": "Tova", "version": 2}, Conflict, ""),
        (give, {"new": "short", "again": "short"}, Refused, "new"),
        (give, {"again": NEW + "!"}, Refused, "again"),
        (give, {"password": NEW}, WrongPassword, "password"),
        (give, {"person_id": 1}, Refused, "new"),
        (give, {"version": 2}, Conflict, ""),
    ],
)
def test_what_cannot_be_is_refused_by_its_field_and_changes_nothing(
    shop: Shop, fleet: Fleet, act: Callable[..., None], changes: dict[str, Any], kind: type[DomainError], field: str
) -> None:
    assert fleet.manager.person_id == 1
    with pytest.raises(kind) as refused:
        act(shop, fleet.manager, fleet.technician, **changes)
    assert (refused.value.field or "") == field
    assert sign_in(shop, login="tech", password=PASSWORD).actor == fleet.technician


def test_only_a_manager_corrects_people(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        for act in (correct, give):
            with pytest.raises(Forbidden):
                act(shop, actor, fleet.second_technician)


def test_a_password_changed_meanwhile_is_a_conflict(shop: Shop, fleet: Fleet) -> None:
    change_own_password(shop, fleet.technician, current=PASSWORD, new=NEW, again=NEW)
    with pytest.raises(Conflict) as stale:
        give(shop, fleet.manager, fleet.technician)
    assert stale.value.changes == ("Tove Technician is technician and active now.",)

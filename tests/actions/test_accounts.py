"""Signing in and out, and adding people."""

import asyncio
from typing import Any

import pytest
from sqlmodel import update

from service.actions.accounts import add_person, sign_in, sign_out
from service.actions.shop import Forbidden, NotFound, Refused, Shop
from service.actions.signed_in import actor_of_token
from service.records.tables import Person
from service.workshop.vocabulary import Role
from tests.actions.at_the_bench import newest_journal_row
from tests.registered_fleet import PASSWORD, Clock, Fleet


def test_a_person_signs_in_and_is_known_by_the_token(shop: Shop, fleet: Fleet) -> None:
    signed = sign_in(shop, login=" TECH ", password=PASSWORD)
    assert signed.actor == fleet.technician
    assert asyncio.run(actor_of_token(shop, signed.token)) == fleet.technician


def test_the_database_does_not_hold_the_token(shop: Shop, fleet: Fleet) -> None:
    signed = sign_in(shop, login="tech", password=PASSWORD)
    stored = [row[0] for row in shop.store.rows("SELECT token_hash FROM sign_in")]
    assert stored
    assert signed.token not in stored


def test_a_wrong_password_and_an_unknown_login_are_answered_alike(shop: Shop, fleet: Fleet) -> None:
    answers = []
    for login, password in (("tech", "not the right word"), ("nobody", PASSWORD), ("", "")):
        with pytest.raises(Refused) as refusal:
            sign_in(shop, login=login, password=password)
        answers.append((refusal.value.code, refusal.value.sentence, refusal.value.field))
    assert len(set(answers)) == 1


def test_a_sign_in_ends_with_its_hours(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    token = sign_in(shop, login="tech", password=PASSWORD).token
    clock.advance(hours=shop.session_hours, seconds=-1)
    assert asyncio.run(actor_of_token(shop, token)) == fleet.technician
    clock.advance(seconds=2)
    assert asyncio.run(actor_of_token(shop, token)) is None
    sign_in(shop, login="tech", password=PASSWORD)
    assert shop.store.rows("SELECT count(*) FROM sign_in")[0][0] == 1


def test_a_replayed_token_signs_nobody_in_after_signing_out(shop: Shop, fleet: Fleet) -> None:
    token = sign_in(shop, login="tech", password=PASSWORD).token
    other = sign_in(shop, login="tech", password=PASSWORD).token
    sign_out(shop, token)
    assert asyncio.run(actor_of_token(shop, token)) is None
    assert asyncio.run(actor_of_token(shop, other)) == fleet.technician


def test_a_person_who_left_does_not_sign_in_and_is_signed_out(shop: Shop, fleet: Fleet) -> None:
    token = sign_in(shop, login="tech", password=PASSWORD).token
    with shop.store.change() as session:
        session.exec(update(Person).values(active=False))
    with pytest.raises(Refused):
        sign_in(shop, login="tech", password=PASSWORD)
    assert asyncio.run(actor_of_token(shop, token)) is None


def add(shop: Shop, actor: Any, **changes: Any) -> int:
    fields: dict[str, Any] = {"login": "new", "name": "Nora New", "role": Role.TECHNICIAN, "password": PASSWORD}
    return add_person(shop, actor, **{**fields, **changes})


def test_a_manager_adds_a_person_without_the_journal_learning_the_password(shop: Shop, fleet: Fleet) -> None:
    add(shop, fleet.manager, login="New.Person")
    assert sign_in(shop, login="new.person", password=PASSWORD).actor.name == "Nora New"
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("person-added", "new.person", fleet.manager.name)
    assert PASSWORD not in row.after
    assert "argon2" not in row.after


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"login": "tech"}, "login"),
        ({"login": "x"}, "login"),
        ({"login": "has blank"}, "login"),
        ({"name": " "}, "name"),
        ({"password": "short"}, "password"),
        ({"role": Role.OFFICE}, "operator"),
        ({"role": Role.OFFICE, "operator": "Nobody's Lines"}, "operator"),
    ],
)
def test_a_person_with_something_missing_is_refused_by_the_field(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], field: str
) -> None:
    with pytest.raises((Refused, NotFound)) as refusal:
        add(shop, fleet.manager, **changes)
    assert refusal.value.field == field


def test_only_a_manager_adds_people(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            add(shop, actor)


def test_an_office_person_sees_its_own_fleet_only(fleet: Fleet) -> None:
    assert fleet.office.may_see(fleet.operator_id)
    assert not fleet.office.may_see(fleet.other_operator_id)
    assert not fleet.office.may_see(None)
    assert fleet.technician.may_see(fleet.other_operator_id)

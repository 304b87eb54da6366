"""Letting a person out and in again, and changing one's own password."""

import json

import pytest
from sqlmodel import select

from service.actions.accounts import change_own_password, set_person_active, sign_in
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.records.tables import JournalRow, Person, SignIn
from tests.registered_fleet import Fleet

NEW = "another long enough word"


def newest_event(shop: Shop) -> JournalRow:
    with shop.store.reading() as session:
        return session.exec(select(JournalRow).order_by(JournalRow.id.desc())).first()  # type: ignore[union-attr, return-value]


def sign_ins_of(shop: Shop, person_id: int) -> int:
    with shop.store.reading() as session:
        return len(session.exec(select(SignIn).where(SignIn.person_id == person_id)).all())


def test_who_is_deactivated_loses_every_sign_in_and_signs_in_no_more(shop: Shop, fleet: Fleet) -> None:
    who = fleet.technician
    sign_in(shop, login="tech", password=fleet.password)
    set_person_active(shop, fleet.manager, person_id=who.person_id, active=False, version=1)
    assert sign_ins_of(shop, who.person_id) == 0
    with pytest.raises(Refused, match="Login or password is wrong"):
        sign_in(shop, login="tech", password=fleet.password)
    event = newest_event(shop)
    assert (event.action, event.subject_id, event.person_name) == ("person-deactivated", "tech", "Mara Manager")
    assert (json.loads(event.before), json.loads(event.after)) == ({"active": True}, {"active": False})


def test_who_is_activated_again_signs_in_again(shop: Shop, fleet: Fleet) -> None:
    person_id = fleet.technician.person_id
    set_person_active(shop, fleet.manager, person_id=person_id, active=False, version=1)
    set_person_active(shop, fleet.manager, person_id=person_id, active=True, version=2)
    assert sign_in(shop, login="tech", password=fleet.password).actor == fleet.technician


def test_a_manager_cannot_put_out_themselves(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(Refused, match="your own sign-in"):
        set_person_active(shop, fleet.manager, person_id=fleet.manager.person_id, active=False, version=1)


def test_a_person_changed_meanwhile_is_a_conflict_that_says_how_they_stand(shop: Shop, fleet: Fleet) -> None:
    person_id = fleet.technician.person_id
    set_person_active(shop, fleet.second_manager, person_id=person_id, active=False, version=1)
    with pytest.raises(Conflict) as stale:
        set_person_active(shop, fleet.manager, person_id=person_id, active=False, version=1)
    assert stale.value.changes == ("Tove Technician is not active now.",)


def test_only_a_manager_lets_people_out_and_only_known_ones(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            set_person_active(shop, actor, person_id=fleet.manager.person_id, active=False, version=1)
    with pytest.raises(NotFound):
        set_person_active(shop, fleet.manager, person_id=999, active=False, version=1)


def test_a_new_password_ends_all_sign_ins_but_the_one_in_use(shop: Shop, fleet: Fleet) -> None:
    kept = sign_in(shop, login="office", password=fleet.password).token
    sign_in(shop, login="office", password=fleet.password)
    change_own_password(shop, fleet.office, current=fleet.password, new=NEW, again=NEW, keep_token=kept)
    assert sign_ins_of(shop, fleet.office.person_id) == 1
    assert sign_in(shop, login="office", password=NEW).actor == fleet.office
    with pytest.raises(Refused):
        sign_in(shop, login="office", password=fleet.password)


def test_the_journal_learns_of_a_new_password_and_not_the_password(shop: Shop, fleet: Fleet) -> None:
    change_own_password(shop, fleet.technician, current=fleet.password, new=NEW, again=NEW)
    event = newest_event(shop)
    assert (event.action, event.subject_id, event.before, event.after) == ("password-changed", "tech", "", "")
    with shop.store.reading() as session:
        stored = session.exec(select(Person).where(Person.login == "tech")).one().password_hash
    assert NEW not in stored
    assert stored.startswith("$argon2id$")


@pytest.mark.parametrize(
    ("current", "new", "again", "field"),
    [
        ("not this one", NEW, NEW, "current"),
        ("", "short", "short", "new"),
        ("", NEW, NEW + "!", "again"),
    ],
)
def test_a_password_that_cannot_be_is_refused_by_its_field(
    shop: Shop, fleet: Fleet, current: str, new: str, again: str, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        change_own_password(shop, fleet.technician, current=current or fleet.password, new=new, again=again)
    assert refused.value.field == field
    assert sign_in(shop, login="tech", password=fleet.password)

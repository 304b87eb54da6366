"""People: added, let out and in again; and everybody's own password."""

import re
from collections.abc import Callable

import pytest

from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.registered_fleet import PASSWORD, Fleet

NEW = {"login": "petra", "name": "Petra Person", "role": "technician", "password": "twelve signs or more"}


def signed_in(visitor: Visitor) -> bool:
    return visitor.get("/people/me").status_code == 200


def sign_in(visitor: Visitor, login: str, password: str) -> int:
    answer = visitor.client.post("/sign-in", data={"login": login, "password": password}, follow_redirects=False)
    return answer.status_code


def test_a_person_who_was_added_signs_in(manager: Visitor, passer_by: Visitor) -> None:
    page = manager.fill("/people/new", "/people", **NEW)
    assert "Petra Person petra Technician Workshop Yes" in words_of(page)
    assert sign_in(passer_by, "petra", NEW["password"]) == 303


def test_an_office_person_belongs_to_an_operator(manager: Visitor) -> None:
    form = form_of(manager.get("/people/new"), "/people")
    refused = manager.send(form, **{**NEW, "role": "office"})
    assert refused.status_code == 422
    assert re.search(r'id="operator-error".*?name it', refused.text, re.DOTALL)
    assert manager.send(form, **{**NEW, "role": "office"}, operator="Southern Invented Lines").status_code == 303
    assert "petra Ship's office Southern Invented Lines" in words_of(manager.get("/people"))


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("login", "p", "2 to 40"),
        ("login", "tech", "is taken"),
        ("name", "", "as certificates print it"),
        ("role", "captain", "choose one"),
        ("password", "short", "at least 12 characters"),
        ("operator", "Nobody's Lines", "add it first"),
    ],
)
def test_bad_input_stands_beside_its_field_and_a_password_is_never_shown_again(
    manager: Visitor, field: str, typed: str, said: str
) -> None:
    form = form_of(manager.get("/people/new"), "/people")
    role = {"role": "office"} if field == "operator" else {}
    refused = manager.send(form, **{**NEW, **role, field: typed})
    assert refused.status_code == 422
    assert said in re.search(rf'id="{field}-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]
    assert NEW["password"] not in refused.text
    assert form_of(refused, "/people").fields["name"] == ["" if field == "name" else NEW["name"]]


def test_who_is_deactivated_is_out_at_once_and_may_be_let_in_again(
    manager: Visitor, technician: Visitor, fleet: Fleet
) -> None:
    action = f"/people/{fleet.technician.person_id}/activity"
    assert signed_in(technician)
    manager.fill("/people", action)
    assert not signed_in(technician)
    assert sign_in(technician, "tech", PASSWORD) == 422
    manager.fill("/people", action)
    assert not signed_in(technician), "the earlier sign-in has ended for good"
    assert sign_in(technician, "tech", PASSWORD) == 303


def test_nobody_puts_out_themselves(manager: Visitor, fleet: Fleet) -> None:
    assert f"/people/{fleet.manager.person_id}/activity" not in manager.get("/people").text
    data = {"active": "", "seen": "1", "form_key": "abcdefgh"}
    answer = manager.client.post(f"/people/{fleet.manager.person_id}/activity", data=data)
    assert answer.status_code == 422
    assert "You cannot stop your own sign-in" in words_of(answer)
    assert signed_in(manager)


def test_a_stale_list_says_how_the_person_stands_now(
    manager: Visitor, visit: Callable[[str], Visitor], fleet: Fleet
) -> None:
    action = f"/people/{fleet.technician.person_id}/activity"
    form = form_of(manager.get("/people"), action)
    assert visit("manager2").fill("/people", action).status_code == 200
    stale = manager.send(form)
    assert stale.status_code == 409
    assert "Tove Technician is not active now." in words_of(stale)


@pytest.mark.parametrize("login", ["tech", "manager", "office"])
def test_every_role_changes_its_own_password(visit: Callable[[str], Visitor], login: str) -> None:
    here, elsewhere, new = visit(login), visit(login), "another long enough word"
    form = form_of(here.get("/people/me"), "/people/me/password")
    done = here.send(form, current=PASSWORD, new=new, again=new)
    assert done.status_code == 200
    assert "Your password is changed." in words_of(done)
    assert signed_in(here)
    assert not signed_in(elsewhere)
    assert sign_in(elsewhere, login, PASSWORD) == 422
    assert sign_in(elsewhere, login, new) == 303


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"current": "not this one at all"}, "current"),
        ({"new": "short", "again": "short"}, "new"),
        ({"again": "another long enough wort"}, "again"),
    ],
)
def test_a_refused_password_changes_nothing(
    technician: Visitor, passer_by: Visitor, typed: dict[str, str], field: str
) -> None:
    right = {"current": PASSWORD, "new": "another long enough word", "again": "another long enough word"}
    refused = technician.send(form_of(technician.get("/people/me"), "/people/me/password"), **{**right, **typed})
    assert refused.status_code == 422
    assert f'id="{field}-error"' in refused.text
    assert sign_in(passer_by, "tech", PASSWORD) == 303


def test_only_the_manager_sees_people(technician: Visitor, office: Visitor, passer_by: Visitor, fleet: Fleet) -> None:
    for visitor in (technician, office):
        assert visitor.get("/people").status_code == 403
        assert visitor.get("/people/new").status_code == 403
        assert visitor.get(f"/people/{fleet.manager.person_id}/correction").status_code == 403
        assert visitor.client.post("/people", data=NEW).status_code == 403
        assert visitor.client.post(f"/people/{fleet.manager.person_id}/activity", data={}).status_code == 403
    assert passer_by.get("/people/me").status_code == 303


def test_a_manager_corrects_name_and_role_over_the_form(manager: Visitor, technician: Visitor, fleet: Fleet) -> None:
    path = f"/people/{fleet.technician.person_id}/correction"
    form = form_of(manager.get(path), path)
    assert form.fields["name"] == ["Tove Technician"]
    refused = manager.send(form, name="Tova Technician", password="not this one at all")
    assert refused.status_code == 422
    assert 'id="password-error"' in refused.text
    assert form_of(refused, path).fields["name"] == ["Tova Technician"]
    assert manager.send(form, name="Tova Technician", role="manager", password=PASSWORD).status_code == 303
    assert "Tova Technician tech Manager Workshop Yes" in words_of(manager.get("/people"))
    assert not signed_in(technician)
    stale = manager.send(form, name="Tove", password=PASSWORD)
    assert stale.status_code == 409
    assert "Tova Technician is manager and active now." in words_of(stale)


def test_a_manager_sets_a_forgotten_password_anew(manager: Visitor, passer_by: Visitor, fleet: Fleet) -> None:
    path, new = f"/people/{fleet.technician.person_id}/password", "another long enough word"
    form = form_of(manager.get(path), path)
    assert manager.send(form, new=new, again=new + "!", password=PASSWORD).status_code == 422
    assert manager.send(form, new=new, again=new, password=PASSWORD).status_code == 303
    assert sign_in(passer_by, "tech", PASSWORD) == 422
    assert sign_in(passer_by, "tech", new) == 303
    assert manager.get("/people/999/password").status_code == 404

"""Operators, vessels, engines and injector types: added and changed by the manager."""

import re

import pytest

from service.actions.fleets import save_operator
from service.actions.shop import Shop
from service.workshop.vocabulary import Disposition
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.registered_fleet import IMO, Fleet

PATHS = (
    "/fleets",
    "/fleets/operators/new",
    "/fleets/vessels/new",
    "/fleets/injector-types/new",
    "/fleets/operators/1",
    "/fleets/vessels/1",
    "/fleets/engines/1",
    "/fleets/vessels/1/engines/new",
    "/fleets/injector-types/1",
)


def test_the_register_says_each_standing_order_in_words(manager: Visitor) -> None:
    words = words_of(manager.get("/fleets"))
    assert "Northern Invented Lines Standing order: Rework without asking." in words
    assert "Southern Invented Lines Standing order: Ask before any work beyond cleaning and new seals." in words
    assert "Invented Star" in words
    assert IMO in words
    assert "cylinders 1 to 6, 2 × SMALL-1 on each" in words


def test_an_operator_is_added_with_its_standing_order(manager: Visitor) -> None:
    page = manager.fill(
        "/fleets/operators/new",
        "/fleets/operators",
        name="Eastern Invented Lines",
        standing_order=["rework", "replace-assembly"],
    )
    assert "Eastern Invented Lines Standing order: Rework, replace the matched assembly without asking." in words_of(
        page
    )


def test_the_same_form_sent_twice_adds_one_operator(manager: Visitor) -> None:
    form = form_of(manager.get("/fleets/operators/new"), "/fleets/operators")
    assert manager.send(form, name="Eastern Invented Lines").status_code == 303
    again = manager.send(form, name="Eastern Invented Lines")
    assert again.status_code == 422
    assert "Eastern Invented Lines is registered already." in words_of(again)
    assert words_of(manager.get("/fleets")).count("Eastern Invented Lines Standing order") == 1


def test_replacing_an_assembly_is_shown_again_without_replacing_parts(manager: Visitor) -> None:
    form = form_of(manager.get("/fleets/operators/new"), "/fleets/operators")
    refused = manager.send(form, name="", standing_order="replace-assembly")
    assert refused.status_code == 422
    assert form_of(refused, "/fleets/operators").fields["standing_order"] == ["replace-assembly"]


def test_a_stale_operator_form_shows_what_changed_and_keeps_what_was_typed(
    manager: Visitor, shop: Shop, fleet: Fleet
) -> None:
    path = f"/fleets/operators/{fleet.operator_id}"
    form = form_of(manager.get(path), path)
    save_operator(
        shop,
        fleet.second_manager,
        name="Northern Renamed Lines",
        standing_order=frozenset({Disposition.REPLACE}),
        operator_id=fleet.operator_id,
        version=1,
    )
    stale = manager.send(form, name="Northern Other Lines", contact="by wireless")
    assert stale.status_code == 409
    words = words_of(stale)
    assert "Somebody changed this since you opened it." in words
    assert "name Northern Renamed Lines" in words
    kept = form_of(stale, path)
    assert (kept.fields["name"], kept.fields["contact"]) == (["Northern Other Lines"], ["by wireless"])
    assert manager.send(kept).status_code == 303
    assert "Northern Other Lines Standing order" in words_of(manager.get("/fleets"))


def test_bad_input_does_not_make_a_stale_form_fresh(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    path = f"/fleets/operators/{fleet.operator_id}"
    form = form_of(manager.get(path), path)
    save_operator(shop, fleet.second_manager, name="Renamed", operator_id=fleet.operator_id, version=1)
    form.fields["seen"] = ["2"]
    save_operator(shop, fleet.second_manager, name="Renamed again", operator_id=fleet.operator_id, version=2)
    form.fields["name"] = ["x"]
    stale = manager.send(form)
    assert stale.status_code == 409
    form.fields["seen"] = ["damaged"]
    assert manager.send(form).status_code == 422


def test_a_wrong_check_digit_stands_beside_the_imo_number(manager: Visitor, fleet: Fleet) -> None:
    form = form_of(manager.get(f"/fleets/vessels/new?operator={fleet.operator_id}"), "/fleets/vessels")
    assert form.fields["operator_id"] == [str(fleet.operator_id)]
    refused = manager.send(form, name="Invented Sun", imo_number="9000004")
    assert refused.status_code == 422
    assert re.search(r'id="imo_number-error".*?check digit is 3', refused.text, re.DOTALL)
    kept = form_of(refused, "/fleets/vessels").fields
    assert (kept["name"], kept["imo_number"]) == (["Invented Sun"], ["9000004"])


def test_an_imo_number_is_registered_once(manager: Visitor, fleet: Fleet) -> None:
    form = form_of(manager.get("/fleets/vessels/new"), "/fleets/vessels")
    refused = manager.send(form, name="Copy", imo_number=IMO, operator_id=str(fleet.operator_id))
    assert refused.status_code == 422
    assert re.search(r'id="imo_number-error".*?registered already as Invented Star', refused.text, re.DOTALL)


def test_a_vessel_needs_an_operator_from_the_list(manager: Visitor) -> None:
    form = form_of(manager.get("/fleets/vessels/new"), "/fleets/vessels")
    for chosen in ("", "12345", "many"):
        refused = manager.send(form, name="Invented Sun", imo_number="9000027", operator_id=chosen)
        assert refused.status_code == 422
        assert "Choose" in re.search(r'id="operator_id-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]


def test_a_vessel_passes_to_another_operator(manager: Visitor, fleet: Fleet) -> None:
    path = f"/fleets/vessels/{fleet.vessel_id}"
    page = manager.fill(path, path, operator_id=str(fleet.other_operator_id), name="Invented Star II")
    assert "Invented Star II" in words_of(page).partition("Southern Invented Lines")[2]


def test_an_engine_is_added_once_to_its_vessel(manager: Visitor, fleet: Fleet) -> None:
    path = f"/fleets/vessels/{fleet.vessel_id}/engines/new"
    form = form_of(manager.get(path), "/engines")
    typed = {"designation": "Auxiliary engine 1", "cylinders": "8", "injector_type_id": str(fleet.type_id)}
    assert manager.send(form, **typed).status_code == 303
    assert "Auxiliary engine 1 cylinders 1 to 8, 1 × SMALL-1 on each" in words_of(manager.get("/fleets"))
    again = manager.send(form, **typed)
    assert again.status_code == 422
    assert "has an engine Auxiliary engine 1 already" in words_of(again)


@pytest.mark.parametrize(("cylinders", "said"), [("0", "1 to 24 cylinders"), ("six", "enter a whole number")])
def test_cylinders_that_no_engine_has_are_refused_beside_the_field(
    manager: Visitor, fleet: Fleet, cylinders: str, said: str
) -> None:
    path = f"/fleets/engines/{fleet.engine_id}"
    refused = manager.send(form_of(manager.get(path), path), cylinders=cylinders)
    assert refused.status_code == 422
    assert re.search(rf'id="cylinders-error".*?{said}', refused.text, re.DOTALL)
    assert form_of(refused, path).fields["cylinders"] == [cylinders]


def test_a_type_with_a_limit_sheet_keeps_its_code_and_may_change_its_name(manager: Visitor, fleet: Fleet) -> None:
    path = f"/fleets/injector-types/{fleet.type_id}"
    form = form_of(manager.get(path), path)
    refused = manager.send(form, code="OTHER-1")
    assert refused.status_code == 422
    assert "it cannot change" in words_of(refused)
    assert "Renamed small injector" in words_of(manager.fill(path, path, name="Renamed small injector"))


def test_a_code_that_no_address_can_carry_is_refused(manager: Visitor) -> None:
    form = form_of(manager.get("/fleets/injector-types/new"), "/fleets/injector-types")
    refused = manager.send(form, code="A/B", name="Slash")
    assert refused.status_code == 422
    assert re.search(r'id="code-error"', refused.text)
    assert manager.send(form, code="new-type.1", name="New").status_code == 303
    assert "NEW-TYPE.1" in words_of(manager.get("/fleets"))


@pytest.mark.parametrize(
    "path", ["operators/99", "vessels/99", "engines/99", "injector-types/99", "operators/" + "9" * 40]
)
def test_what_is_not_registered_is_not_found(manager: Visitor, path: str) -> None:
    assert manager.get(f"/fleets/{path}").status_code == 404


def test_only_the_manager_sees_the_register(technician: Visitor, office: Visitor, passer_by: Visitor) -> None:
    for path in PATHS:
        assert technician.get(path).status_code == 403
        assert office.get(path).status_code == 403
        assert passer_by.get(path).status_code == 303


def test_only_the_manager_changes_the_register(technician: Visitor, office: Visitor) -> None:
    for path in ("operators", "operators/1", "vessels", "vessels/1", "engines/1", "injector-types"):
        for visitor in (technician, office):
            assert visitor.client.post(f"/fleets/{path}", data={"name": "x"}).status_code == 403

"""Receiving a consignment: the vessel first, then its injectors row by row."""

from service.actions.course import condemn
from service.actions.shop import Shop
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.typed_at_the_bench import injector_row
from tests.registered_fleet import PASSWORD, Fleet

DUE = "2026-03-20"


def _form(fleet: Fleet) -> str:
    return f"/consignments/new?imo={fleet.imo}"


def test_the_vessel_is_chosen_or_named_by_its_number(technician: Visitor, fleet: Fleet) -> None:
    assert "Which vessel" in words_of(technician.get("/consignments/new"))
    for query in (f"vessel={fleet.imo}&imo=", f"vessel=&imo=IMO+{fleet.imo}"):
        assert technician.get(f"/consignments/new?{query}").headers["location"] == _form(fleet)
    assert "Receive from Invented Star" in words_of(technician.get(_form(fleet)))


def test_a_wrong_check_digit_is_told_beside_the_number(technician: Visitor) -> None:
    answer = technician.get("/consignments/new?vessel=&imo=9000004")
    assert answer.status_code == 422
    assert "the check digit is 3" in words_of(answer)
    assert 'value="9000004"' in answer.text
    assert 'id="imo-error"' in answer.text


def test_an_unregistered_vessel_two_vessels_and_none_are_refused(technician: Visitor, fleet: Fleet) -> None:
    unknown = technician.get("/consignments/new?imo=9074729")
    assert unknown.status_code == 422
    assert "a manager adds it first" in words_of(unknown)
    both = technician.get(f"/consignments/new?vessel={fleet.imo}&imo={fleet.other_imo}")
    assert "not both" in words_of(both)
    assert technician.get("/consignments/new?vessel=&imo=").status_code == 422


def test_another_injector_is_added_without_losing_what_was_typed(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    answer = technician.send(form, more="yes", due_on=DUE, reference="PO 7", **injector_row(0, fleet, "sn-1"))
    assert answer.status_code == 200
    again = form_of(answer, "/consignments").fields
    assert again["injectors.0.serial"] == ["sn-1"]
    assert again["reference"] == ["PO 7"]
    assert again["injectors.1.fuel"] == ["residual"]
    assert again["injectors.1.serial"] == [""]
    assert again["form_key"] == form.fields["form_key"]


def test_a_row_is_taken_away_and_the_rows_after_it_move_up(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    rows = injector_row(0, fleet, "SN-1") | injector_row(1, fleet, "SN-2")
    answer = technician.send(form, rows="2", remove="0", **rows)
    again = form_of(answer, "/consignments").fields
    assert again["rows"] == ["1"]
    assert again["injectors.0.serial"] == ["SN-2"]


def test_a_consignment_of_two_is_received_and_listed_with_its_labels(technician: Visitor, fleet: Fleet) -> None:
    rows = injector_row(0, fleet, "SN-1", position="A", running_hours="7400") | injector_row(1, fleet, "SN-2")
    arrived = technician.fill(_form(fleet), "/consignments", due_on=DUE, reference="PO 7", rows="2", **rows)
    words = words_of(arrived)
    assert "CN-2026-0001" in words
    assert "PO 7" in words
    assert "20 Mar 2026" in words
    assert "Main engine, cylinder 3 A" in words
    for number in ("OH-2026-0001", "OH-2026-0002"):
        assert f'href="/overhauls/{number}"' in arrived.text
        assert technician.get(f"/overhauls/{number}/label.pdf").content.startswith(b"%PDF-")


def test_every_error_stands_at_its_own_injector_and_all_are_told_at_once(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    rows = injector_row(0, fleet, "SN?1", cylinder="x") | injector_row(1, fleet, "SN-2", fuel="", engine_id="0")
    answer = technician.send(form, due_on="soon", rows="2", **rows)
    assert answer.status_code == 422
    for field in ("due_on", "injectors.0.serial", "injectors.0.cylinder", "injectors.1.fuel"):
        assert f'id="{field}-error"' in answer.text, field
    again = form_of(answer, "/consignments").fields
    assert again["injectors.0.serial"] == ["SN?1"]
    assert again["due_on"] == ["soon"]


def test_what_only_the_register_knows_is_told_at_the_injector_too(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    rows = injector_row(0, fleet, "SN-1") | injector_row(1, fleet, "SN-2", cylinder="7")
    answer = technician.send(form, due_on=DUE, rows="2", **rows)
    assert answer.status_code == 422
    assert 'id="injectors.1.cylinder-error"' in answer.text
    foreign = technician.send(form, due_on=DUE, **injector_row(0, fleet, "SN-1", engine_id=str(fleet.other_engine_id)))
    assert 'id="injectors.0.engine_id-error"' in foreign.text
    assert "0 in the shop" in words_of(technician.get("/board"))


def test_a_serial_that_is_open_leads_to_its_overhaul(technician: Visitor, fleet: Fleet, injector: Injector) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    answer = technician.send(form, due_on=DUE, **injector_row(0, fleet, "sn-1001"))
    assert answer.status_code == 422
    assert 'id="injectors.0.serial-error"' in answer.text
    assert f'href="{injector.address}"' in answer.text


def test_one_serial_twice_in_a_consignment_is_refused_at_the_second(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    rows = injector_row(0, fleet, "SN-1") | injector_row(1, fleet, "sn-1")
    answer = technician.send(form, due_on=DUE, rows="2", **rows)
    assert answer.status_code == 422
    assert "entered already as injector 1" in words_of(answer)
    assert 'id="injectors.1.serial-error"' in answer.text


def test_a_condemned_injector_is_not_received_again(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    condemn(shop, fleet.manager, injector.number, injector.form(), reason="Cracked.", password=PASSWORD)
    form = form_of(technician.get(_form(fleet)), "/consignments")
    answer = technician.send(form, due_on=DUE, **injector_row(0, fleet, "SN-1001"))
    assert answer.status_code == 422
    assert "was condemned" in words_of(answer)


def test_the_same_form_sent_twice_receives_once(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    answers = [technician.send(form, due_on=DUE, **injector_row(0, fleet, "SN-1")) for _ in range(2)]
    assert answers[0].headers["location"] == answers[1].headers["location"]
    assert "1 in the shop" in words_of(technician.get("/board"))


def test_a_damaged_number_of_rows_is_refused(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    assert technician.send(form, rows="1000000").status_code == 422
    assert technician.send(form, rows="x").status_code == 422


def test_page_and_part_are_the_same_markup(technician: Visitor, fleet: Fleet) -> None:
    form = form_of(technician.get(_form(fleet)), "/consignments")
    fields = {"due_on": "", **injector_row(0, fleet, "SN-1")}
    whole, part = technician.send(form, **fields), technician.send(form, part=True, **fields)
    assert part.status_code == whole.status_code == 422
    assert "<html" not in part.text
    assert part.text.strip() in whole.text
    assert part.headers["vary"] == "HX-Request, HX-Request-Type"


def test_only_the_workshop_receives(office: Visitor, fleet: Fleet) -> None:
    assert office.get("/consignments/new").status_code == 403
    assert office.client.post("/consignments", data={}).status_code == 403
    assert office.get("/consignments/CN-2026-0001").status_code == 403


def test_an_unknown_consignment_is_not_found(technician: Visitor) -> None:
    assert technician.get("/consignments/CN-1999-0001").status_code == 404

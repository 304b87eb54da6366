"""The pages of the test rigs: the list, one rig, its daily check, its oil, its card."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from service.actions.shop import Shop
from service.records.rig_reads import known_rig, rig_row
from service.workshop.test_rig import TestRig
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import Clock, Fleet, register_instrument
from tests.small_sheet import INSTRUMENTS

NEW: dict[str, str | list[str]] = {
    "code": "rig/2",
    "unit": "kgf/cm²",
    "gauges": ["GAUGE-1"],
    "line_pressure_bar": "300",
    "line_hold_s": "30",
    "line_drop_max_bar": "10 bar",
    "springs": "2",
    "spring_lower_n": "90",
    "spring_upper_n": "110",
    "oil_days": "30",
}
RIG_2 = "/test-rigs/RIG%2F2"
OIL = {"oil_name": "Invented oil", "viscosity_mm2_s": "2,6", "bulk_modulus_gpa": "1.5", "changed_on": "2026-03-01"}
CHECK: dict[str, str | list[str]] = {
    "gauge": "GAUGE-1",
    "start_bar": "300",
    "end_bar": "299",
    "held_s": "30",
    "forces_n": ["100", "101"],
    "tester": "FORCE-1",
}


def saved(shop: Shop, code: str = "RIG/2") -> TestRig:
    with shop.store.reading() as session:
        row = rig_row(session, code)
        assert row is not None
        return known_rig(session, row, shop.now().date()).rig


def test_the_list_says_in_words_how_each_rig_stands_today(visit: Callable[[str], Visitor], clock: Clock) -> None:
    page = words_of(visit("tech").get("/test-rigs"))
    assert "RIG-1 Invented rig Good Checked today, 08:00 UTC, by Tove Technician." in page
    assert "GAUGE-1 In date calibration due" in page
    assert "Invented test oil, 2.6 mm²/s at 40 °C, 49 days old" in page
    clock.advance(days=1)
    assert "Not checked today A run started on it now is indicative and supports no release." in words_of(
        visit("tech").get("/test-rigs")
    )


def test_a_check_is_typed_in_the_unit_of_the_dial_and_answered_with_each_reason(
    manager: Visitor, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    register_instrument(shop, fleet.manager, replace(INSTRUMENTS["RATE-1"], code="FORCE-1", unit="N"))
    assert manager.fill("/test-rigs/new", "/test-rigs", **NEW).status_code == 200
    assert str(saved(shop).line.pressure_bar) == "294.2"
    form = technician.get(f"{RIG_2}/checks/new")
    for piece in ("Spray pierces skin", "Spray mist ignites", "Pressure left in the line", "Clamp springs under load"):
        assert piece in words_of(form)
    assert "Shut off at, or above 300 kgf/cm² 294.2 bar" in words_of(form)
    assert "Record the oil first" in words_of(form)
    technician.fill(f"{RIG_2}/oil/new", "/oil", **OIL)
    page = technician.fill(f"{RIG_2}/checks/new", "/checks", **CHECK, remark="Oil <warm>")
    said = words_of(page)
    assert "Good Checked today, 08:00 UTC, by Tove Technician." in said
    assert "Blanked line Conforms It lost 0.981 bar in 30 s; 10 bar in 30 s are allowed" in said
    assert "Clamp spring 2 Conforms 101 N, inside 90 to 110 N" in said
    assert "Shut off at 300 kgf/cm² 294.2 bar" in said
    assert "Remark: Oil <warm>" in said
    again = technician.fill(f"{RIG_2}/checks/new", "/checks", **{**CHECK, "end_bar": "270"})
    assert "Not good" in words_of(again)
    assert "find the leak of the rig" in words_of(again)
    assert "Good 2 Mar 2026, 08:00 UTC" in words_of(again), "the earlier check stays on the page"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("gauge", "", "is not on rig RIG-1"),
        ("start_bar", "", "Pressure when shut off is empty"),
        ("start_bar", "furlong", "not a number"),
        ("end_bar", "410", "rose while the line was blanked"),
        ("held_s", "-1", "time held in seconds"),
        ("remark", "x" * 501, "500 characters"),
    ],
)
def test_a_check_that_cannot_be_recorded_comes_back_as_it_was_typed(
    technician: Visitor, field: str, typed: str, said: str
) -> None:
    page, reading = "/test-rigs/RIG-1/checks/new", {"start_bar": "400", "end_bar": "39,8 MPa", "held_s": "61"}
    refused = technician.fill(page, "/checks", **{**reading, field: typed})
    assert refused.status_code == 422
    error = re.search(rf'id="{field}-error".*?</p>', refused.text, re.DOTALL)
    assert error is not None
    assert said in error[0]
    assert form_of(refused, "/checks").fields.get(field, [""]) == [typed]


def test_a_force_nobody_can_read_is_refused_at_its_own_spring(
    manager: Visitor, technician: Visitor, shop: Shop
) -> None:
    manager.fill("/test-rigs/new", "/test-rigs", **NEW)
    refused = technician.fill(f"{RIG_2}/checks/new", "/checks", **{**CHECK, "forces_n": ["100", "strong"]})
    assert refused.status_code == 422
    assert 'id="forces_n-2-error"' in refused.text
    assert "Spring 2 reads “strong”" in words_of(refused)
    assert form_of(refused, "/checks").fields["forces_n"] == ["100", "strong"]


def test_a_check_sent_twice_is_one_check(technician: Visitor) -> None:
    form = form_of(technician.get("/test-rigs/RIG-1/checks/new"), "/checks")
    for _ in range(2):
        assert technician.send(form, start_bar="400", end_bar="399", held_s="60").status_code == 303
    page = words_of(technician.get("/test-rigs/RIG-1"))
    assert page.count("2 Mar 2026, 08:00 UTC, Tove Technician") == 1, "the one before it"


def test_oil_past_its_day_is_told_with_the_rig(manager: Visitor, visit: Callable[[str], Visitor], clock: Clock) -> None:
    technician = visit("tech")
    manager.fill("/test-rigs/new", "/test-rigs", **NEW)
    technician.fill(f"{RIG_2}/oil/new", "/oil", **OIL)
    assert "to be changed by 31 Mar 2026, due in 29 days" in words_of(technician.get(RIG_2))
    clock.advance(days=30)
    technician = visit("tech")
    assert "To be changed by 31 Mar 2026, 1 day late" in words_of(technician.get("/test-rigs"))
    refused = technician.fill(f"{RIG_2}/oil/new", "/oil", **{**OIL, "viscosity_mm2_s": "thick"})
    assert refused.status_code == 422
    assert 'id="viscosity_mm2_s-error"' in refused.text


def test_the_card_is_corrected_as_it_was_seen_and_takes_a_rig_out_of_use(
    manager: Visitor, technician: Visitor, shop: Shop
) -> None:
    place = "/test-rigs/RIG-1/card"
    form = form_of(manager.get(place), place)
    assert manager.send(form, unit="psi").status_code == 303
    rig = saved(shop, "RIG-1")
    assert (rig.unit, str(rig.line.pressure_bar)) == ("psi", "400"), "another dial asks for the same pressure"
    stale = manager.send(form, description="Mine")
    assert stale.status_code == 409
    assert "Somebody changed this rig" in words_of(stale)
    again = form_of(stale, place)
    assert again.fields["gauges"] == ["GAUGE-1"]
    assert manager.send(again, out_of_use="yes").status_code == 303
    page = technician.get("/test-rigs/RIG-1")
    assert "Out of use No run and no check is made on it." in words_of(page)
    assert "/checks/new" not in page.text


@pytest.mark.parametrize(
    ("field", "typed"),
    [("code", "RIG-1"), ("unit", "mm"), ("line_drop_max_bar", ""), ("spring_upper_n", "1"), ("oil_days", "soon")],
)
def test_a_card_that_says_nothing_sensible_stands_with_its_error(manager: Visitor, field: str, typed: str) -> None:
    refused = manager.send(form_of(manager.get("/test-rigs/new"), "/test-rigs"), **{**NEW, field: typed})
    assert refused.status_code == 422
    assert f'id="{"spring_lower_n" if field == "spring_upper_n" else field}-error"' in refused.text
    assert form_of(refused, "/test-rigs").fields["gauges"] == ["GAUGE-1"]


def test_the_bench_checks_and_only_the_manager_keeps_the_cards(technician: Visitor, office: Visitor) -> None:
    for path in ("/test-rigs/new", "/test-rigs/RIG-1/card"):
        assert technician.get(path).status_code == 403, path
    for path in ("/test-rigs", "/test-rigs/RIG-1/card"):
        assert technician.client.post(path, data={"form_key": "a-key-of-mine"}).status_code == 403, path
    for path in ("/test-rigs", "/test-rigs/RIG-1", "/test-rigs/RIG-1/checks/new", "/test-rigs/RIG-1/oil/new"):
        assert office.get(path).status_code == 403, path
        assert technician.get(path).status_code == 200, path
    assert not has_form(technician.get("/test-rigs"), "/card")
    for path in ("", "/checks/new", "/oil/new"):
        assert technician.get(f"/test-rigs/RIG-9{path}").status_code == 404, path


def test_the_board_and_the_due_list_tell_quietly_what_the_rigs_want(
    manager: Visitor, visit: Callable[[str], Visitor], clock: Clock
) -> None:
    assert "Test rigs: " not in words_of(manager.get("/board")), "checked, and its oil has no interval"
    assert "Test oil due" not in words_of(manager.get("/instruments/due"))
    manager.fill("/test-rigs/new", "/test-rigs", **NEW)
    manager.fill(f"{RIG_2}/oil/new", "/oil", **OIL)
    assert "Test rigs: Not checked today: RIG/2." in words_of(manager.get("/board"))
    clock.advance(days=30)
    keeper = visit("manager")
    assert "Test rigs: Not checked today: RIG-1, RIG/2. Oil overdue: RIG/2." in words_of(keeper.get("/board"))
    assert "Test oil due Due Test rig 1 day late 31 Mar 2026 RIG/2" in words_of(keeper.get("/instruments/due"))


def test_the_recall_of_a_gauge_lists_the_checks_that_rest_on_it(manager: Visitor) -> None:
    page = manager.get("/recalls/instruments/GAUGE-1")
    assert "Daily checks of test rigs (1)" in words_of(page)
    assert "RIG-1 2 Mar 2026, 08:00 UTC, Tove Technician Good" in words_of(page)
    assert "Daily checks" not in words_of(manager.get("/recalls/instruments/MIC-1"))

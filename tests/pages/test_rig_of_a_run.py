"""The rig that a bench run is started on: what the form says before, what run, step and release say after."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from service.actions.shop import Shop
from service.actions.test_rigs import save_test_rig
from service.workshop.entries import BenchRunStarted
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.registered_fleet import RIG_CARD, Clock, Fleet, check_the_rig, register_instrument
from tests.small_sheet import INSTRUMENTS

CARD: dict[str, str | list[str]] = {
    "code": "RIG-2",
    "unit": "MPa",
    "gauges": ["GAUGE-1"],
    "line_pressure_bar": "30",
    "line_hold_s": "30",
    "line_drop_max_bar": "1",
}


def started(injector: Injector) -> BenchRunStarted:
    (_, run), *_ = injector.record.all_of(BenchRunStarted)
    return run


def test_a_gauge_stands_in_the_list_with_its_rig_and_todays_check(injector: Injector, technician: Visitor) -> None:
    page = technician.get(f"{injector.address}/proving")
    assert ">GAUGE-1 · rig RIG-1 · checked today 08:00 UTC, good</option>" in page.text
    assert "is indicative and supports no release" not in words_of(page)


@pytest.mark.parametrize(("end_bar", "why"), [(None, "has not been checked today"), ("370", "was not good")])
def test_the_form_says_before_the_start_that_a_run_will_be_indicative(
    injector: Injector, visit: Callable[[str], Visitor], clock: Clock, fleet: Fleet, end_bar: str | None, why: str
) -> None:
    injector.rebuilt()
    clock.advance(days=1)
    if end_bar is not None:
        check_the_rig(injector.shop, fleet.technician, end_bar)
    technician = visit("tech")
    page = technician.get(f"{injector.address}/proving")
    assert f"{why}: a run started on it now is indicative and supports no release. Check rig RIG-1" in words_of(page)
    assert 'href="/test-rigs/RIG-1/checks/new"' in page.text
    first = technician.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    assert "Proving run, gauge GAUGE-1 on rig RIG-1" in words_of(first)
    doubt = started(injector).indicative
    assert doubt
    for place in ("proving", "release"):
        said = words_of(technician.get(f"{injector.address}/{place}"))
        assert "ndicative" in said, place
    assert f"Indicative only: this run supports no release. {doubt}" in words_of(first)


def test_a_gauge_of_two_rigs_is_chosen_with_its_rig(injector: Injector, manager: Visitor) -> None:
    manager.fill("/test-rigs/new", "/test-rigs", **CARD)
    page = manager.get(f"{injector.address}/proving")
    assert ">GAUGE-1 · rig RIG-2 · not checked today</option>" in page.text
    assert "Rig RIG-2 has not been checked today" in words_of(page)
    refused = manager.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    assert refused.status_code == 422
    assert "serves several rigs" in words_of(refused)
    manager.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1 on RIG-2")
    run = started(injector)
    assert run.rig is not None
    assert (run.rig.code, run.rig.unit) == ("RIG-2", "MPa")


def test_a_run_of_yesterday_says_before_anybody_pumps_that_its_rig_wants_a_check(
    injector: Injector, visit: Callable[[str], Visitor], clock: Clock, fleet: Fleet
) -> None:
    place = str(visit("tech").fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1").url)
    why = "rig RIG-1 has no good check of today, 2026-03-03: check the rig, then go on"
    assert why not in words_of(visit("tech").get(place))
    clock.advance(days=1)
    assert why in words_of(visit("tech").get(place))
    check_the_rig(injector.shop, fleet.technician)
    assert why not in words_of(visit("tech").get(place))


def test_a_rig_that_is_taken_out_of_use_meanwhile_starts_no_run_that_nobody_asked_for(
    injector: Injector, manager: Visitor, fleet: Fleet
) -> None:
    page = manager.get(f"{injector.address}/proving")
    assert 'value="GAUGE-1 on RIG-1"' in page.text
    save_test_rig(injector.shop, fleet.manager, replace(RIG_CARD, in_use=False), version=1)
    refused = manager.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1 on RIG-1")
    assert refused.status_code == 422
    assert "GAUGE-1 is not a gauge of rig RIG-1" in words_of(refused)


def test_a_gauge_on_no_rig_says_what_its_run_is_worth(
    injector: Injector, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    register_instrument(shop, fleet.manager, replace(INSTRUMENTS["GAUGE-1"], code="GAUGE-2"))
    page = technician.get(f"{injector.address}/proving")
    assert ">GAUGE-2 · on no test rig</option>" in page.text
    assert "GAUGE-2 belongs to no test rig: a run started with it is indicative" in words_of(page)


def test_the_release_tells_the_rig_its_check_and_an_indicative_as_found_test(
    injector: Injector, visit: Callable[[str], Visitor], clock: Clock, fleet: Fleet
) -> None:
    clock.advance(days=1)
    visit("tech").fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    injector.rebuilt()
    check_the_rig(injector.shop, fleet.technician)
    injector.tested()
    page = words_of(visit("manager").get(f"{injector.address}/release"))
    assert "Test rig RIG-1, checked 3 Mar 2026, 08:00 UTC by Tove Technician, good" in page
    assert "As-found test Indicative: Rig RIG-1 had not been checked on 2026-03-03." in page

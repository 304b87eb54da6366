"""Where is serial X, and what did you find? For the bench every unit, for a ship's office its own fleet's."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from service.actions.course import condemn, hold
from service.actions.rebuilding import reopen
from service.actions.releasing import sign_release
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.pages.unit_status import _AS_PROPOSED, _KEPT, VOIDING
from service.workshop.entries import PartSettled
from service.workshop.narration import narrate
from service.workshop.proving import proving_run
from service.workshop.vocabulary import Disposition
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.unit_register import receive, receive_from_other_fleet, second_type
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.small_findings import REJECTED
from tests.small_sheet import SMALL_SHEET


@pytest.mark.parametrize("typed", ["SN-1001", "sn-1001", " sn-1001 ", "Sn-1001"])
def test_the_serial_is_found_however_it_is_typed(injector: Injector, office: Visitor, typed: str) -> None:
    answer = office.get(f"/units/{typed}")
    assert answer.status_code == 200
    assert "SN-1001" in words_of(answer)


def test_the_status_names_vessel_type_stage_and_promise(injector: Injector, office: Visitor) -> None:
    told = words_of(office.get("/units/SN-1001"))
    for word in ("SMALL-1", "Invented Star", "IMO 9000003", "Received 2 Mar 2026", "Promised for 20 Mar 2026"):
        assert word in told
    assert "Received : now" in told
    assert "Nothing examined yet" in told


def test_findings_stand_with_verdict_and_reason(injector: Injector, office: Visitor) -> None:
    injector.examined(needle_seat=REJECTED["needle-seat"])
    told = words_of(office.get("/units/SN-1001"))
    assert "Internal seat of the needle Does not conform" in told
    assert "Indentation" in told
    assert "Cracks in the body Conforms" in told


def test_a_finding_looked_at_again_is_shown_once_with_the_newest_verdict(injector: Injector, office: Visitor) -> None:
    injector.examined(body_pin=REJECTED["body-pin"])
    assert "Locating pin Does not conform" in words_of(office.get("/units/SN-1001"))
    injector.examine("body-pin", type(REJECTED["body-pin"])(answer=True))  # type: ignore[call-arg]
    told = words_of(office.get("/units/SN-1001"))
    assert "Locating pin Conforms" in told
    assert told.count("Locating pin") == 1


def test_kept_parts_are_told_in_one_line_and_the_rest_each(injector: Injector, office: Visitor) -> None:
    injector.examined()
    settle_as_proposed(injector.shop, injector.technician, injector.number, injector.form())
    told = words_of(office.get("/units/SN-1001"))
    assert "Kept as they are: Injector body, Nozzle, Needle, Spring." in told
    assert "Sealing ring: replace the part" in told


def test_the_narration_still_tells_a_kept_part_in_the_words_that_the_page_gathers() -> None:
    settled = PartSettled(part="nozzle", proposed=Disposition.KEEP, chosen=Disposition.KEEP)
    words = narrate(settled, SMALL_SHEET)
    assert words.title.endswith(_KEPT)
    assert words.sentence == _AS_PROPOSED


def test_a_proving_run_is_shown_and_no_longer_counts_after_reopening(injector: Injector, office: Visitor) -> None:
    injector.rebuilt()
    injector.tested()
    told = words_of(office.get("/units/SN-1001"))
    assert "Proving run, 2 Mar 2026" in told
    assert "Opening pressure Passed" in told
    assert "no longer count" not in told
    reopen(injector.shop, injector.technician, injector.number, injector.form(), reason="A ring was pinched.")
    assert "no longer count" in words_of(office.get("/units/SN-1001"))


def test_the_page_and_the_rule_agree_on_what_voids_a_run(injector: Injector) -> None:
    injector.rebuilt()
    injector.tested()
    reopen(injector.shop, injector.technician, injector.number, injector.form(), reason="A ring was pinched.")
    run = proving_run(injector.record)
    assert run is not None
    later = {entry.content.kind for entry in injector.record.entries if entry.seq > run.number}
    assert bool(run.void_reason) is bool(later & VOIDING) is True
    assert {"reopened", "discs-changed", "torqued", "fitted", "reworked"} == VOIDING


def test_a_released_unit_links_its_certificate(injector: Injector, office: Visitor, fleet: Fleet, shop: Shop) -> None:
    injector.rebuilt()
    injector.tested()
    issued = sign_release(shop, fleet.manager, injector.number, injector.form(), password=fleet.password)
    answer = office.get("/units/SN-1001")
    assert f'href="/certificates/{issued.number}.pdf"' in answer.text
    assert "Released : now" in words_of(answer)


def test_a_hold_and_a_side_exit_are_told_with_their_reason(
    injector: Injector, office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    hold(shop, fleet.manager, injector.number, injector.form(), reason="Owner asks to wait.", password=PASSWORD)
    assert "Held : Owner asks to wait." in words_of(office.get("/units/SN-1001"))
    other = received(shop, fleet, "SN-1002")
    other.examined(body_cracks=REJECTED["body-cracks"])
    condemn(shop, fleet.manager, other.number, other.form(), reason="The body is cracked.", password=PASSWORD)
    told = words_of(office.get("/units/SN-1002"))
    assert "Condemned" in told
    assert "The body is cracked." in told


def test_an_overdue_injector_says_by_how_much(
    injector: Injector, visit: Callable[[str], Visitor], clock: Clock
) -> None:
    assert "late" not in words_of(visit("office").get("/units/SN-1001"))
    clock.moment = datetime(2026, 3, 21, 8, 0, tzinfo=UTC)
    assert "1 day late" in words_of(visit("office").get("/units/SN-1001"))
    clock.moment = datetime(2026, 3, 23, 8, 0, tzinfo=UTC)
    assert "3 days late" in words_of(visit("office").get("/units/SN-1001"))


def test_the_bench_is_led_to_the_overhaul_and_the_office_is_not(
    injector: Injector, technician: Visitor, office: Visitor
) -> None:
    assert f'href="{injector.address}"' in technician.get("/units/SN-1001").text
    assert f'href="{injector.address}"' not in office.get("/units/SN-1001").text


def test_the_history_holds_every_overhaul_of_the_serial(
    injector: Injector, technician: Visitor, fleet: Fleet, shop: Shop
) -> None:
    injector.rebuilt()
    injector.tested()
    sign_release(shop, fleet.manager, injector.number, injector.form(), password=fleet.password)
    second = receive(shop, fleet, "SN-1001", "SN-1003")[0]
    told = words_of(technician.get("/units/SN-1001"))
    assert injector.number in told
    assert second in told
    assert "Received : now" in told


def test_another_fleets_serial_answers_byte_for_byte_as_an_unknown_one(
    office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    receive_from_other_fleet(shop, fleet, "SN-2001")
    foreign, unknown = office.get("/units/SN-2001"), office.get("/units/SN-9999")
    assert foreign.status_code == unknown.status_code == 404
    assert foreign.content == unknown.content
    assert dict(foreign.headers) == dict(unknown.headers)
    typed = office.get("/units/SN-2001?type=SMALL-1")
    assert (typed.status_code, typed.content) == (404, unknown.content)
    assert office.get("/units/%21%21").content == unknown.content


def test_an_office_sees_of_a_units_past_only_what_came_from_its_own_vessels(
    injector: Injector, office: Visitor, other_office: Visitor, technician: Visitor, fleet: Fleet, shop: Shop
) -> None:
    injector.rebuilt()
    injector.tested()
    sign_release(shop, fleet.manager, injector.number, injector.form(), password=fleet.password)
    now = receive_from_other_fleet(shop, fleet, "SN-1001")[0]
    first, second, bench = (words_of(who.get("/units/SN-1001")) for who in (office, other_office, technician))
    assert injector.number in first
    assert now not in first
    assert "Invented Moon" not in first
    assert now in second
    assert injector.number not in second
    assert "Invented Star" not in second
    assert injector.number in bench
    assert now in bench


def test_one_serial_on_two_types_asks_which_is_meant(
    injector: Injector, office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    second = receive(shop, fleet, "SN-1001", engine_id=second_type(shop, fleet))[0]
    answer = office.get("/units/SN-1001")
    assert answer.status_code == 200
    assert "Which SN-1001 ?" in words_of(answer)
    assert 'href="/units/SN-1001?type=SMALL-2"' in answer.text
    assert second in words_of(office.get("/units/SN-1001?type=SMALL-2"))
    assert injector.number in words_of(office.get("/units/SN-1001?type=SMALL-1"))
    assert office.get("/units/SN-1001?type=SMALL-3").status_code == 404


def test_a_serial_with_a_slash_and_a_blank_has_its_page(office: Visitor, fleet: Fleet, shop: Shop) -> None:
    receive(shop, fleet, "A 1/2")
    assert office.get("/units/A%201/2").status_code == 200


def test_nobody_looks_without_signing_in(injector: Injector, passer_by: Visitor) -> None:
    answer = passer_by.get("/units/SN-1001")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/sign-in?back=/units/SN-1001"


def test_one_persons_kept_frame_never_shows_on_anothers_page(
    injector: Injector, technician: Visitor, office: Visitor
) -> None:
    for _ in range(2):
        assert "Tove Technician" in technician.get("/units/SN-1001").text
        told = office.get("/units/SN-1001").text
        assert "Olga Office" in told
        assert "Tove Technician" not in told

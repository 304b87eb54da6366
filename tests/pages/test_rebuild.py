"""Rework, new parts, torques, adjusting discs and reopening on their page."""

from datetime import UTC, datetime

from service.workshop.vocabulary import Disposition, Phase, Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.test_settlement import without_keys
from tests.registered_fleet import PASSWORD, Clock
from tests.small_findings import REJECTED, SOUND

WIDE, INDENTED = REJECTED["body-seat-width"], REJECTED["needle-seat"]


def page_of(injector: Injector) -> str:
    return f"{injector.address}/rebuild"


def test_nothing_can_be_recorded_before_every_part_is_agreed(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    page = technician.get(page_of(injector))
    assert "Settle and agree every part first." in words_of(page)
    for noun in ("/fittings", "/torques", "/disc-changes", "/reopenings"):
        assert not has_form(page, noun)


def test_rework_leads_back_to_the_measurement_of_what_was_wrong(injector: Injector, technician: Visitor) -> None:
    injector.examined(body_seat_width=WIDE)
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    empty = technician.fill(page_of(injector), "form=task-rework-body")
    assert empty.status_code == 422
    assert "Say what was done" in words_of(empty)
    page = technician.send(form_of(empty, "form=task-rework-body"), method="Seat face ground 0.2 mm")
    assert page.status_code == 303
    page = technician.get(page_of(injector))
    assert "Seat face ground 0.2 mm · Tove Technician" in words_of(page)
    assert f'href="{injector.address}/examination/body-seat-width?phase=after-rework"' in page.text
    injector.examine("body-seat-width", SOUND["body-seat-width"], Phase.AFTER_REWORK)
    assert f'href="{injector.address}/examination/body-seat-width' not in technician.get(page_of(injector)).text


def test_a_matched_assembly_is_fitted_once_by_its_serial(injector: Injector, technician: Visitor) -> None:
    injector.examined(needle_seat=INDENTED)
    for part in ("nozzle", "needle"):
        technician.fill(f"{injector.address}/settlement", f"form=part-{part}", chosen="condemn", reason="Slip of hand")
        technician.fill(f"{injector.address}/settlement", f"form=part-{part}", chosen="replace-assembly")
    assert injector.record.settled["nozzle"][1].chosen is Disposition.REPLACE_ASSEMBLY
    words = words_of(technician.get(page_of(injector)))
    assert words.count("Fit the new matched assembly: Nozzle set") == 1


def test_a_seal_is_renewed_by_its_batch_and_the_nut_tightened_last(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    early = technician.fill(page_of(injector), "form=task-torque-nut", value="100", wrench="WRENCH-1")
    assert early.status_code == 422
    assert "Tighten last. Still to do: Renew the seal: Sealing ring." in words_of(early)
    assert form_of(early, "form=task-torque-nut").fields["value"] == ["100"]
    page = technician.fill(page_of(injector), "form=task-fit-seal-ring", batch="B-77")
    assert "Batch or serial B-77 · Tove Technician" in words_of(page)
    technician.fill(page_of(injector), "form=task-torque-nut", value="100 Nm", wrench="WRENCH-1")
    assert injector.stage is Stage.REBUILT


def test_a_torque_outside_its_band_is_kept_and_asked_again(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    technician.fill(page_of(injector), "form=task-fit-seal-ring", batch="B-77")
    page = technician.fill(page_of(injector), "form=task-torque-nut", value="80", wrench="WRENCH-1")
    assert "80 N·m is below 90 to 110 N·m: slacken and tighten again." in words_of(page)
    assert has_form(page, "form=task-torque-nut")


def test_a_torque_without_its_wrench_is_refused_beside_the_list(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    technician.fill(page_of(injector), "form=task-fit-seal-ring", batch="B-77")
    answer = technician.fill(page_of(injector), "form=task-torque-nut", value="100,5")
    assert answer.status_code == 422
    assert 'id="task-torque-nut-wrench-error"' in answer.text
    assert form_of(answer, "form=task-torque-nut").fields["value"] == ["100,5"]


def test_only_wrenches_in_date_are_offered(injector: Injector, technician: Visitor, clock: Clock) -> None:
    injector.examined()
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    page = technician.get(page_of(injector))
    assert '<option value="WRENCH-1">' in page.text
    assert "GAUGE-1" not in page.text
    clock.moment = datetime(2027, 2, 1, 8, 0, tzinfo=UTC)  # the day after the calibration ran out
    late = Visitor(technician.client)
    late.client.post("/sign-in", data={"login": "tech", "password": PASSWORD})
    assert '<option value="WRENCH-1">' not in late.get(page_of(injector)).text


def test_a_disc_change_says_beforehand_that_it_voids_the_passed_run(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    assert "This voids a bench run." not in words_of(technician.get(page_of(injector)))
    injector.tested()
    assert injector.stage is Stage.PROVED
    page = technician.get(page_of(injector))
    assert "This voids a bench run. The proving run of 2 Mar 2026 has passed. It becomes void" in words_of(page)
    assert "Record and void the run" in words_of(page)
    page = technician.fill(page_of(injector), "form=discs", added=["0.10", "", ""], reason="Opened 4 bar low")
    assert "1 of at most 5 added discs." in words_of(page)
    assert "This voids a bench run." not in words_of(page), "it is void already"
    assert injector.stage is Stage.AGREED, "the nut must be tightened again"


def test_a_sixth_disc_is_refused_and_nothing_typed_is_lost(injector: Injector, technician: Visitor) -> None:
    # Not more than five extra discs adjust the pressure: common practice, no source.
    injector.rebuilt()
    six = ["0.05", "0.05", "0.05", "0.05", "0.05", "0.05"]
    answer = technician.fill(page_of(injector), "form=discs", added=six, reason="Opens far too low")
    assert answer.status_code == 422
    assert "6 added discs are more than the 5 of the limit sheet" in words_of(answer)
    shown = form_of(answer, "form=discs")
    assert shown.fields["added"] == six
    assert shown.fields["reason"] == ["Opens far too low"]
    assert injector.record.discs_added == 0


def test_discs_add_up_over_several_changes(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    technician.fill(page_of(injector), "form=discs", added=["0.10"] * 4, reason="Opens low")
    answer = technician.fill(page_of(injector), "form=discs", added=["0.05", "0.05"], reason="Still low")
    assert answer.status_code == 422
    assert "with room for 1" in words_of(answer)
    taken = technician.fill(page_of(injector), "form=discs", removed=["0.10"], added=["0.15", "0.05"], reason="Finer")
    assert "5 of at most 5 added discs." in words_of(taken)


def test_a_disc_as_thick_as_a_brick_is_refused(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    answer = technician.fill(page_of(injector), "form=discs", added=["50", ""], reason="Opens low")
    assert answer.status_code == 422
    assert 'id="discs-added-error"' in answer.text
    assert injector.record.discs_added == 0


def test_reopening_voids_the_run_and_asks_for_every_thread_again(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt().tested()
    silent = technician.fill(page_of(injector), "form=reopening")
    assert silent.status_code == 422
    assert "Say why it is opened again." in words_of(silent)
    technician.send(form_of(silent, "form=reopening"), reason="Drip at the nut")
    assert injector.stage is Stage.AGREED
    runs = technician.get(f"{injector.address}/proving")
    assert "The injector was reopened afterwards: Drip at the nut" in words_of(runs)


def test_fitting_twice_by_one_form_records_once(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    form = form_of(technician.get(page_of(injector)), "form=task-fit-seal-ring")
    before = injector.record.last_seq
    assert technician.send(form, batch="B-77").status_code == 303
    assert technician.send(form, batch="B-77").status_code == 303
    assert injector.record.last_seq == before + 1


def test_the_page_holds_the_very_markup_of_its_part(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt().tested()
    page, part = technician.get(page_of(injector)), technician.get(page_of(injector), part=True)
    assert without_keys(part.text) in without_keys(page.text)

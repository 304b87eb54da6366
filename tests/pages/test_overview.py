"""Where an overhaul stands: the next thing, what blocks, the history, hold and side exits."""

import pytest

from service.actions.course import hold
from service.actions.shop import Shop
from service.workshop.release_gate import release_blockers
from service.workshop.vocabulary import Stage
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED


def test_what_arrived_is_told(technician: Visitor, injector: Injector) -> None:
    words = words_of(technician.get(injector.address))
    for piece in ("Planned overhaul", "Running hours not known", "Residual fuel", "plugs in place", "for 20 Mar 2026"):
        assert piece in words
    assert f'href="{injector.address}/label.pdf"' in technician.get(injector.address).text


def test_the_next_thing_is_one_button_that_leads_to_its_place(technician: Visitor, injector: Injector) -> None:
    assert _button(technician, injector) == f'href="{injector.address}/strip">Strip and clean'
    assert "Or test it as found first" in words_of(technician.get(injector.address))
    injector.examined()
    assert "as found first" not in words_of(technician.get(injector.address))
    assert _button(technician, injector) == f'href="{injector.address}/settlement#part-body">Settle the part'


def test_a_proved_injector_is_the_managers_to_release(
    technician: Visitor, manager: Visitor, injector: Injector
) -> None:
    injector.rebuilt().tested()
    assert _button(manager, injector) == f'href="{injector.address}/release">Sign the release'
    page = technician.get(injector.address)
    assert "waits for a manager to sign" in words_of(page)
    assert "button-primary" not in page.text


def test_a_concession_is_waited_for_and_nothing_is_rebuilt_meanwhile(technician: Visitor, injector: Injector) -> None:
    injector.examined(nozzle_holes=REJECTED["nozzle-holes"])
    form = form_of(technician.get(f"{injector.address}/settlement"), "form=part-nozzle")
    technician.send(form, chosen="keep", reason="Spare nozzle is on the quay.")
    as_proposed = form_of(technician.get(f"{injector.address}/settlement"), "form=as-proposed")
    technician.send(as_proposed)
    page = technician.get(injector.address)
    assert "A manager's concession is needed" in words_of(page)
    assert "Waits for a manager" in words_of(page)
    assert "button-primary" not in page.text


def test_many_blockers_of_one_kind_are_one_line_that_opens(technician: Visitor, injector: Injector) -> None:
    page = technician.get(injector.address)
    blockers = release_blockers(injector.record)
    assert len(blockers) > 8
    assert f"What still blocks the release ({len(blockers)})" in words_of(page)
    unexamined = [blocker for blocker in blockers if blocker.code == "not-examined"]
    assert f"{len(unexamined)} characteristics are not examined" in words_of(page)
    for blocker in blockers:
        assert blocker.sentence in words_of(page)


def test_the_history_has_the_newest_first_with_who_and_when(technician: Visitor, injector: Injector) -> None:
    injector.examined()
    words = words_of(technician.get(injector.address))
    assert words.index("Stiffness of the spring Conforms") < words.index("Stripped and cleaned Every part")
    assert "Tove Technician 2 Mar 2026, 08:00 UTC" in words


def test_a_hold_stops_the_work_until_the_manager_lifts_it(
    technician: Visitor, manager: Visitor, injector: Injector
) -> None:
    held = technician.fill(injector.address, "/holds", reason="Owner asks to wait.", password=PASSWORD)
    assert "Held: Owner asks to wait." in words_of(held)
    assert not has_form(technician.get(injector.address), "/hold-lifts")
    assert "button-primary" not in technician.get(injector.address).text
    assert 'href="' + injector.address + '#hold">Lift the hold' in manager.get(injector.address).text
    assert 'id="hold" open>' in manager.get(injector.address).text
    lifted = manager.fill(injector.address, "/hold-lifts", reason="Owner agrees.", password=PASSWORD)
    assert injector.record.held is None
    assert "Hold lifted" in words_of(lifted)


@pytest.mark.parametrize(("ending", "stage"), [("returns", Stage.RETURNED), ("condemnations", Stage.CONDEMNED)])
def test_a_side_exit_ends_the_overhaul_with_its_reason(
    manager: Visitor, injector: Injector, ending: str, stage: Stage
) -> None:
    over = manager.fill(injector.address, f"/{ending}", reason="Body is cracked.", password=PASSWORD)
    assert injector.stage is stage
    words = words_of(over)
    assert "This overhaul is over." in words
    assert "Body is cracked." in words
    assert not has_form(over, injector.address)


def test_a_decision_without_a_reason_is_refused_beside_its_field(manager: Visitor, injector: Injector) -> None:
    form = form_of(manager.get(injector.address), "/condemnations")
    answer = manager.send(form, reason="  ")
    assert answer.status_code == 422
    assert 'id="condemn-reason-error"' in answer.text
    assert '<details class="card" id="exit" open>' in " ".join(answer.text.split())
    assert injector.stage is Stage.RECEIVED


@pytest.mark.parametrize("noun", ["/holds", "/condemnations"])
def test_a_signed_decision_wants_the_password_and_keeps_the_reason_but_never_the_password(
    manager: Visitor, injector: Injector, noun: str
) -> None:
    form = form_of(manager.get(injector.address), noun)
    answer = manager.send(form, reason="Body is cracked.", password="not the word")
    assert answer.status_code == 422
    assert "The password is wrong: nothing was signed." in words_of(answer)
    assert "not the word" not in answer.text
    again = form_of(answer, noun)
    assert again.fields["reason"] == ["Body is cracked."]
    assert injector.record.entries == ()
    opened = answer.text[: answer.text.index('type="password"')].rpartition("<form")[2]
    assert "data-keep" not in opened, "a password is not kept in the browser"
    assert manager.send(again, password=PASSWORD).status_code == 303
    assert len(injector.record.entries) == 1


def test_ending_an_overhaul_is_the_managers(technician: Visitor, manager: Visitor, injector: Injector) -> None:
    page = technician.get(injector.address)
    for ending in ("/returns", "/condemnations"):
        assert not has_form(page, ending)
        form = form_of(manager.get(injector.address), ending)
        assert technician.send(form, reason="No.").status_code == 403
    assert injector.stage is Stage.RECEIVED


def test_a_hold_sent_twice_is_one_hold(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(injector.address), "/holds")
    assert [technician.send(form, reason="Wait.", password=PASSWORD).status_code for _ in range(2)] == [303, 303]
    assert len(injector.record.entries) == 1


def test_two_holds_at_once_lose_nothing_typed(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    form = form_of(technician.get(injector.address), "/holds")
    hold(shop, fleet.manager, injector.number, injector.form(), reason="First.", password=PASSWORD)
    answer = technician.send(form, reason="Second.", password=PASSWORD)
    assert answer.status_code in (409, 422)
    assert "held already" in words_of(answer)


def test_the_page_is_not_for_the_office_whether_the_overhaul_exists_or_not(office: Visitor, injector: Injector) -> None:
    answers = [office.get(address) for address in (injector.address, "/overhauls/OH-1999-0001")]
    assert [answer.status_code for answer in answers] == [403, 403]
    assert answers[0].content == answers[1].content


def test_an_unknown_overhaul_is_not_found(technician: Visitor) -> None:
    for page in ("", "/strip", "/examination", "/examination/body-pin", "/label.pdf"):
        assert technician.get(f"/overhauls/OH-1999-0001{page}").status_code == 404


def test_page_and_part_are_the_same_markup(technician: Visitor, shop: Shop, fleet: Fleet) -> None:
    injector = received(shop, fleet, "SN-9")
    injector.examined()
    technician.fill(injector.address, "/holds", reason="Wait.", password=PASSWORD)
    whole, part = technician.get(injector.address), technician.get(injector.address, part=True)
    assert part.text.strip() in whole.text


def _button(visitor: Visitor, injector: Injector) -> str:
    found = visitor.get(injector.address).text.split('class="button button-primary" ')
    assert len(found) == 2
    return found[1].partition("</a>")[0]

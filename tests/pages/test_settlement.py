"""Settling the parts on their page."""

import re
from collections.abc import Callable

import httpx
import pytest

from service.actions.settling import answer_proposal, settle_part
from service.actions.shop import Shop
from service.workshop.vocabulary import Disposition, Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED

INDENTED = REJECTED["needle-seat"]
WIDE = REJECTED["body-seat-width"]


def choices_of(answer: httpx.Response, part: str) -> set[str]:
    """What the part's form lets people choose."""
    card = answer.text.split(f'id="part-{part}"')[1].split("</section>")[0]
    return set(re.findall(r'name="chosen" value="([^"]+)"', card))


def test_an_indented_internal_seat_offers_no_rework_and_says_why(injector: Injector, technician: Visitor) -> None:
    injector.examined(needle_seat=INDENTED)
    page = technician.get(f"{injector.address}/settlement")
    assert page.status_code == 200
    assert choices_of(page, "needle") == {"replace-assembly", "keep", "condemn"}
    assert "Not possible: rework. This seat or surface is replaced, never lapped or ground." in words_of(page)
    assert form_of(page, "form=part-needle").fields["chosen"] == ["replace-assembly"]


def test_a_matched_part_goes_with_its_assembly_and_cannot_be_kept(injector: Injector, technician: Visitor) -> None:
    injector.examined(needle_seat=INDENTED)
    page = technician.get(f"{injector.address}/settlement")
    assert choices_of(page, "nozzle") == {"replace-assembly", "condemn"}
    assert "Needle takes the whole nozzle set with it" in words_of(page)


def test_a_forbidden_choice_sent_all_the_same_is_refused(injector: Injector, technician: Visitor) -> None:
    injector.examined(needle_seat=INDENTED)
    page = technician.get(f"{injector.address}/settlement")
    answer = technician.send(form_of(page, "form=part-needle"), chosen="rework", reason="Lapping saves the spare")
    assert answer.status_code == 422
    assert "Rework is not possible here." in words_of(answer)
    assert form_of(answer, "form=part-needle").fields["reason"] == ["Lapping saves the spare"]
    assert "needle" not in injector.record.settled


def test_an_unexamined_part_has_no_form_but_links_to_its_examination(injector: Injector, technician: Visitor) -> None:
    page = technician.get(f"{injector.address}/settlement")
    assert not has_form(page, "/settlements")
    assert f'href="{injector.address}/examination/needle-seat"' in page.text


def test_one_part_is_settled_and_the_rest_as_proposed(injector: Injector, technician: Visitor) -> None:
    injector.examined(body_seat_width=WIDE)
    address = f"{injector.address}/settlement"
    page = technician.fill(address, "form=part-body")
    assert "1 of 5 parts settled" in words_of(page)
    page = technician.fill(address, "form=as-proposed")
    assert "5 of 5 parts settled" in words_of(page)
    assert not has_form(page, "form=as-proposed")
    assert injector.stage is Stage.AGREED
    assert f'href="{injector.address}/rebuild"' in page.text


def test_departing_without_a_reason_is_refused_beside_the_reason(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    page = technician.get(f"{injector.address}/settlement")
    answer = technician.send(form_of(page, "form=part-body"), chosen="replace")
    assert answer.status_code == 422
    assert 'id="part-body-reason-error"' in answer.text
    assert form_of(answer, "form=part-body").fields["chosen"] == ["replace"]
    assert "body" not in injector.record.settled


def test_two_settle_the_same_part_and_the_second_is_told_what_changed(
    injector: Injector, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    injector.examined()
    stale = form_of(technician.get(f"{injector.address}/settlement"), "form=part-body")
    settle_part(
        shop,
        fleet.second_technician,
        injector.number,
        injector.form(),
        part="body",
        chosen=Disposition.REPLACE,
        reason="Dropped",
    )
    answer = technician.send(stale, chosen="condemn", reason="Cracked when struck")
    assert answer.status_code == 409
    assert "Timo Technician: Injector body: replace the part. Dropped" in words_of(answer)
    shown = form_of(answer, "form=part-body")
    assert shown.fields["reason"] == ["Cracked when struck"]
    assert technician.send(shown).status_code == 303, "having seen the change, the same form may be sent again"
    assert injector.record.settled["body"][1].chosen is Disposition.CONDEMN


def test_a_refused_form_that_is_sent_again_still_meets_the_conflict(
    injector: Injector, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    injector.examined()
    stale = form_of(technician.get(f"{injector.address}/settlement"), "form=part-body")
    settle_part(shop, fleet.second_technician, injector.number, injector.form(), part="body", chosen=Disposition.KEEP)
    refused = technician.send(stale, chosen="replace")
    assert refused.status_code == 422
    again = technician.send(form_of(refused, "form=part-body"), reason="Dropped")
    assert again.status_code == 409


def test_sending_the_form_twice_settles_once(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    form = form_of(technician.get(f"{injector.address}/settlement"), "form=part-body")
    before = injector.record.last_seq
    assert technician.send(form).status_code == 303
    assert technician.send(form).status_code == 303
    assert injector.record.last_seq == before + 1


def test_a_milder_choice_waits_for_the_managers_concession(
    injector: Injector, technician: Visitor, manager: Visitor
) -> None:
    injector.examined(body_seat_width=WIDE)
    address = f"{injector.address}/settlement"
    technician.fill(address, "form=part-body", chosen="keep", reason="Face is even all round")
    page = technician.fill(address, "form=as-proposed")
    assert "Concession awaited" in words_of(page)
    assert not has_form(page, "/concessions"), "a technician concedes nothing"
    assert injector.stage is Stage.EXAMINED
    unsaid = manager.fill(address, "form=concession-body", decision="granted")
    assert unsaid.status_code == 422
    assert "Give the reason" in words_of(unsaid)
    unsigned = manager.send(form_of(unsaid, "form=concession-body"), reason="Width does not seal")
    assert unsigned.status_code == 422
    assert "The password is wrong: nothing was signed." in words_of(unsigned)
    assert injector.stage is Stage.EXAMINED
    page = manager.send(form_of(unsaid, "form=concession-body"), reason="Width does not seal", password=PASSWORD)
    assert page.status_code == 303
    assert injector.stage is Stage.AGREED


def test_a_decision_must_be_chosen_not_assumed(injector: Injector, technician: Visitor, manager: Visitor) -> None:
    injector.examined(body_seat_width=WIDE)
    address = f"{injector.address}/settlement"
    technician.fill(address, "form=part-body", chosen="keep", reason="Face is even all round")
    answer = manager.fill(address, "form=concession-body", reason="Fine", password=PASSWORD)
    assert answer.status_code == 422
    assert "Choose: grant the concession or refuse it." in words_of(answer)
    assert injector.record.concession("body") is None


def test_a_refused_concession_sends_the_part_back(injector: Injector, technician: Visitor, manager: Visitor) -> None:
    injector.examined(body_seat_width=WIDE)
    address = f"{injector.address}/settlement"
    technician.fill(address, "form=part-body", chosen="keep", reason="Face is even all round")
    manager.fill(address, "form=concession-body", decision="refused", reason="Too wide", password=PASSWORD)
    page = technician.get(address)
    assert "Concession refused: settle it otherwise" in words_of(page)
    technician.fill(address, "form=part-body", chosen="rework")
    assert injector.record.settled["body"][1].chosen is Disposition.REWORK


def test_only_a_manager_may_send_a_concession(injector: Injector, technician: Visitor) -> None:
    injector.examined(body_seat_width=WIDE)
    address = f"{injector.address}/settlement"
    technician.fill(address, "form=part-body", chosen="keep", reason="Face is even all round")
    form = form_of(technician.get(address), "form=part-body")
    form.action = f"{injector.address}/concessions"
    assert technician.send(form, decision="granted", reason="So there").status_code == 403


def test_work_beyond_the_standing_order_shows_the_offices_answer(
    injector: Injector, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    injector.examined(needle_seat=INDENTED)
    address = f"{injector.address}/settlement"
    page = technician.fill(address, "form=as-proposed")
    assert "Nozzle: replace the matched assembly Awaited" in words_of(page)
    assert "The ship’s office is asked" in words_of(page)
    answer_proposal(
        shop, fleet.office, injector.number, injector.form(), part="nozzle", accepted=False, note="Too dear"
    )
    page = technician.get(address)
    assert "Nozzle: replace the matched assembly Declined Too dear" in words_of(page)
    assert "The ship’s office declined: settle it otherwise" in words_of(page)


def test_the_page_holds_the_very_markup_of_its_part(injector: Injector, technician: Visitor) -> None:
    injector.examined(needle_seat=INDENTED)
    page = technician.get(f"{injector.address}/settlement")
    part = technician.get(f"{injector.address}/settlement", part=True)
    assert "HX-Request" in page.headers["vary"]
    assert without_keys(part.text) in without_keys(page.text)
    assert "<html" not in part.text


def without_keys(markup: str) -> str:
    """The markup without what differs each time and without indentation."""
    markup = re.sub(r'name="form_key" value="[^"]*"', "", markup)
    return "\n".join(line.strip() for line in markup.strip().splitlines() if line.strip())


@pytest.mark.parametrize("place", ["settlement", "rebuild", "proving", "release"])
def test_the_ships_office_learns_nothing_at_the_bench(
    place: str, injector: Injector, visit: Callable[[str], Visitor]
) -> None:
    own, other = visit("office"), visit("office2")
    answers = {
        (answer.status_code, answer.text.replace("Otto", "Olga"))
        for answer in (
            own.get(f"{injector.address}/{place}"),
            other.get(f"{injector.address}/{place}"),
            own.get(f"/overhauls/OH-2026-9999/{place}"),
        )
    }
    assert [status for status, _ in answers] == [403]

"""Stripping: every part answered for, every seal discarded, nothing taken for granted."""

from service.actions.course import hold
from service.actions.shop import Shop
from service.workshop.vocabulary import PartState, Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import PASSWORD, Fleet

FREE = {f"state-{part}": "free" for part in ("body", "nozzle", "needle", "spring")}


def test_no_answer_stands_before_the_technician_gives_it(technician: Visitor, injector: Injector) -> None:
    page = technician.get(f"{injector.address}/strip")
    fields = form_of(page, "/strip").fields
    assert not [name for name in fields if name.startswith("state-")]
    assert "seals_discarded" not in fields
    assert "Spring under load" in words_of(page)
    assert "Sealing ring" in words_of(page)
    assert "state-seal-ring" not in page.text


def test_a_part_without_an_answer_is_named(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    answer = technician.send(form, seals_discarded="yes", remark="Coked.", **(FREE | {"state-needle": ""}))
    assert answer.status_code == 422
    assert "Say how it came out: Needle." in words_of(answer)
    assert 'id="state-needle-error"' in answer.text
    again = form_of(answer, "/strip").fields
    assert again["remark"] == ["Coked."]
    assert again["state-body"] == ["free"]
    assert injector.stage is Stage.RECEIVED


def test_seals_kept_are_refused(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    answer = technician.send(form, **FREE)
    assert answer.status_code == 422
    assert 'id="seals_discarded-error"' in answer.text


def test_all_others_can_be_marked_as_free_at_once_and_nothing_is_recorded_by_it(
    technician: Visitor, injector: Injector
) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    answer = technician.send(form, mark="others-free", **{"state-needle": "stuck"})
    again = form_of(answer, "/strip").fields
    assert again["state-needle"] == ["stuck"]
    assert [again[name] for name in FREE if name != "state-needle"] == [["free"]] * 3
    assert "seals_discarded" not in again
    assert injector.stage is Stage.RECEIVED
    assert technician.send(form_of(answer, "/strip"), seals_discarded="yes").status_code == 303
    found = {part.part: part.state for part in injector.record.stripped.parts} if injector.record.stripped else {}
    assert found["needle"] is PartState.STUCK
    assert found["body"] is PartState.FREE


def test_what_was_recorded_is_shown_and_the_form_is_gone(technician: Visitor, injector: Injector) -> None:
    technician.fill(f"{injector.address}/strip", "/strip", seals_discarded="yes", **(FREE | {"state-spring": "broken"}))
    page = technician.get(f"{injector.address}/strip")
    assert not has_form(page, "/strip")
    assert "Spring Broken" in words_of(page)
    assert "All discarded" in words_of(page)


def test_an_unknown_answer_is_refused(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    answer = technician.send(form, seals_discarded="yes", **(FREE | {"state-body": "perfect"}))
    assert answer.status_code == 422
    assert 'id="state-body-error"' in answer.text


def test_the_same_form_sent_twice_strips_once(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    for _ in range(2):
        assert technician.send(form, seals_discarded="yes", **FREE).status_code == 303
    assert len(injector.record.entries) == 1


def test_a_held_injector_is_not_stripped(technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    hold(shop, fleet.manager, injector.number, injector.form(), reason="Wait.", password=PASSWORD)
    assert not has_form(technician.get(f"{injector.address}/strip"), "/strip")
    answer = technician.send(form, seals_discarded="yes", **FREE)
    assert answer.status_code == 422
    assert "A manager must lift the hold first." in words_of(answer)
    assert form_of(answer, "/strip").fields["state-needle"] == ["free"]


def test_the_office_strips_nothing(office: Visitor, technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    assert office.send(form, seals_discarded="yes", **FREE).status_code == 403


def test_page_and_part_are_the_same_markup(technician: Visitor, injector: Injector) -> None:
    form = form_of(technician.get(f"{injector.address}/strip"), "/strip")
    whole, part = technician.send(form, **FREE), technician.send(form, part=True, **FREE)
    assert "<html" not in part.text
    assert part.text.strip() in whole.text
    assert part.headers["vary"] == "HX-Request, HX-Request-Type"

"""The ship's office accepts or declines work beyond its standing order, line by line."""

from collections.abc import Callable

import pytest
from sqlmodel import select

from service.actions.course import hold
from service.actions.settling import settle_as_proposed, settle_part
from service.actions.shop import Shop
from service.records.tables import EntryRow, JournalRow
from service.workshop.vocabulary import Disposition, Stage
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.unit_register import receive_from_other_fleet
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED, SOUND


@pytest.fixture
def asking(injector: Injector) -> Injector:
    """The spring is too short and its replacement lies beyond the standing order; everything is settled."""
    injector.examined(spring_length=REJECTED["spring-length"])
    settle_as_proposed(injector.shop, injector.technician, injector.number, injector.form())
    assert injector.stage is Stage.EXAMINED
    return injector


def answers_of(injector: Injector) -> list[str]:
    """The titles of the recorded answers."""
    with injector.shop.store.reading() as session:
        return list(session.exec(select(EntryRow.title).where(EntryRow.kind == "office-answer")))


def test_a_line_tells_injector_part_work_and_reason(asking: Injector, office: Visitor) -> None:
    told = words_of(office.get("/approvals"))
    assert "1 line on 1 injector" in told
    assert f"Invented Star · SMALL-1 · {asking.number}" in told
    assert "Spring: replace the part" in told
    assert "SN-1001" in told
    assert "Free length of the spring: 59 mm is beyond the limit of 59.5 mm by 0.5 mm, with U = 0.02" in told


def test_accepting_the_last_line_lets_the_work_go_on(asking: Injector, office: Visitor) -> None:
    told = words_of(office.fill("/approvals", "/answers", answer="accepted", note="Go ahead."))
    assert "Accepted: the workshop goes on with this work." in told
    assert "Nothing waits for your answer." in told
    assert asking.stage is Stage.AGREED
    assert answers_of(asking) == ["Office accepted: Spring, replace the part"]
    with asking.shop.store.reading() as session:
        journal = session.exec(select(JournalRow).where(JournalRow.action == "office-answer")).one()
    assert journal.person_name == "Olga Office"


def test_declining_keeps_the_remark_and_the_injector_waits_for_the_workshop(asking: Injector, office: Visitor) -> None:
    told = words_of(office.fill("/approvals", "/answers", answer="declined", note="We send our own spring."))
    assert "Declined: the workshop settles the part again." in told
    assert asking.stage is Stage.EXAMINED
    assert answers_of(asking) == ["Office declined: Spring, replace the part"]
    unit = words_of(office.get("/units/SN-1001"))
    assert "We send our own spring." in unit


def test_work_inside_the_standing_order_asks_nobody(injector: Injector, office: Visitor) -> None:
    injector.examined(body_seat_width=REJECTED["body-seat-width"])
    settle_as_proposed(injector.shop, injector.technician, injector.number, injector.form())
    assert "Nothing waits for your answer." in words_of(office.get("/approvals"))


def test_each_line_is_answered_on_its_own(injector: Injector, office: Visitor, fleet: Fleet, shop: Shop) -> None:
    injector.examined(needle_seat=REJECTED["needle-seat"])
    settle_as_proposed(shop, injector.technician, injector.number, injector.form())
    other = received(shop, fleet, "SN-1002").examined(spring_length=REJECTED["spring-length"])
    settle_as_proposed(shop, other.technician, other.number, other.form())
    page = office.get("/approvals")
    lines = page.text.count('name="part"')
    assert lines >= 3
    answer = office.send(form_of(page, f"{other.number}/answers"), answer="accepted")
    assert answer.status_code == 303
    after = office.get("/approvals")
    assert after.text.count('name="part"') == lines - 1
    assert other.number not in words_of(after)


def test_a_second_submission_of_one_form_records_one_answer(asking: Injector, office: Visitor) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    assert [office.send(form, answer="accepted").status_code for _ in range(2)] == [303, 303]
    assert len(answers_of(asking)) == 1


def test_an_answer_without_choice_keeps_the_remark_and_says_what_to_do(asking: Injector, office: Visitor) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    answer = office.send(form, note="Is it not within tolerance?")
    assert answer.status_code == 422
    assert "Choose: accept the work or decline it." in words_of(answer)
    assert "Is it not within tolerance?" in answer.text
    assert answers_of(asking) == []


def test_a_remark_that_is_too_long_is_refused_beside_its_field(asking: Injector, office: Visitor) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    answer = office.send(form, answer="accepted", note="x" * 5000)
    assert answer.status_code == 422
    assert "Shorten this to 4000 characters." in words_of(answer)
    assert "x" * 5000 in answer.text


def test_a_stale_answer_is_told_what_the_workshop_changed_and_keeps_its_remark(
    asking: Injector, office: Visitor, shop: Shop
) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    settle_part(
        shop,
        asking.technician,
        asking.number,
        asking.form(),
        part="spring",
        chosen=Disposition.REPLACE_ASSEMBLY,
        reason="The nozzle is worn as well.",
    )
    answer = office.send(form, answer="accepted", note="Fine by us.")
    assert answer.status_code == 409
    told = words_of(answer)
    assert "Tove Technician: Spring: replace the matched assembly." in told
    assert "Fine by us." in answer.text
    assert answers_of(asking) == []


def test_a_colleagues_answer_in_the_meantime_is_a_conflict(asking: Injector, visit: Callable[[str], Visitor]) -> None:
    first, second = visit("office"), visit("office")
    form = form_of(first.get("/approvals"), "/answers")
    assert second.fill("/approvals", "/answers", answer="declined").status_code == 200
    answer = first.send(form, answer="accepted")
    assert answer.status_code == 409
    assert "Olga Office: Office declined: Spring, replace the part." in words_of(answer)


def test_a_line_that_waits_no_more_is_a_conflict_in_words(asking: Injector, office: Visitor) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    asking.examine("spring-length", SOUND["spring-length"])
    answer = office.send(form, answer="accepted", note="Yes, please.")
    assert answer.status_code == 409
    assert "Your remark was not sent: Yes, please." in words_of(answer)
    assert "does not wait for an answer any more" in words_of(answer)


def test_a_held_injector_shows_its_line_and_takes_no_answer(
    asking: Injector, office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    form = form_of(office.get("/approvals"), "/answers")
    hold(shop, fleet.manager, asking.number, asking.form(), reason="Owner asks to wait.", password=PASSWORD)
    page = office.get("/approvals")
    assert "Held : Owner asks to wait." in words_of(page)
    assert not has_form(page, "/answers")
    answer = office.send(form, answer="accepted")
    assert answer.status_code == 422
    assert "A manager must lift the hold first." in words_of(answer)


def test_another_fleets_line_answers_as_an_unknown_overhaul(
    asking: Injector, office: Visitor, other_office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    assert "Nothing waits for your answer." in words_of(other_office.get("/approvals"))
    form = form_of(office.get("/approvals"), "/answers")
    foreign = other_office.send(form, answer="accepted")
    form.action = form.action.replace(asking.number, "OH-2026-9999")
    unknown = other_office.send(form, answer="accepted")
    assert foreign.status_code == unknown.status_code == 404
    assert foreign.text.replace(asking.number, "OH-2026-9999") == unknown.text
    assert answers_of(asking) == []


@pytest.mark.parametrize("login", ["tech", "manager"])
def test_only_a_ships_office_is_asked_and_answers(
    asking: Injector, office: Visitor, visit: Callable[[str], Visitor], login: str
) -> None:
    assert visit(login).get("/approvals").status_code == 403
    form = form_of(office.get("/approvals"), "/answers")
    assert visit(login).send(form, answer="accepted").status_code == 403
    assert answers_of(asking) == []


def test_the_part_that_is_swapped_is_the_markup_of_the_page(asking: Injector, office: Visitor) -> None:
    page, part = office.get("/approvals"), office.get("/approvals", part=True)
    key = form_of(page, "/answers").fields["form_key"][0]
    own = form_of(part, "/answers").fields["form_key"][0]
    assert part.text.replace(own, key).strip() in page.text
    assert page.headers["Vary"] == part.headers["Vary"] == "HX-Request, HX-Request-Type"
    swapped = office.send(form_of(part, "/answers"), part=True, answer="accepted")
    assert swapped.status_code == 200
    assert "<html" not in swapped.text
    assert "Accepted: the workshop goes on with this work." in words_of(swapped)


def test_other_fleets_lines_are_never_listed(office: Visitor, fleet: Fleet, shop: Shop) -> None:
    other = Injector(shop, fleet.technician, receive_from_other_fleet(shop, fleet, "SN-2001")[0])
    other.examined(spring_length=REJECTED["spring-length"])
    settle_as_proposed(shop, fleet.technician, other.number, other.form())
    assert "Nothing waits for your answer." in words_of(office.get("/approvals"))

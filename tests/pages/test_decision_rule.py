"""The page of the decision rule, and the form that judges an injector again."""

import pytest

from service.workshop.entries import Examined
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import PASSWORD
from tests.small_findings import sizes

NEAR = sizes("MIC-1", "1.1995")
PLACE = "/decision-rule"
SIMPLE = {"kind": "simple-acceptance", "reason": "Agreed with the owner", "password": PASSWORD}


def test_the_manager_sees_the_rule_in_words_with_its_clause_and_history(manager: Visitor) -> None:
    page = manager.get(PLACE)
    words = words_of(page)
    assert "Rule 1: ISO 14253-1, guard band 1 × U" in words
    assert "inside its limits by at least its expanded uncertainty U" in words
    assert "In force from the start" in words
    assert "No open injector has a verdict on a measured value yet." in words
    assert 'href="/decision-rule" aria-current="page"' in page.text


def test_before_confirming_the_manager_reads_how_many_injectors_keep_their_verdicts(
    injector: Injector, manager: Visitor
) -> None:
    injector.examined(body_seat_width=NEAR)
    words = words_of(manager.get(PLACE))
    assert "1 open injector has verdicts on measured values. No verdict changes by this" in words
    assert "Judged under an earlier rule" not in words
    page = manager.fill(PLACE, PLACE, **SIMPLE)
    words = words_of(page)
    assert "Rule 2: Simple acceptance, JCGM 106:2012 8.2" in words
    assert "Mara Manager" in words
    assert "Agreed with the owner" in words
    assert "1 open injector has verdicts of an earlier rule." in words
    assert f'href="{injector.address}/examination"' in page.text


def test_only_the_manager_comes_to_the_rule(technician: Visitor, office: Visitor, manager: Visitor) -> None:
    form = form_of(manager.get(PLACE), PLACE)
    for visitor in (technician, office):
        assert visitor.get(PLACE).status_code == 403
        assert visitor.send(form, **SIMPLE).status_code == 403
        assert 'href="/decision-rule"' not in visitor.get("/people/me").text


def test_what_is_typed_wrong_comes_back_with_the_error_beside_its_field(manager: Visitor) -> None:
    typed = {**SIMPLE, "kind": "guard-band-by-probability", "probability": "975", "guard_factor": "0,5"}
    answer = manager.fill(PLACE, PLACE, **typed)
    assert answer.status_code == 422
    assert 'id="probability-error"' in answer.text
    assert "Give the probability of conformity, over 50 % and at most 99.99 %." in words_of(answer)
    for kept in ('value="975"', 'value="0,5"', "Agreed with the owner"):
        assert kept in answer.text
    assert PASSWORD not in answer.text
    answer = manager.fill(PLACE, PLACE, **{**SIMPLE, "password": "guessed"})
    assert (answer.status_code, 'id="password-error"' in answer.text) == (422, True)
    answer = manager.fill(PLACE, PLACE, **{**SIMPLE, "kind": ""})
    assert 'id="kind-error"' in answer.text


@pytest.mark.parametrize(
    ("kind", "field", "typed"),
    [
        *[
            ("guard-band-by-uncertainty", "guard_factor", typed)
            for typed in ("", "-1", "0", "NaN", "inf", "1.000,5", "3,01")
        ],
        *[("guard-band-by-probability", "probability", typed) for typed in ("", "50", "100", "-97", "nan", "97.5 %%")],
    ],
)
def test_no_figure_without_meaning_comes_in_force(manager: Visitor, kind: str, field: str, typed: str) -> None:
    answer = manager.fill(PLACE, PLACE, **{**SIMPLE, "kind": kind, field: typed})
    assert (answer.status_code, f'id="{field.replace("_", "-")}-error"' in answer.text.replace("_", "-")) == (422, True)
    assert "Rule 2" not in words_of(manager.get(PLACE))


def test_a_factor_and_a_percentage_are_taken_as_people_type_them(manager: Visitor) -> None:
    typed = {"kind": "guard-band-by-uncertainty", "guard_factor": "0,83"}
    assert "guard band 0.83 × U" in words_of(manager.fill(PLACE, PLACE, **{**SIMPLE, **typed}))
    typed = {"kind": "guard-band-by-probability", "probability": "97,5 %"}
    assert "guard band for 97.5 % probability" in words_of(manager.fill(PLACE, PLACE, **{**SIMPLE, **typed}))


def test_a_rule_that_came_in_force_meanwhile_is_shown_before_another_is_confirmed(manager: Visitor) -> None:
    stale = form_of(manager.get(PLACE), PLACE)
    manager.fill(PLACE, PLACE, **SIMPLE)
    typed = {**SIMPLE, "kind": "guard-band-by-uncertainty", "guard_factor": "2"}
    answer = manager.send(stale, **typed)
    assert answer.status_code == 409
    assert "Another rule came in force since you opened this page." in words_of(answer)
    assert manager.send(form_of(answer, PLACE), **typed).status_code == 303
    assert "Rule 3: ISO 14253-1, guard band 2 × U" in words_of(manager.get(PLACE))


def test_a_rule_sent_twice_is_put_in_force_once(manager: Visitor) -> None:
    form = form_of(manager.get(PLACE), PLACE)
    assert manager.send(form, **SIMPLE).status_code == 303
    assert manager.send(form, **SIMPLE).status_code == 303
    assert "Rule 3" not in words_of(manager.get(PLACE))


def test_the_manager_judges_an_injector_again_on_its_examination_page(
    injector: Injector, manager: Visitor, technician: Visitor
) -> None:
    injector.examined(body_seat_width=NEAR)
    at = f"{injector.address}/examination"
    assert not has_form(manager.get(at), "/rejudgements")
    manager.fill(PLACE, PLACE, **SIMPLE)
    assert not has_form(technician.get(at), "/rejudgements")
    words = words_of(manager.get(at))
    assert "5 verdicts carry an earlier rule. In force: Rule 2: Simple acceptance, JCGM 106:2012 8.2." in words
    page = manager.fill(at, "/rejudgements", reason="Agreed with the owner")
    assert "Judged again: was “not proven”" in words_of(page)
    assert "Judged again: the same" in words_of(page)
    assert not has_form(page, "/rejudgements")
    assert len([item for _, item in injector.record.all_of(Examined) if item.rejudged_from]) == 5
    words = words_of(technician.get(f"{at}/body-seat-width"))
    assert "Rule 2: Simple acceptance, JCGM 106:2012 8.2. Probability of conformity 84.1 %. MIC-1" in words
    assert "Probability" not in words_of(technician.get(f"{at}/body-pin"))


def test_judging_again_asks_why_and_is_told_what_was_examined_meanwhile(injector: Injector, manager: Visitor) -> None:
    injector.examined(body_seat_width=NEAR)
    at = f"{injector.address}/examination"
    manager.fill(PLACE, PLACE, **SIMPLE)
    answer = manager.fill(at, "/rejudgements", reason=" ")
    assert answer.status_code == 422
    assert 'id="rejudge-reason-error"' in answer.text
    stale = form_of(manager.get(at), "/rejudgements")
    injector.examine("spring-rate", sizes("RATE-1", "101"))
    assert manager.send(stale, reason="Agreed").status_code == 303, "what is by the rule in force stands"
    manager.fill(PLACE, PLACE, **{**SIMPLE, "kind": "guard-band-by-uncertainty", "guard_factor": "2"})
    stale = form_of(manager.get(at), "/rejudgements")
    manager.fill(PLACE, PLACE, **{**SIMPLE, "kind": "guard-band-by-uncertainty", "guard_factor": "1"})
    answer = manager.send(stale, reason="Agreed")
    assert answer.status_code == 409
    assert "Rule 4: ISO 14253-1, guard band 1 × U" in words_of(answer)
    assert "Agreed" in answer.text


def test_the_technician_cannot_judge_again(injector: Injector, manager: Visitor, technician: Visitor) -> None:
    injector.examined(body_seat_width=NEAR)
    manager.fill(PLACE, PLACE, **SIMPLE)
    form = form_of(manager.get(f"{injector.address}/examination"), "/rejudgements")
    assert technician.send(form, reason="Agreed").status_code == 403

"""The decision rule and judging again over JSON."""

from typing import Any

import pytest

from tests.api.callers import SOUND, Injector, Person, form_key
from tests.registered_fleet import PASSWORD

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
NEAR = {"body-seat-width": {"kind": "size", "readings": ["1.1995"], "instrument": "MIC-1"}}


def rule(**changes: Any) -> dict[str, Any]:
    """Simple acceptance, unless told otherwise."""
    fields = {"form_key": form_key(), "seen": 1, "kind": "simple-acceptance", "reason": "Agreed", "password": PASSWORD}
    return {**fields, **changes}


def test_the_rule_in_force_is_told_with_its_history(technician: Person, manager: Person, office: Person) -> None:
    put = manager.post("/decision-rules", rule(kind="guard-band-by-probability", probability="0,975"))
    assert (put.status_code, put.json()) == (201, {"version": 2})
    newest, first = technician.get("/decision-rules").json()["items"]
    assert (newest["version"], newest["probability"], newest["guard_factor"]) == (2, "0.975", None)
    assert newest["text"] == "Rule 2: JCGM 106:2012 8.3, guard band for 97.5 % probability"
    assert (newest["put_in_force_by"], newest["reason"]) == ("Mara Manager", "Agreed")
    assert (first["version"], first["guard_factor"], first["in_force_from"]) == (1, "1", None)
    assert office.get("/decision-rules").status_code == 403


def test_a_rule_is_refused_by_its_field_its_role_and_what_came_in_between(technician: Person, manager: Person) -> None:
    assert technician.post("/decision-rules", rule()).json()["code"] == "role"
    for changes, field in (
        ({"kind": "by-the-moon"}, "kind"),
        ({"kind": "guard-band-by-uncertainty"}, "guard_factor"),
        ({"kind": "guard-band-by-uncertainty", "guard_factor": "1.0.0"}, "guard_factor"),
        ({"kind": "guard-band-by-uncertainty", "guard_factor": -1}, "guard_factor"),
        ({"kind": "guard-band-by-uncertainty", "guard_factor": "NaN"}, "guard_factor"),
        ({"kind": "guard-band-by-probability", "probability": 97.5}, "probability"),
        ({"kind": "guard-band-by-probability", "probability": "0.5"}, "probability"),
        ({"kind": "guard-band-by-probability", "probability": 1}, "probability"),
        ({"seen": -1}, "seen"),
        ({"reason": ""}, "reason"),
        ({"password": "not the word"}, "password"),
    ):
        answer = manager.post("/decision-rules", rule(**changes))
        assert (answer.status_code, answer.json()["field"]) == (422, field), changes
    body = rule()
    assert manager.post("/decision-rules", body).json() == {"version": 2}
    assert manager.post("/decision-rules", body).json() == {"version": 2}
    late = manager.post("/decision-rules", rule(kind="guard-band-by-uncertainty", guard_factor=2))
    assert late.status_code == 409
    assert "Rule 2: Simple acceptance" in late.json()["changes"][0]


def test_an_injector_is_judged_again_and_told_what_became_of_each_verdict(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    verdicts = injector.examine(technician, **NEAR)
    assert verdicts["body-seat-width"]["rule"] == "Rule 1: ISO 14253-1, guard band 1 × U"
    assert 0.5 < float(verdicts["body-seat-width"]["probability_of_conformity"]) < 1
    assert verdicts["body-pin"]["probability_of_conformity"] is None
    manager.post("/decision-rules", rule())
    body = injector.body(manager, reason="Rule 2", rule_version=2)
    answer = manager.post(f"/overhauls/{injector.number}/rejudgements", body)
    assert answer.status_code == 201, answer.text
    done = answer.json()
    (changed,) = done["changed"]
    assert (changed["characteristic"], changed["before"], changed["after"]) == (
        *("body-seat-width", "not-proven", "conforms"),
    )
    assert changed["rule"] == "Rule 2: Simple acceptance, JCGM 106:2012 8.2"
    assert len(done["same"]) == len(SOUND) - 1
    assert done["seq"] == injector.look(manager)["seen"]
    assert manager.post(f"/overhauls/{injector.number}/rejudgements", body).json() == done


def test_judging_again_asks_for_a_manager_a_reason_and_the_rule_that_is_in_force(
    injector: Injector, technician: Person, manager: Person, other_office: Person
) -> None:
    injector.strip(technician)
    injector.examine(technician, **NEAR)
    assert injector.send(technician, "rejudgements", reason="Rule 2").json()["code"] == "role"
    assert injector.send(manager, "rejudgements", reason=" ").json()["field"] == "reason"
    assert injector.send(manager, "rejudgements", reason="Rule 2", rule_version=7).status_code == 409
    missing = manager.post(
        "/overhauls/OH-2026-9999/rejudgements", {"form_key": form_key(), "seen": 0, "reason": "Rule 2"}
    )
    assert missing.status_code == 404

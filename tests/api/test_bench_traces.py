"""Pressure traces of a bench run over the API: posted while it runs, confirmed, events rejected."""

from typing import Any

import httpx
import pytest

from tests.api.callers import Injector, Person, form_key
from tests.hydraulics.invented_traces import Bench, as_csv, strokes

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
TRACE = as_csv(*strokes(Bench(rate_hz=200, seed=5), (350.0, 352.0, 349.0, 351.0)).made(0.002))


def post(person: Person, path: str, content: bytes, **asked: str) -> httpx.Response:
    """Send a logger's bytes."""
    headers = {**person.headers, "Content-Type": "application/octet-stream"}
    return person.client.post(
        f"/api/v1{path}", headers=headers, params={"form_key": form_key(), **asked}, content=content
    )


@pytest.fixture
def place(technician: Person, injector: Injector) -> str:
    """The traces of the opening pressure of a run as the injector was found."""
    run = injector.record(technician, "bench-runs", purpose="as-found", gauge="GAUGE-1")["seq"]
    return f"/overhauls/{injector.number}/bench-runs/{run}/steps/opening/traces"


def kept(person: Person, place: str, content: bytes = TRACE, **asked: str) -> str:
    """Keep a trace; gives its address."""
    answer = post(person, place, content, **asked)
    assert answer.status_code == 201, answer.text
    return f"{place.partition('/bench-runs')[0]}/bench-traces/{answer.json()['id']}"


def look(person: Person, trace: str) -> dict[str, Any]:
    answer = person.get(trace)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_a_trace_is_posted_in_pieces_while_the_run_goes_on(technician: Person, place: str) -> None:
    third = len(TRACE) // 3
    trace = kept(technician, place, TRACE[:third])
    before = look(technician, trace)
    assert before["shown"]["openings"] == []
    for start, stop in ((third, 2 * third), (2 * third, len(TRACE))):
        answer = post(technician, f"{trace}/pieces", TRACE[start:stop])
        assert (answer.status_code, answer.json()) == (201, {"size": stop})
    assert look(technician, trace)["shown"]["opening_mean_bar"] == pytest.approx(350.5, rel=0.003)
    assert technician.get(f"{trace}/file").content == TRACE
    assert [one["size"] for one in technician.get(place).json()["items"]] == [len(TRACE)]


def test_how_it_is_read_is_confirmed_and_then_nothing_is_appended(technician: Person, place: str) -> None:
    trace = kept(technician, place)
    answer = technician.post(
        f"{trace}/readings", {"form_key": form_key(), "volume_cm3": "50", "bulk_modulus_gpa": "1.5"}
    )
    assert (answer.status_code, answer.json()["confirmed_by"]) == (201, "Tove Technician")
    assert look(technician, trace)["shown"]["holds"][0]["leak_mm3_per_s"] > 0
    assert post(technician, f"{trace}/pieces", b"99;1\n").status_code == 409


def test_an_event_is_rejected_with_a_reason_and_none_is_added(technician: Person, place: str) -> None:
    trace = kept(technician, place)
    at = look(technician, trace)["shown"]["openings"][1]["t_s"]
    body = {"form_key": form_key(), "event": "opening", "at_s": str(at), "reason": "The lever slipped."}
    answer = technician.post(f"{trace}/rejections", body)
    assert answer.status_code == 201, answer.text
    (out,) = answer.json()["rejections"]
    assert (out["event"], out["reason"], out["at_s"]) == ("opening", "The lever slipped.", pytest.approx(at, abs=0.001))
    assert len(look(technician, trace)["shown"]["openings"]) == 3
    for wrong, field in (({"at_s": "1.0"}, "event"), ({"at_s": "soon"}, "at_s"), ({"reason": ""}, "reason")):
        refused = technician.post(f"{trace}/rejections", {**body, "form_key": form_key(), **wrong})
        assert (refused.status_code, refused.json()["field"]) == (422, field)


@pytest.mark.parametrize(
    ("content", "asked", "field"),
    [(b"", {}, "file"), (TRACE, {"rate_hz": "fast"}, "rate_hz"), (TRACE, {"colour": "red"}, "colour")],
)
def test_what_is_no_trace_is_refused_by_its_field(
    technician: Person, place: str, content: bytes, asked: dict[str, str], field: str
) -> None:
    answer = post(technician, place, content, **asked)
    assert (answer.status_code, answer.json()["field"]) == (422, field)


def test_a_ships_office_neither_keeps_nor_sees_a_trace(technician: Person, office: Person, place: str) -> None:
    trace = kept(technician, place)
    assert post(office, place, TRACE).status_code == 403
    assert office.get(trace).status_code == 403
    assert technician.get(trace.rpartition("/")[0] + "/77").status_code == 404

"""Photographs and the holes measured in them over JSON."""

import hashlib
from typing import Any

import httpx
import pytest

from tests.api.callers import Injector, Person, form_key
from tests.photographs_taken import HIDDEN, HOLE, drawing, of_a_hole, plain, polyglot

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
SCALE: dict[str, Any] = {"kind": "pitch", "um_per_pixel": "5,7", "expanded_uncertainty": 0.02}


def send(person: Person, number: str, content: bytes, **texts: str) -> httpx.Response:
    """A photograph as a form."""
    data = {"form_key": form_key(), "subject": "arrival"} | texts
    files = {"picture": ("a.jpg", content, "image/jpeg")}
    return person.client.post(f"/api/v1/overhauls/{number}/photographs", headers=person.headers, data=data, files=files)


@pytest.fixture
def place(injector: Injector, technician: Person) -> str:
    """A photograph of a hole of a stripped injector."""
    injector.strip(technician)
    made = send(technician, injector.number, of_a_hole(), subject="nozzle-holes")
    assert made.status_code == 201, made.text
    return f"/overhauls/{injector.number}/photographs/{made.json()['id']}"


def test_a_photograph_comes_back_as_it_is_kept(injector: Injector, technician: Person, office: Person) -> None:
    made = send(technician, injector.number, polyglot(), remark="No plugs")
    assert made.status_code == 201, made.text
    (one,) = office.get(f"/overhauls/{injector.number}/photographs").json()["items"]
    assert (one["id"], one["subject"], one["remark"], one["width"]) == (made.json()["id"], "arrival", "No plugs", 640)
    picture = office.get(f"/overhauls/{injector.number}/photographs/{one['id']}/picture")
    assert picture.headers["content-type"] == "image/jpeg"
    assert hashlib.sha256(picture.content).hexdigest() == one["sha256"]
    assert HIDDEN not in picture.content


def test_another_fleets_photographs_answer_as_unknown_ones(
    injector: Injector, technician: Person, office: Person, other_office: Person
) -> None:
    send(technician, injector.number, plain())
    for path in ("/photographs", "/photographs/1/picture"):
        hidden = other_office.get(f"/overhauls/{injector.number}{path}")
        unknown = other_office.get(f"/overhauls/OH-2026-9999{path}")
        assert hidden.status_code == unknown.status_code == 404
        assert hidden.content == unknown.content.replace(b"OH-2026-9999", injector.number.encode())
    assert send(office, injector.number, plain(9)).status_code == 403


@pytest.mark.parametrize(
    ("content", "texts", "code"),
    [
        (drawing(), {}, "picture-unreadable"),
        (b"", {}, "picture-missing"),
        (plain(), {"subject": "ceiling"}, "photograph-subject"),
        (plain(), {"form_key": "x"}, "form-key"),
        (plain(), {"remark": "a\x00b"}, "form"),
    ],
)
def test_what_cannot_be_kept_is_a_problem_with_its_code(
    injector: Injector, technician: Person, content: bytes, texts: dict[str, str], code: str
) -> None:
    refused = send(technician, injector.number, content, **texts)
    assert (refused.status_code, refused.json()["code"]) == (422, code)
    assert technician.get(f"/overhauls/{injector.number}/photographs").json()["items"] == []


def test_a_body_that_is_no_form_is_refused(injector: Injector, technician: Person) -> None:
    refused = technician.post(f"/overhauls/{injector.number}/photographs", {"picture": "none"})
    assert refused.status_code == 422
    huge = send(technician, injector.number, bytes(16_000_000))
    assert huge.status_code == 413


def test_a_hole_is_measured_then_decided_and_listed(place: str, technician: Person, office: Person) -> None:
    measured = technician.post(f"{place}/hole-measurements", {"hole": 3, "scale": SCALE})
    assert measured.status_code == 200, measured.text
    body = measured.json()
    assert body["found"]["mean_diameter"]["value_um"] == pytest.approx(5.7 * HOLE.mean_diameter, abs=0.2 * 5.7)
    decision = {"hole": 3, "scale": SCALE, "digest": body["digest"], "accepted": True, "form_key": form_key()}
    kept = technician.post(f"{place}/hole-evaluations", decision)
    assert kept.status_code == 201, kept.text
    assert technician.post(f"{place}/hole-evaluations", decision).json() == kept.json()
    (photograph,) = office.get(place.rpartition("/")[0]).json()["items"]
    (one,) = photograph["evaluations"]
    assert (one["hole"], one["accepted"], one["found"]) == (3, True, body["found"])
    assert (one["scale"]["um_per_pixel"], one["scale"]["k"]) == ("5.7", "2")


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"scale": {**SCALE, "um_per_pixel": 0}}, 422, "um_per_pixel"),
        ({"hole": 9}, 422, "hole"),
        ({"digest": "0" * 64}, 409, None),
        ({"accepted": False}, 422, "reason"),
        (
            {"scale": {"kind": "bar", "length_um": 0, "start_px": {"x": 0, "y": 0}, "end_px": {"x": 99, "y": 0}}},
            422,
            "length_um",
        ),
    ],
)
def test_a_decision_that_cannot_be_is_refused_and_keeps_nothing(
    place: str, technician: Person, changes: dict[str, Any], status: int, field: str | None
) -> None:
    digest = technician.post(f"{place}/hole-measurements", {"hole": 3, "scale": SCALE}).json()["digest"]
    body = {"hole": 3, "scale": SCALE, "digest": digest, "accepted": True, "form_key": form_key()} | changes
    refused = technician.post(f"{place}/hole-evaluations", body)
    assert (refused.status_code, refused.json().get("field")) == (status, field), refused.text
    (photograph,) = technician.get(place.rpartition("/")[0]).json()["items"]
    assert photograph["evaluations"] == []

"""Signing in as an attacker would try it: guessing, leading elsewhere, forms from other sites, old cookies."""

import warnings

import httpx
import pytest
from fastapi import FastAPI

from tests.pages.forms_on_page import ORIGIN, Visitor, words_of
from tests.registered_fleet import PASSWORD

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

GOOD = {"login": "tech", "password": PASSWORD}


def sign_in(visitor: Visitor, **typed: str) -> httpx.Response:
    return visitor.client.post("/sign-in", data={**GOOD, **typed}, follow_redirects=False)


def test_after_ten_failures_the_form_says_when_to_try_again_and_keeps_the_login(passer_by: Visitor) -> None:
    for _ in range(10):
        assert sign_in(passer_by, password="not the word").status_code == 422
    refused = sign_in(passer_by)
    assert refused.status_code == 429
    assert "Try again at 08:15 UTC" in words_of(refused)
    assert 'value="tech"' in refused.text
    assert "not the word" not in refused.text
    assert not refused.cookies


@pytest.mark.parametrize(
    "back",
    ["https://evil.invalid/", "//evil.invalid", "/\\evil.invalid", "javascript:alert", "/\r\nSet-Cookie: a=b"],
)
def test_nobody_is_led_elsewhere_after_signing_in(passer_by: Visitor, back: str) -> None:
    assert back not in passer_by.client.get("/sign-in", params={"back": back}).text
    answer = sign_in(passer_by, back=back)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    part = passer_by.client.post("/sign-in", data={**GOOD, "back": back}, headers={"HX-Request": "true"})
    assert part.headers["hx-redirect"] == "/"


def test_a_sign_in_gives_a_new_token_and_a_planted_one_stands_for_nobody(passer_by: Visitor) -> None:
    passer_by.client.cookies.set("spindlebook", "planted")
    token = sign_in(passer_by).cookies["spindlebook"]
    assert len(token) > 40
    passer_by.client.cookies.clear()
    passer_by.client.cookies.set("spindlebook", "planted")
    assert passer_by.get("/board").headers["location"] == "/sign-in?back=/board"


def test_a_cookie_replayed_after_signing_out_opens_nothing(technician: Visitor) -> None:
    token = technician.client.cookies["spindlebook"]
    assert technician.get("/board").status_code == 200
    technician.client.post("/sign-out")
    technician.client.cookies.clear()
    technician.client.cookies.set("spindlebook", token)
    assert technician.get("/board").status_code == 303


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.invalid"},
        {"Origin": "null"},
        {"Origin": ORIGIN + ".elsewhere.invalid"},
        {"Origin": ORIGIN, "Sec-Fetch-Site": "cross-site"},
        {"Origin": ORIGIN, "Sec-Fetch-Site": "same-site"},
    ],
)
def test_another_site_signs_nobody_in_or_out(app: FastAPI, headers: dict[str, str]) -> None:
    client = TestClient(app, base_url=ORIGIN, headers=headers)
    for path, data in (("/sign-in", GOOD), ("/sign-out", {}), ("/api/v1/sessions", {})):
        answer = client.post(path, data=data, follow_redirects=False)
        assert answer.status_code == 403, path
        assert not answer.cookies


def test_a_cookie_without_any_word_of_its_origin_is_refused(app: FastAPI) -> None:
    client = TestClient(app, base_url=ORIGIN, cookies={"spindlebook": "some-token"})
    assert client.post("/people/me/password", data={}, follow_redirects=False).status_code == 403


def test_the_cookie_is_kept_from_scripts_and_from_other_sites(passer_by: Visitor) -> None:
    flags = sign_in(passer_by).headers["set-cookie"].lower()
    assert "httponly" in flags
    assert "samesite=lax" in flags
    assert "path=/" in flags

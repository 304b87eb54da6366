"""Signs that no name of ours holds, numbers that no row has, bodies that are no text: answered in words."""

import pytest

from tests.pages.forms_on_page import Visitor


@pytest.fixture(params=["sqlite", "postgresql"])
def database_kind(request: pytest.FixtureRequest) -> str:
    """PostgreSQL takes no NUL in a text and no number beyond its column's width."""
    return str(request.param)


ADDRESSES = [
    *("/overhauls/%00", "/certificates/%00", "/certificates/%00.pdf", "/consignments/%00", "/instruments/%00"),
    *("/limit-sheets/%00", "/board?q=%00", "/board?vessel=%00", "/journal?subject=%00", "/units/%00"),
    *("/journal?person=999999999999", "/journal?before=999999999999999", "/journal?person=2147483648"),
]


def test_an_odd_address_never_makes_the_service_fail(manager: Visitor) -> None:
    for address in ADDRESSES:
        assert manager.get(address).status_code in (200, 404, 422), address


@pytest.mark.parametrize("charset", ["utf-7", "unicode_escape", "idna", "punycode", "hex"])
def test_a_form_in_an_encoding_that_makes_half_signs_is_refused(passer_by: Visitor, charset: str) -> None:
    part = b'--b\r\nContent-Disposition: form-data; name="%s"\r\n\r\n+2AA-\\ud800\r\n'
    answer = passer_by.client.post(
        "/sign-in",
        content=part % b"login" + part % b"password" + b"--b--\r\n",
        headers={"Content-Type": f"multipart/form-data; boundary=b; charset={charset}"},
    )
    assert answer.status_code == 422


def test_a_length_that_is_no_number_does_not_make_the_service_fail(passer_by: Visitor) -> None:
    assert passer_by.client.post("/sign-in", content=b"", headers={"Content-Length": "many"}).status_code == 422


def test_a_type_code_in_other_letters_is_led_to_by_htmx(manager: Visitor) -> None:
    manager.fill("/fleets/injector-types/new", "/fleets/injector-types", code="\u03a91", name="Invented")
    answer = manager.client.post("/limit-sheets/%CE%A91/drafts", data={}, headers={"HX-Request": "true"})
    assert answer.status_code < 500
    assert answer.headers.get("hx-redirect", "").isascii()

"""The issued file for those who may see it, and the check for whoever holds one."""

import hashlib
from dataclasses import dataclass

import pytest

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import PASSWORD, Clock, Fleet, check_the_rig
from tests.signing_keys import authority


@dataclass
class Held:
    """A certificate as somebody holds it."""

    number: str
    token: str
    content: bytes


@pytest.fixture
def held(injector: Injector, shop: Shop, fleet: Fleet, manager: Visitor) -> Held:
    """The certificate of a released injector."""
    injector.rebuilt().tested()
    issued = sign_release(shop, fleet.manager, injector.number, injector.form(), password=PASSWORD)
    return Held(issued.number, issued.token, manager.get(f"/certificates/{issued.number}.pdf").content)


def test_the_file_comes_inline_under_its_number_and_always_the_same(held: Held, manager: Visitor) -> None:
    answer = manager.get(f"/certificates/{held.number}.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == f'inline; filename="{held.number}.pdf"'
    assert answer.content == held.content
    page = manager.get("/overhauls/OH-2026-0001/release")
    assert hashlib.sha256(held.content).hexdigest() in page.text


def test_the_own_office_reads_it_and_another_cannot_tell_it_from_an_unknown_one(
    held: Held, office: Visitor, other_office: Visitor
) -> None:
    assert office.get(f"/certificates/{held.number}.pdf").content == held.content
    foreign = other_office.get(f"/certificates/{held.number}.pdf")
    unknown = other_office.get("/certificates/RC-2026-99999.pdf")
    assert foreign.status_code == unknown.status_code == 404
    assert foreign.content == unknown.content


def test_nobody_reads_the_file_without_signing_in(held: Held, passer_by: Visitor) -> None:
    answer = passer_by.get(f"/certificates/{held.number}.pdf")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_whoever_follows_the_qr_code_learns_that_it_is_genuine_and_little_else(held: Held, passer_by: Visitor) -> None:
    page = passer_by.get(f"/certificates/{held.token}")
    words = words_of(page)
    assert page.status_code == 200
    assert "Genuine and current" in words
    for shown in (held.number, "2 Mar 2026", "SN-1001", "SMALL-1", "Invented Star", "Mara Manager"):
        assert shown in words
    for kept in ("Northern Invented Lines", "OH-2026", "350", "Tove"):
        assert kept not in words


@pytest.mark.parametrize("guess", ["RC-2026-00001", "A" * 22, "%2e%2e", "RC-2026-00001.pdf.pdf"])
def test_a_number_or_a_guess_is_no_key_to_the_check(held: Held, passer_by: Visitor, guess: str) -> None:
    answer = passer_by.get(f"/certificates/{guess}")
    assert answer.status_code in (303, 404), "the file's address asks to sign in first"
    assert "Genuine" not in answer.text


def compare(visitor: Visitor, held: Held, content: bytes | None) -> tuple[int, str]:
    """Upload a file to the check."""
    form = form_of(visitor.get(f"/certificates/{held.token}"), "/comparisons")
    files = {"file": ("mine.pdf", content if content is not None else b"", "application/pdf")}
    answer = visitor.client.post(form.action, files=files)
    return answer.status_code, words_of(answer)


def test_the_issued_file_compares_as_the_same(held: Held, passer_by: Visitor) -> None:
    status, words = compare(passer_by, held, held.content)
    assert status == 200
    assert "byte for byte what the workshop issued" in words
    assert "Signature valid" in words


def test_one_byte_more_is_not_the_same_file(held: Held, passer_by: Visitor) -> None:
    status, words = compare(passer_by, held, held.content + b"\n")
    assert status == 200
    assert "Not the same file" in words
    assert "Signature broken" in words


def test_a_file_of_no_pdf_is_said_to_be_none(held: Held, passer_by: Visitor) -> None:
    status, words = compare(passer_by, held, b"a letter")
    assert status == 200
    assert "No PDF" in words


def test_anybody_gets_the_workshops_public_certificate_and_nothing_secret(passer_by: Visitor) -> None:
    answer = passer_by.get("/workshop-certificate.pem")
    assert answer.status_code == 200
    assert answer.content == authority().public_pem
    assert b"PRIVATE" not in answer.content
    assert passer_by.get("/revoked-keys.pem").status_code == 404


def end(manager: Visitor, held: Held, which: str, **typed: str) -> str:
    """Withdraw or replace the certificate at its release page."""
    page = manager.get("/overhauls/OH-2026-0001/release")
    form = form_of(page, f"/release/{which}")
    answer = manager.send(form, **typed)
    if answer.status_code == 303:
        answer = manager.get("/overhauls/OH-2026-0001/release")
    return words_of(answer)


def test_a_withdrawal_is_read_by_whoever_has_the_link_with_reason_and_by_whom(
    held: Held, manager: Visitor, passer_by: Visitor, office: Visitor
) -> None:
    words = end(manager, held, "withdrawal", reason="The gauge failed", password=PASSWORD)
    assert f"{held.number} Withdrawn on 2 Mar 2026" in words
    public = words_of(passer_by.get(f"/certificates/{held.token}"))
    assert "Withdrawn: do not rely on it" in public
    assert "2 Mar 2026 by Mara Manager. Reason: The gauge failed." in public
    assert "Genuine and current" not in public
    unit = words_of(office.get("/units/SN-1001"))
    assert f"Certificate {held.number} withdrawn" in unit
    assert "Held" in unit


def test_a_replacement_leads_from_the_old_certificate_to_the_new(
    held: Held, manager: Visitor, passer_by: Visitor
) -> None:
    words = end(manager, held, "replacement", reason="Position was wrong", password=PASSWORD)
    assert "Released with certificate RC-2026-00002" in words
    public = words_of(passer_by.get(f"/certificates/{held.token}"))
    assert "Genuine, replaced" in public
    assert "RC-2026-00002 was issued in its place on 2 Mar 2026 by Mara Manager. Reason: Position was wrong." in public


@pytest.mark.parametrize("which", ["withdrawal", "replacement"])
@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"reason": "", "password": PASSWORD}, "Give the reason"),
        ({"reason": "Because", "password": "another long word"}, "The password is wrong"),
    ],
)
def test_a_certificate_does_not_end_without_reason_and_password(
    held: Held, manager: Visitor, passer_by: Visitor, which: str, typed: dict[str, str], sentence: str
) -> None:
    assert sentence in end(manager, held, which, **typed)
    assert "Genuine and current" in words_of(passer_by.get(f"/certificates/{held.token}"))


def test_a_technician_is_shown_no_way_to_end_a_certificate(held: Held, technician: Visitor) -> None:
    page = technician.get("/overhauls/OH-2026-0001/release")
    assert not has_form(page, "/release/withdrawal")
    assert not has_form(page, "/release/replacement")
    for which in ("withdrawal", "replacement"):
        answer = technician.client.post(f"/overhauls/OH-2026-0001/release/{which}", data={"certificate": held.number})
        assert answer.status_code == 403


def test_comparing_without_a_file_says_to_choose_one(held: Held, passer_by: Visitor) -> None:
    status, words = compare(passer_by, held, None)
    assert status == 422
    assert "Choose the PDF file that you hold." in words


def test_a_file_over_the_limit_is_refused(held: Held, passer_by: Visitor) -> None:
    status, words = compare(passer_by, held, b"%PDF-" + bytes(10_000_001))
    assert status == 413
    assert "the most taken here" in words


def test_a_later_certificate_makes_the_earlier_one_no_longer_current(
    held: Held, shop: Shop, fleet: Fleet, clock: Clock, passer_by: Visitor
) -> None:
    clock.advance(days=5)
    check_the_rig(shop, fleet.technician)
    again = received(shop, fleet)
    again.rebuilt().tested()
    later = sign_release(shop, fleet.manager, again.number, again.form(), password=PASSWORD)
    words = words_of(passer_by.get(f"/certificates/{held.token}"))
    assert "Genuine, superseded" in words
    assert later.number in words
    assert "Genuine and current" in words_of(passer_by.get(f"/certificates/{later.token}"))

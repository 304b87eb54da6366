"""Photographs on the pages: added from overview and examination, shown to whom they concern, nothing run from them."""

from typing import Any

import httpx
import pytest

from service.actions.photographs import PHOTOGRAPH_LIMIT_BYTES
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.photographs_taken import cut_short, drawing, plain, polyglot
from tests.registered_fleet import PASSWORD


def send(visitor: Visitor, page: str, content: bytes, **typed: str) -> httpx.Response:
    """Choose a file in the form of that page and send it."""
    form = form_of(visitor.get(page), "/photographs")
    fields: dict[str, Any] = {name: values[0] for name, values in form.fields.items() if name != "picture"}
    return visitor.client.post(
        form.action,
        data=fields | typed,
        files={"picture": ("IMG 1.svg", content, "image/svg+xml")},
        follow_redirects=False,
    )


def test_a_photograph_of_the_arrival_stands_on_overview_and_consignment(
    technician: Visitor, injector: Injector
) -> None:
    answer = send(technician, injector.address, plain(), remark="No plugs")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{injector.address}#photographs")
    page = technician.get(injector.address)
    assert "No plugs" in words_of(page)
    place = f"{injector.address}/photographs/1"
    assert f'<img src="{place}/pictures/thumbnail"' in page.text
    for part in ('width="320"', 'height="240"', 'loading="lazy"', 'alt="Photograph 1, As it arrived: No plugs"'):
        assert part in page.text
    crate = next(part for part in page.text.split('"') if part.startswith("/consignments/CN-"))
    assert f"{place}/pictures/thumbnail" in technician.get(crate).text
    shown = technician.get(place)
    assert "As it arrived" in words_of(shown)
    assert f'href="{place}/pictures/whole"' in shown.text


def test_a_photograph_is_added_where_the_examination_is_and_leads_back_there(
    technician: Visitor, injector: Injector
) -> None:
    injector.examined()
    page = f"{injector.address}/examination/nozzle-tip"
    assert send(technician, page, plain()).headers["location"] == f"{page}#photographs"
    again = f"{page}?phase=after-rework"
    assert send(technician, again, plain(90)).headers["location"] == f"{again}#photographs"
    assert technician.get(page).text.count("/pictures/thumbnail") == 2
    assert "/pictures/thumbnail" not in technician.get(f"{injector.address}/examination/needle-seat").text
    assert words_of(technician.get(f"{injector.address}/photographs")).count("Tove Technician") >= 2


def test_the_phone_opens_its_camera(technician: Visitor, injector: Injector) -> None:
    page = technician.get(injector.address).text
    assert 'accept="image/*" capture="environment"' in page
    assert 'enctype="multipart/form-data"' in page


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "No photograph was chosen"),
        (drawing(), "no JPEG or PNG picture"),
        (cut_short(), "damaged or cut short"),
        (b"\xff\xd8\xff" + bytes(PHOTOGRAPH_LIMIT_BYTES), "at most 15 MB"),
    ],
    ids=["nothing", "vector drawing", "cut short", "too large"],
)
def test_what_is_no_photograph_comes_back_with_its_fault_and_what_was_typed(
    technician: Visitor, injector: Injector, content: bytes, said: str
) -> None:
    refused = send(technician, f"{injector.address}/photographs", content, remark="Plug lost")
    assert refused.status_code == 422
    assert said in words_of(refused)
    assert form_of(refused, "/photographs").fields["remark"] == ["Plug lost"]
    assert 'id="picture-error"' in refused.text
    assert "/pictures/" not in refused.text


def test_a_larger_body_is_not_read_at_all_and_other_addresses_keep_their_limit(
    technician: Visitor, injector: Injector
) -> None:
    huge = {"picture": ("a.jpg", bytes(PHOTOGRAPH_LIMIT_BYTES + 100_000), "image/jpeg")}
    for address in (f"{injector.address}/photographs", f"{injector.address}/holds"):
        assert technician.client.post(address, files=huge).status_code == 413
    within = {"picture": ("a.jpg", bytes(2_000_000), "image/jpeg")}
    assert technician.client.post(f"{injector.address}/holds", files=within).status_code == 413
    assert technician.client.post(f"{injector.address}/photographs", files=within).status_code == 422


def test_the_same_form_sent_twice_keeps_one_and_another_form_says_so(technician: Visitor, injector: Injector) -> None:
    page = injector.address
    form = form_of(technician.get(page), "/photographs")
    data = {name: values[0] for name, values in form.fields.items() if name != "picture"}
    for _ in range(2):
        answer = technician.client.post(
            form.action, data=data, files={"picture": ("a.jpg", plain(), "image/jpeg")}, follow_redirects=False
        )
        assert answer.status_code == 303
    assert technician.get(page).text.count("/pictures/thumbnail") == 1
    again = send(technician, page, plain())
    assert again.status_code == 422
    assert "kept already" in words_of(again)


def test_a_picture_goes_out_as_a_picture_and_no_cache_keeps_it(technician: Visitor, injector: Injector) -> None:
    send(technician, injector.address, polyglot())
    for size in ("whole", "shown", "thumbnail"):
        answer = technician.get(f"{injector.address}/photographs/1/pictures/{size}")
        headers = answer.headers
        assert (answer.status_code, headers["content-type"]) == (200, "image/jpeg")
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"
        assert "sandbox" in headers["content-security-policy"]
        assert b"<script" not in answer.content
    assert technician.get(f"{injector.address}/photographs/1/pictures/raw").status_code in (404, 422)


def test_an_office_sees_its_own_fleets_photographs_and_knows_of_no_other(
    technician: Visitor, office: Visitor, other_office: Visitor, passer_by: Visitor, injector: Injector
) -> None:
    send(technician, injector.address, plain())
    album = f"{injector.address}/photographs"
    places = (album, f"{album}/1", f"{album}/1/pictures/thumbnail")
    assert f'href="{album}"' in office.get("/units/SN-1001").text
    for place in places:
        assert office.get(place).status_code == 200
        hidden, unknown = other_office.get(place), other_office.get(place.replace(injector.number, "OH-0000-0000"))
        assert hidden.status_code == unknown.status_code == 404
        assert hidden.text.replace(injector.number, "OH-0000-0000") == unknown.text
        assert passer_by.get(place).status_code == 303
    assert not has_form(office.get(album), "/photographs")
    answer = office.client.post(album, files={"picture": ("a.jpg", plain(), "image/jpeg")})
    assert answer.status_code == 403


def test_no_photograph_is_asked_for_when_the_injector_is_held_or_gone(technician: Visitor, injector: Injector) -> None:
    technician.fill(injector.address, "/holds", reason="Owner in arrears.", password=PASSWORD)
    assert not has_form(technician.get(injector.address), "/photographs")
    assert not has_form(technician.get(f"{injector.address}/photographs"), "/photographs")

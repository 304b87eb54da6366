"""Recording a calibration, its scan, what is due, and the calendar of it."""

import hashlib
import re

import pytest

from service.actions.shop import Shop
from tests.actions.test_calibrations import PDF, PNG
from tests.calibrating import calibrate, history
from tests.pages.forms_on_page import Visitor, form_of, forms_of, words_of
from tests.registered_fleet import Fleet

PLACE = "/instruments/MIC-1"
CERTIFICATE = {
    "certificate": "CAL-77",
    "laboratory": "Invented Laboratory",
    "calibrated_on": "2026-02-20",
    "due": "2027-02-20",
    "expanded_uncertainty": "1,5 µm",
    "k": "2",
    "found": "within-limits",
    "points": "5; 0.001\n10 -0,002",
    "remark": "",
}


def test_a_certificate_is_copied_and_its_errors_stand_in_a_table(manager: Visitor) -> None:
    page = words_of(manager.fill(f"{PLACE}/calibrations/new", "/calibrations", **CERTIFICATE))
    for piece in (
        "20 Feb 2026 In force. Within limits",
        "Certificate CAL-77",
        "Expanded uncertainty 0.0015 mm (k = 2)",
        "5 mm +0.001 mm",
        "10 mm -0.002 mm",
        "Recorded Mara Manager, 2 Mar 2026",
    ):
        assert piece in page
    assert page.index("CAL-77") < page.index("CAL-MIC-1"), "the newest stands first"


def test_the_next_form_offers_last_times_points_and_skips_those_left_empty(manager: Visitor, shop: Shop) -> None:
    manager.fill(f"{PLACE}/calibrations/new", "/calibrations", **CERTIFICATE)
    form = form_of(manager.get(f"{PLACE}/calibrations/new"), "/calibrations")
    assert [line.strip() for line in form.fields["points"][0].splitlines()] == ["5;", "10;"]
    assert form.fields["laboratory"] == ["Invented Laboratory"]
    sent = {**CERTIFICATE, "certificate": "CAL-78", "points": "5; 0.003\n10; "}
    assert manager.send(form, **sent).status_code == 303
    assert [str(point.error) for point in history(shop).calibrations[0].calibration.points] == ["0.003"]


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("certificate", "", "number of the calibration certificate"),
        ("laboratory", "", "Give the laboratory"),
        ("calibrated_on", "1.2.2026", "YYYY-MM-DD"),
        ("calibrated_on", "2026-03-03", "lies ahead"),
        ("due", "2026-02-20", "due after"),
        ("expanded_uncertainty", "-1", "0 or more"),
        ("k", "zwei", "not a number"),
        ("k", "0", "between 1 and 10"),
        ("found", "", "choose one"),
        ("found", "not-stated", "Say how it was found"),
        ("points", "5 0.1 7", "nominal; error"),
        ("points", "5; 2 bar", "does not measure the same thing"),
    ],
)
def test_a_slip_in_the_certificate_stands_beside_its_field(manager: Visitor, field: str, typed: str, said: str) -> None:
    form = form_of(manager.get(f"{PLACE}/calibrations/new"), "/calibrations")
    refused = manager.send(form, **{**CERTIFICATE, field: typed})
    assert refused.status_code == 422
    assert said in re.search(rf'id="{field}-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]
    assert form_of(refused, "/calibrations").fields["points"] == [typed if field == "points" else CERTIFICATE["points"]]


def test_found_out_of_limits_the_page_says_that_it_is_in_quarantine(manager: Visitor) -> None:
    sent = {**CERTIFICATE, "found": "out-of-limits"}
    page = words_of(manager.fill(f"{PLACE}/calibrations/new", "/calibrations", **sent))
    assert "Quarantined Found out of limits by calibration CAL-77 of 2026-02-20" in page


def test_a_certificate_sent_twice_is_told_and_recorded_once(manager: Visitor, shop: Shop) -> None:
    form = form_of(manager.get(f"{PLACE}/calibrations/new"), "/calibrations")
    assert manager.send(form, **CERTIFICATE).status_code == 303
    again = manager.send(form, **CERTIFICATE)
    assert again.status_code == 409
    assert "last calibration CAL-77" in words_of(again)
    assert len(history(shop).calibrations) == 2


def test_a_scan_is_sent_and_comes_back_as_a_file_that_no_browser_opens_in_our_place(
    manager: Visitor, technician: Visitor, office: Visitor, shop: Shop
) -> None:
    form = form_of(manager.get(PLACE), "/scans")
    sent = manager.client.post(form.action, data=form.fields, files={"scan": ("x.pdf", PDF)}, follow_redirects=False)
    assert sent.status_code == 303
    page = manager.get(PLACE)
    assert hashlib.sha256(PDF).hexdigest() in page.text
    href = re.search(r'href="([^"]+/scans/\d+)"', page.text)[1]  # type: ignore[index]
    answer = technician.get(href)
    assert (answer.status_code, answer.content) == (200, PDF)
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith('attachment; filename="MIC-1-CAL-MIC-1-')
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "no-store"
    assert "sandbox" in answer.headers.get_list("content-security-policy")
    assert office.get(href).status_code == 403
    assert technician.client.post(form.action, data=form.fields, files={"scan": ("x.pdf", PDF)}).status_code == 403
    assert technician.get(re.sub(r"\d+$", "999", href)).status_code == 404


def test_a_scan_may_be_larger_than_a_form_and_not_without_end(manager: Visitor, shop: Shop) -> None:
    form = form_of(manager.get(PLACE), "/scans")

    def send(content: bytes) -> int:
        files = {"scan": ("x.pdf", content)}
        return manager.client.post(form.action, data=form.fields, files=files, follow_redirects=False).status_code

    large = PDF[:20] + bytes(5_000_000) + PDF[20:]
    assert send(large) == 303
    assert send(bytes(11_000_000)) == 413
    assert send(b"not a scan") == 422
    assert [scan.size for scan in history(shop).calibrations[0].scans] == [len(large)]
    assert manager.client.post("/instruments", content=bytes(2_000_000)).status_code == 413


def test_a_picture_under_another_name_is_kept_as_what_it_is(manager: Visitor, shop: Shop) -> None:
    form = form_of(manager.get(PLACE), "/scans")
    manager.client.post(form.action, data=form.fields, files={"scan": ("x.pdf", PNG, "text/html")})
    assert [scan.media_type for scan in history(shop).calibrations[0].scans] == ["image/png"]


def test_the_due_list_puts_what_is_late_first(manager: Visitor, technician: Visitor, shop: Shop, fleet: Fleet) -> None:
    past = {"calibrated_on": shop.now().date().replace(month=2, day=1), "due": shop.now().date().replace(day=1)}
    calibrate(shop, fleet, "WRENCH-1", **past)
    words = words_of(manager.get("/instruments/due"))
    assert words.index("1 day late 1 Mar 2026 WRENCH-1") < words.index("MIC-1")
    assert "Overdue" in words
    assert technician.get("/instruments/due").status_code == 403


def test_the_calendar_address_is_secret_shown_once_and_ends_when_it_is_ended(
    manager: Visitor, technician: Visitor, passer_by: Visitor
) -> None:
    made = manager.fill("/instruments/due", "/due/calendar")
    address = re.search(r"http://127.0.0.1:8000(/instruments/due/[\w-]{40,}\.ics)", made.text)[1]  # type: ignore[index]
    assert address not in manager.get("/instruments/due").text
    answer = passer_by.get(address)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert answer.text.count("BEGIN:VEVENT") == 8
    assert "UID:instrument-1-due@127.0.0.1\r\n" in answer.text
    assert "DTSTART;VALUE=DATE:20270131\r\n" in answer.text
    assert passer_by.get("/instruments/due/" + "x" * 43 + ".ics").status_code == 404
    renewed = manager.send(next(form for form in forms_of(made) if form.action.endswith("/calendar")))
    assert renewed.status_code == 200
    assert passer_by.get(address).status_code == 404, "a new address ends the old one"
    newer = re.search(r"(/instruments/due/[\w-]{40,}\.ics)", renewed.text)[1]  # type: ignore[index]
    assert passer_by.get(newer).status_code == 200
    assert manager.send(form_of(renewed, "/calendar/end")).status_code == 303
    assert passer_by.get(newer).status_code == 404
    assert technician.client.post("/instruments/due/calendar").status_code == 403


def test_an_instrument_keeps_its_event_when_its_due_day_moves(
    manager: Visitor, passer_by: Visitor, shop: Shop, fleet: Fleet
) -> None:
    made = manager.fill("/instruments/due", "/due/calendar")
    address = re.search(r"(/instruments/due/[\w-]{40,}\.ics)", made.text)[1]  # type: ignore[index]
    before = passer_by.get(address).text
    calibrate(shop, fleet, "MIC-1")
    after = passer_by.get(address).text
    uids = [sorted(re.findall(r"UID:(\S+)", text)) for text in (before, after)]
    assert uids[0] == uids[1]
    assert "DTSTART;VALUE=DATE:20270302" in after
    assert after.count("SEQUENCE:3") == 1


def test_a_calibration_entered_wrongly_is_annulled_and_says_so_in_a_word(
    manager: Visitor, technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    calibrate(shop, fleet, certificate="WRONG")
    number = history(shop).calibrations[0].id
    form = form_of(manager.get(PLACE), f"/calibrations/{number}/annulment")
    refused = manager.send(form, reason=" ")
    assert refused.status_code == 422
    assert "Say what is wrong with it" in re.search(rf'id="a{number}-reason-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]
    assert manager.send(form, reason="The sheet of another gauge").status_code == 303
    page = technician.get(PLACE)
    struck = re.search(r'<article class="[^"]*annulled.*?</article>', page.text, re.DOTALL)[0]  # type: ignore[index]
    assert "<del>2 Mar 2026</del>" in struck
    assert "WRONG" in struck
    assert "Annulled by Mara Manager, 2 Mar 2026, 08:00 UTC: The sheet of another gauge" in words_of(page)
    assert "31 Jan 2026 In force." in words_of(page)
    assert f"/calibrations/{number}/annulment" not in manager.get(PLACE).text
    assert technician.client.post(form.action, data={**form.fields, "reason": "x"}).status_code == 403
    assert manager.send(form, reason="Again").status_code == 409, "the instrument was changed since"

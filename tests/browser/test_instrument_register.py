"""The register of instruments in a real browser: a certificate with its scan, what is due, and a reading refused."""

from datetime import UTC, date, datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests.actions.test_calibrations import PDF
from tests.browser.conftest import SignIn
from tests.browser.test_without_javascript import ROW
from tests.browser.walking import fill, press, receive, strip
from tests.cast import ALDER, MIRA, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

CODE = "HG-77"
PLACE = f"/instruments/{CODE}"


def today() -> date:
    return datetime.now(UTC).date()


def test_a_gauge_is_calibrated_falls_due_and_is_refused_with_the_remedy(sign_in: SignIn) -> None:
    manager, technician = sign_in(MIRA), sign_in(PETRA)
    _register(manager)
    _calibrate(manager, "OLD-1", days_ago=400, due_in=-35)
    expect(manager.get_by_text("Overdue").first).to_be_visible()
    _calibrate(manager, "NEW-2", days_ago=1, due_in=20, points="0; 0\n100; 0.002")
    newest = manager.locator("article").filter(has_text="NEW-2")
    expect(newest.get_by_text("In force.")).to_be_visible()
    _send_scan(manager)
    _stands_in_the_due_list(manager, "Due in 20 days")

    overhaul = _strip_one(technician)
    technician.goto(f"/overhauls/{overhaul}/examination/spring-length")
    fill(technician.locator("main"), {"readings": "40.2 mm", "instrument": CODE})
    _annul(manager)
    press(technician, "Judge and record")
    remedy = f"{CODE} was due for calibration on {today() - timedelta(days=35)}: take another or calibrate it."
    expect(technician.locator("#instrument-error")).to_contain_text(remedy)
    assert technician.locator("[name=readings]").input_value() == "40.2 mm", "what was typed is shown again"
    _stands_in_the_due_list(manager, "35 days late")


def _register(page: Page) -> None:
    page.goto("/instruments")
    page.get_by_role("link", name="Add an instrument").click()
    fields = {"code": CODE, "description": "Height gauge of the browser test (invented)", "upper": "300 mm"}
    fill(page.locator("main"), {**fields, "kind": "height-gauge", "unit": "mm", "lower": "0", "location": "Bench 9"})
    press(page, "Save")
    expect(page.get_by_text("no reading can be taken with it")).to_be_visible()


def _calibrate(page: Page, certificate: str, *, days_ago: int, due_in: int, points: str = "") -> None:
    page.goto(PLACE)
    page.get_by_role("link", name="Record a calibration").click()
    typed = {
        "certificate": certificate,
        "laboratory": "Invented Laboratory",
        "calibrated_on": (today() - timedelta(days=days_ago)).isoformat(),
        "due": (today() + timedelta(days=due_in)).isoformat(),
        "expanded_uncertainty": "5 µm",
        "found": "within-limits",
        "points": points,
    }
    fill(page.locator("main"), typed)
    press(page, "Record the calibration")
    page.wait_for_url(f"**{PLACE}")


def _send_scan(page: Page) -> None:
    newest = page.locator("article").filter(has_text="NEW-2")
    newest.get_by_text("Add a scan of the certificate").click()
    scan = {"name": "scan.pdf", "mimeType": "application/pdf", "buffer": PDF}
    newest.locator("[name=scan]").set_input_files(scan)  # type: ignore[arg-type]
    press(newest, "Keep the scan")
    link = page.get_by_role("link", name="Certificate as scanned (PDF")
    expect(link).to_be_visible()
    answer = page.request.get(link.get_attribute("href") or "")
    assert answer.body() == PDF


def _stands_in_the_due_list(page: Page, words: str) -> None:
    page.goto("/instruments")
    page.get_by_role("link", name="What is due").click()
    row = page.get_by_role("row").filter(has_text=CODE)
    expect(row.get_by_text(words)).to_be_visible()
    expect(row.get_by_text("Bench 9")).to_be_visible()


def _strip_one(page: Page) -> str:
    due = (today() + timedelta(days=10)).isoformat()
    receive(page, ALDER.vessels[0].imo, due, [{**ROW, "serial": "GAUGED-1"}])
    page.wait_for_url("**/consignments/CN-*")
    page.locator("main a[href^='/overhauls/']").first.click()
    overhaul = page.url.rsplit("/", 1)[1]
    strip(page, overhaul)
    return overhaul


def _annul(page: Page) -> None:
    page.goto(PLACE)
    wrong = page.locator("article").filter(has_text="NEW-2")
    wrong.get_by_text("It was entered wrongly").click()
    wrong.locator("[name=reason]").fill("The certificate of another gauge")
    press(wrong, "Annul this calibration")
    expect(page.locator("article.annulled").get_by_text("Annulled", exact=True)).to_be_visible()

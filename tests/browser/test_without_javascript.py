"""The bench without scripts: each step is a form that posts and a page that answers."""

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import SignIn
from tests.browser.walking import SOUND, examine, gauge_holes, press, prove, receive, strip, tighten
from tests.cast import ALDER, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

ROW = {
    "engine_id": "Auxiliary engine 1, 6 cylinders: AUXILIARY-C",
    "serial": "PLAIN-1",
    "cylinder": "1",
    "reason": "Dribbling",
    "fuel": "Distillate fuel",
    "packing": "Packing sound, plugs in place",
    "running_hours": "6000",
}


def test_the_bench_works_without_scripts_from_the_crate_to_the_rig(sign_in: SignIn) -> None:
    page = sign_in(PETRA, scripts=False)
    due = (datetime.now(UTC).date() + timedelta(days=10)).isoformat()
    receive(page, ALDER.vessels[0].imo, due, [ROW])
    page.wait_for_url("**/consignments/CN-*")
    page.locator("main a[href^='/overhauls/']").first.click()
    overhaul = page.url.rsplit("/", 1)[1]
    strip(page, overhaul)

    page.goto(f"/overhauls/{overhaul}/examination/spring-length")
    page.locator("[name=readings]").fill("forty")
    press(page, "Judge and record")
    expect(page.locator(".error-summary")).to_be_visible()
    assert page.locator("[name=readings]").input_value() == "forty", "what was typed is shown again"

    gauge_holes(page, overhaul)
    sound_seat = {"findings": "even-band", "magnification": "10", "instrument": "MS-01"}
    for key, fields in {"nozzle-seat": sound_seat, **SOUND}.items():
        examine(page, overhaul, key, fields)
        expect(page.get_by_text("Conforms", exact=True).first).to_be_visible()

    page.goto(f"/overhauls/{overhaul}/settlement")
    press(page, "Settle all as proposed")
    expect(page.get_by_text("8 of 8 parts settled")).to_be_visible()

    page.goto(f"/overhauls/{overhaul}/rebuild")
    tasks = page.locator("form").filter(has=page.locator("[name=batch]"))
    while left := tasks.count():
        tasks.first.locator("[name=batch]").fill(f"BATCH-{left}")
        press(tasks.first, "Record as fitted")
        expect(tasks).to_have_count(left - 1)
    tighten(page, overhaul)
    prove(page, overhaul)
    page.goto(f"/overhauls/{overhaul}/release")
    expect(page.get_by_text("A manager signs the release.")).to_be_visible()

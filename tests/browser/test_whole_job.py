"""The whole job in a real browser: from the ship's crate to a certificate, and the ship's office asking after it."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SignIn
from tests.browser.walking import (
    SOUND,
    examine,
    gauge_holes,
    press,
    prove,
    receive,
    strip,
    tighten,
)
from tests.cast import ALDER, BEN, MIRA, OLGA, PETRA
from tests.documents.printed import words_of

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

VESSEL = ALDER.vessels[0]
ROW = {
    "engine_id": "Auxiliary engine 1, 6 cylinders: AUXILIARY-C",
    "reason": "Dribbling",
    "fuel": "Distillate fuel",
    "packing": "Packing sound, plugs in place",
    "running_hours": "6000",
}


def test_an_injector_goes_from_the_crate_to_a_certificate_that_the_office_finds(sign_in: SignIn) -> None:
    """Paths 1 to 4, with every stop on the way."""
    technician = sign_in(PETRA)
    overhaul = _receive_two(technician)
    strip(technician, overhaul)
    _examine_with_stops(technician, overhaul)
    _settle(technician, overhaul)
    office = sign_in(OLGA)
    _approve(office)
    _rebuild(technician, overhaul)
    prove(technician, overhaul)
    _change_a_disc_and_lose_the_pass(technician, overhaul)
    manager = sign_in(MIRA)
    certificate = _release(manager, technician, overhaul)
    _certificate_says_everything(manager, certificate)
    _office_finds_it(office, sign_in(BEN), certificate)


def _receive_two(page: Page) -> str:
    page.goto("/consignments/new")
    wrong = VESSEL.imo[:-1] + str((int(VESSEL.imo[-1]) + 1) % 10)
    page.locator("[name=imo]").last.fill(wrong)
    press(page, "Go on")
    expect(page.get_by_text(f"ends in {VESSEL.imo[-1]}").or_(page.get_by_text("check digit")).first).to_be_visible()

    due = (datetime.now(UTC).date() + timedelta(days=10)).isoformat()
    main_engine = {**ROW, "engine_id": "Main engine, 6 cylinders: TWO-STROKE-A", "serial": "A1-1001", "cylinder": "1"}
    receive(page, VESSEL.imo, due, [main_engine])
    refused = page.get_by_text("open in the shop already")
    expect(refused.first).to_be_visible()
    expect(page.locator("main a[href^='/overhauls/OH-']").first).to_be_visible()

    rows = [{**ROW, "serial": f"WALK-{n}", "cylinder": str(n)} for n in (1, 2)]
    receive(page, VESSEL.imo, due, rows)
    page.wait_for_url("**/consignments/CN-*")
    expect(page.get_by_role("link", name="WALK-2").first).to_be_visible()
    href = page.get_by_role("link", name="WALK-1").first.get_attribute("href") or ""
    page.goto(href)
    found = re.search(r"OH-\d{4}-\d+", page.content())
    assert found is not None
    return found[0]


def _examine_with_stops(page: Page, overhaul: str) -> None:
    gauge_holes(page, overhaul, entering_reject=(4,))
    expect(page.get_by_text("Does not conform").first).to_be_visible()
    expect(page.get_by_text("reject pin enters hole 4").first).to_be_visible()

    seat = {"findings": "indentation", "magnification": "4", "instrument": "MS-01"}
    examine(page, overhaul, "nozzle-seat", seat)
    expect(page.get_by_text("too little to see it").first).to_be_visible()
    assert page.locator("[name=magnification]").input_value() == "4", "what was typed is shown again"
    examine(page, overhaul, "nozzle-seat", {**seat, "magnification": "10"})
    expect(page.get_by_text("never lapped or ground").first).to_be_visible()

    for key, fields in SOUND.items():
        examine(page, overhaul, key, fields)
        expect(page.get_by_text("Conforms", exact=True).first).to_be_visible()


def _settle(page: Page, overhaul: str) -> None:
    page.goto(f"/overhauls/{overhaul}/settlement")
    nozzle = page.locator("form").filter(has=page.locator("[name=part][value=nozzle]"))
    assert nozzle.locator("[name=chosen][value=rework]").count() == 0, "lapping an internal seat is never offered"
    assert nozzle.locator("[name=chosen][value=replace-assembly]").is_checked()
    expect(page.get_by_text("replaced, never lapped or ground").first).to_be_visible()
    press(page, "Settle all as proposed")
    expect(page.get_by_text("8 of 8 parts settled").first).to_be_visible()


def _approve(page: Page) -> None:
    """Line by line: the nozzle's assembly goes, so nozzle and needle are asked for."""
    for part in ("nozzle", "needle"):
        page.goto("/approvals")
        line = page.locator("section").filter(has=page.get_by_role("link", name="WALK-1"))
        line = line.filter(has=page.locator(f"[name=part][value={part}]"))
        line.locator("[name=note]").fill("Agreed by the office")
        press(line, "Accept")
        expect(page.get_by_text("accepted").first).to_be_visible()


def _rebuild(page: Page, overhaul: str) -> None:
    page.goto(f"/overhauls/{overhaul}/rebuild")
    while (forms := page.locator("form").filter(has=page.locator("[name=batch]"))).count():
        before = forms.count()
        forms.first.locator("[name=batch]").fill(f"BATCH-{before}")
        press(forms.first, "Record as fitted")
        expect(page.locator("form").filter(has=page.locator("[name=batch]"))).to_have_count(before - 1)
    tighten(page, overhaul)


def _change_a_disc_and_lose_the_pass(page: Page, overhaul: str) -> None:
    page.goto(f"/overhauls/{overhaul}/proving")
    expect(page.get_by_role("listitem").filter(has_text=re.compile(r"Proved\s*:\s*now"))).to_have_count(1)
    page.goto(f"/overhauls/{overhaul}/rebuild")
    page.locator("summary", has_text="Adjusting discs").click()
    discs = page.locator("form[action*='disc-changes']")
    discs.locator("[name=added]").first.fill("0.05")
    discs.locator("[name=reason]").fill("Opening pressure nearer to the middle of the band")
    press(discs, "Record and void the run")
    expect(page.get_by_role("button", name="Record the torque")).to_be_visible()
    page.goto(f"/overhauls/{overhaul}/release")
    expect(page.get_by_text("The last bench run is void").first).to_be_visible()
    tighten(page, overhaul)
    prove(page, overhaul)


def _release(manager: Page, technician: Page, overhaul: str) -> str:
    technician.goto(f"/overhauls/{overhaul}/release")
    assert technician.locator("[name=password]").count() == 0, "only a manager signs"
    manager.goto("/board")
    manager.get_by_role("link", name=re.compile("WALK-1")).first.click()
    manager.goto(f"/overhauls/{overhaul}/release")
    manager.locator("[name=password]").fill("not the password")
    press(manager, "Sign and issue the certificate")
    expect(manager.get_by_text("The password is wrong").first).to_be_visible()
    manager.locator("[name=password]").fill(MIRA.password)
    press(manager, "Sign and issue the certificate")
    link = manager.get_by_role("link", name="Open the certificate (PDF)")
    expect(link).to_be_visible()
    return link.get_attribute("href") or ""


def _certificate_says_everything(page: Page, href: str) -> None:
    answer = page.request.get(href)
    assert answer.headers["content-type"] == "application/pdf"
    text = words_of(answer.body())
    number = href.rsplit("/", 1)[1].removesuffix(".pdf")
    for words in (
        number,
        "WALK-1",
        VESSEL.name,
        VESSEL.imo,
        "Spray holes, gauge pins",
        "Does not conform",
        "5.991, 5.9915 mm",
        "5.985 to 5.997 mm",
        "U = 0.0023 mm, k = 2",
        "Nozzle assembly",
        "BATCH-",
        "mean 282 bar",
        "272 to 292 bar",
        "100 N·m",
        MIRA.name,
    ):
        assert words in text, f"the certificate does not say {words!r}"


def _office_finds_it(own: Page, foreign: Page, href: str) -> None:
    own.goto("/fleet")
    own.locator("[name=serial]").first.fill("walk-1")
    own.get_by_role("button", name="Find").first.click()
    own.wait_for_url("**/units/WALK-1")
    for words in ("Released", "Spray holes, gauge pins", "reject pin enters hole 4"):
        expect(own.get_by_text(words).first).to_be_visible()
    assert own.request.get(href).status == 200

    unknown, hidden = foreign.request.get("/units/WALK-9"), foreign.request.get("/units/WALK-1")
    assert (unknown.status, hidden.status) == (404, 404)
    assert unknown.text().replace("WALK-9", "WALK-1") == hidden.text()
    assert foreign.request.get(href).status == 404

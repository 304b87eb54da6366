"""A section measured in the browser: the instrument's file, the verdict with its plot, with scripts and without."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import FilePayload, Page, expect

from tests.browser.conftest import SignIn
from tests.browser.test_accessibility import faults_of
from tests.browser.walking import press, receive, strip
from tests.cast import BIRCH, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

ROW = {
    "engine_id": "Main engine port, 8 cylinders: FOUR-STROKE-B",
    "cylinder": "1",
    "reason": "Dribbling",
    "fuel": "Distillate fuel",
    "packing": "Packing sound, plugs in place",
    "running_hours": "6000",
}


def file(lobed_um: float) -> FilePayload:
    """A radial trace of 4 mm in even steps of a degree, with three lobes of that amplitude. All invented."""
    rows = [f"{turn};{4 + lobed_um / 1000 * math.cos(3 * math.radians(turn)):.5f}" for turn in range(360)]
    return FilePayload(name="turn.csv", mimeType="text/csv", buffer="\n".join(rows).encode())


def send(page: Page, trace: FilePayload) -> None:
    """Choose columns, file and instrument, and have it judged."""
    page.locator("[name=columns][value=trace]").check()
    page.locator("[name=file]").first.set_input_files(trace)
    page.locator("[name=instrument]").select_option("RI-01")
    press(page, "Judge and record")


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_the_instruments_file_gives_a_verdict_with_its_plot(sign_in: SignIn, scripts: bool) -> None:
    page = sign_in(PETRA, scripts=scripts)
    due = (datetime.now(UTC).date() + timedelta(days=10)).isoformat()
    receive(page, BIRCH.vessels[2].imo, due, [{**ROW, "serial": f"ROUND-{int(scripts)}"}])
    page.wait_for_url("**/consignments/CN-*")
    page.locator("main a[href^='/overhauls/']").first.click()
    overhaul = page.url.rsplit("/", 1)[1]
    strip(page, overhaul)
    address = f"/overhauls/{overhaul}/examination/needle-roundness"
    page.goto(address)
    send(page, FilePayload(name="turn.csv", mimeType="text/csv", buffer=b"0;4\n90;4\n180;4\n"))
    expect(page.locator(".error-summary")).to_contain_text("3 directions")
    page.locator("[name=points]").fill("")
    send(page, file(2.5))
    expect(page.get_by_text("Does not conform", exact=True).first).to_be_visible()
    expect(page.get_by_text("Mostly three-lobed").first).to_be_visible()
    expect(page.locator("#section figure svg").first).to_be_visible()
    if scripts:
        assert faults_of(page, address) == []

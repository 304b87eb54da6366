"""An injector that opens too early, from the proposal to the recorded discs, and the pages of setting and matching."""

import pytest

from tests.browser.conftest import SignIn
from tests.browser.test_accessibility import faults_of_all
from tests.cast import MIRA, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

EARLY = "CA-9004"
SPRING = "rate=150&guide=8&seat=4.5&preload=7"
DISCS = "now=320&target=350&tolerance=10&bar_per_mm=43.65&stock=0.05,0.10,0.50,0.60,0.70&max=5"


def test_the_proposed_disc_is_recorded_with_three_presses(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    page.goto(f"/units/{EARLY}")
    page.get_by_role("link", name="Open OH-").click()
    overhaul = page.url
    page.goto(f"{overhaul}/proving")
    setting = page.locator("#setting")
    assert "0.8 mm" in setting.inner_text()
    assert "350.2 bar" in setting.inner_text()
    faults = faults_of_all(page, (f"{overhaul}/proving", f"{overhaul}/rebuild?set=1"))
    assert not faults, "\n".join(faults)
    page.goto(f"{overhaul}/proving")
    setting.get_by_text("Discs in the drawer").click()
    setting.get_by_label("0.8 mm").uncheck()
    setting.get_by_role("button", name="Propose from these").click()
    assert "345.5 bar" in page.locator("#setting tbody tr").first.inner_text()
    page.locator("#setting").get_by_role("link", name="Use this set").first.click()
    discs = page.locator("#discs")
    assert discs.locator("[name=added]").first.input_value() == "0.6"
    discs.get_by_role("button", name="Record").click()
    page.get_by_text("1 of at most 5 added discs.").wait_for(state="attached")
    assert page.locator("#setting").count() == 0


def test_the_pages_of_setting_and_matching_are_accessible(sign_in: SignIn) -> None:
    page = sign_in(MIRA)
    page.goto("/fleets")
    match = page.get_by_role("link", name="Match a set").first.get_attribute("href") or ""
    plan = "/limit-sheets/AUXILIARY-C/draft/test-plan"
    calculators = (f"/calculators/opening-pressure?{SPRING}", f"/calculators/discs?{DISCS}")
    faults = faults_of_all(page, (match, plan, *calculators))
    assert not faults, "\n".join(faults)

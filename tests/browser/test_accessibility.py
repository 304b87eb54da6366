"""Every kind of page by WCAG 2.2 A and AA, without sideways scrolling, every control as high as a glove needs.

The rules are axe-core's for the tags below; 44 px is the target size that WCAG 2.2 names in 2.5.5 (AAA), kept here
for gloves. Reflow to narrow screens: WCAG 2.2, 1.4.10.
"""

from collections.abc import Iterable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.conftest import SignIn
from tests.cast import MIRA, OLGA, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]}
PHONE, TABLET, DESKTOP = (390, 844), (820, 1180), (1400, 900)
LOW_CONTROLS = """() => {
  const seen = (it) => {
    const box = it.getBoundingClientRect();
    return it.checkVisibility() && box.width > 1 && box.height > 1 && !it.closest(".visually-hidden");
  };
  const height = (it) => {
    const own = it.type === "radio" || it.type === "checkbox" ? it.closest("label") : it;
    return own.getBoundingClientRect().height;
  };
  return [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
    .filter(seen).filter((it) => height(it) < 43.9)
    .map((it) => `${it.tagName.toLowerCase()} "${(it.innerText || it.name).trim()}" ${Math.round(height(it))} px`);
}"""


def faults_of(page: Page, path: str) -> list[str]:
    """What is wrong with that page, in words; the page is loaded once and looked at in three sizes."""
    page.goto(path)
    faults = []
    for width, height in (DESKTOP, TABLET, PHONE):
        page.set_viewport_size({"width": width, "height": height})
        needed = page.evaluate("() => document.documentElement.scrollWidth")
        if needed > width:
            faults.append(f"{path} at {width} px: {needed} px wide, so it scrolls sideways")
        faults += [f"{path} at {width} px: {control}" for control in page.evaluate(LOW_CONTROLS)]
        if width != TABLET[0]:
            found = Axe().run(page, options=RULES).response["violations"]
            faults += [f"{path} at {width} px: {one['id']} {one['nodes'][0]['target']}" for one in found]
    return faults


def faults_of_all(page: Page, paths: Iterable[str]) -> list[str]:
    """What is wrong with those pages."""
    return [fault for path in paths for fault in faults_of(page, path)]


def at_stage(page: Page, stage: str) -> str:
    """The address of an injector that stands there on the board, one that nobody holds."""
    page.goto("/board")
    column = page.locator("section.board-column").filter(has=page.get_by_role("heading", name=stage))
    href = column.locator("a.board-card:not(.board-card-held)").first.get_attribute("href")
    assert href is not None, f"no injector stands at {stage}"
    return href


def step_of(page: Page, overhaul: str) -> str:
    """A recorded step of a run on the rig."""
    page.goto(f"{overhaul}/proving")
    return page.locator("a[href*='/steps/']").first.get_attribute("href") or ""


def test_every_page_of_the_bench_is_accessible(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    received, stripped, proved = (at_stage(page, stage) for stage in ("Received", "Stripped", "Proved"))
    faults = faults_of_all(
        page,
        (
            f"{received}/strip",
            f"{stripped}/examination",
            f"{stripped}/examination/nozzle-holes",
            f"{stripped}/examination/nut-threads",
            f"{stripped}/settlement",
            f"{at_stage(page, 'Agreed')}/rebuild",
            f"{proved}/proving",
            step_of(page, proved),
            "/test-rigs/RIG-1/checks/new",
            "/consignments/new",
            "/units/NO-SUCH-SERIAL",
        ),
    )
    assert not faults, "\n".join(faults)


def test_every_page_of_the_manager_is_accessible(sign_in: SignIn) -> None:
    page = sign_in(MIRA)
    proved = at_stage(page, "Proved")
    faults = faults_of_all(
        page,
        (
            "/board",
            proved,
            f"{proved}/release",
            f"{at_stage(page, 'Received')}/release",
            "/fleets",
            "/limit-sheets/TWO-STROKE-A/revisions/2",
            "/limit-sheets/AUXILIARY-C/draft",
            "/instruments",
            "/instruments/new",
            "/test-rigs/RIG-1",
            "/people",
            "/journal",
        ),
    )
    assert not faults, "\n".join(faults)


def test_every_page_of_the_office_and_of_the_public_is_accessible(sign_in: SignIn, browser: Browser) -> None:
    page = sign_in(OLGA)
    faults = faults_of_all(page, ("/fleet", "/approvals", "/units/A1-1001", "/units?serial=nothing", "/people/me"))
    page.get_by_role("button", name="Sign out").click()
    faults += faults_of_all(page, ("/sign-in", "/certificates/no-such-mark"))
    assert not faults, "\n".join(faults)


def test_the_limit_last_times_finding_and_the_verdict_stand_on_one_tablet_screen(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    page.set_viewport_size({"width": TABLET[0], "height": TABLET[1]})
    page.goto("/units/A1-1001")
    page.get_by_role("link", name="Open OH-").click()
    page.goto(f"{page.url}/examination/needle-diameter")
    for place in (page.locator(".limit-plate"), page.get_by_text("Last time:"), page.locator(".verdict-panel")):
        box = place.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < TABLET[1]


def test_the_focus_goes_to_the_first_error_and_then_to_the_verdict(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    overhaul = at_stage(page, "Stripped")
    page.goto(f"{overhaul}/examination/spring-length")
    again = page.locator("summary", has_text="Record it again")
    if again.count():
        again.click()
    page.locator("[name=readings]").first.press("Enter")
    focused = page.locator(".error-summary:focus")
    focused.wait_for()
    page.locator("[name=readings]").first.fill("80.1")
    page.locator("[name=instrument]").select_option("HG-01")
    page.locator("[name=readings]").first.press("Enter")
    page.locator(".verdict-panel:focus").wait_for()

"""The demonstration's trace read off and looked at closely in the browser, with scripts and without."""

import re

import pytest
from playwright.sync_api import FilePayload, Page, expect

from tests.browser.conftest import SignIn
from tests.browser.test_accessibility import faults_of
from tests.browser.walking import fill, press
from tests.cast import PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

STEP_S = 1 / 200
"""From one reading of the demonstration's logger to the next."""


def open_the_trace(page: Page) -> str:
    """The trace that waits at the rig; gives its address."""
    page.goto("/units/CA-9001")
    page.get_by_role("link", name="Open OH-").click()
    page.goto(f"{page.url.split('?')[0]}/bench-traces/2")
    return page.url


def readings_of(page: Page, address: str) -> dict[float, float]:
    """The logger's own rows: bar by the time in s."""
    rows = page.request.get(f"{address}/file").text().splitlines()[2:]
    return {float(t): float(bar) for t, bar in (row.split(";") for row in rows)}


def field(page: Page) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of the plot's own field on the screen."""
    page.locator(".trace-ground").evaluate("it => it.scrollIntoView({ block: 'center', behavior: 'instant' })")
    box = page.locator(".trace-ground").bounding_box()
    assert box is not None
    return box["x"], box["x"] + box["width"], box["y"], box["y"] + box["height"]


def told(page: Page, place: str = ".trace-reading") -> tuple[float, float]:
    """Time and pressure that stand above the plot."""
    found = re.search(r"([\d.]+) s, ([\d.]+) bar", page.locator(place).inner_text())
    assert found is not None
    return float(found[1]), float(found[2])


def shown(page: Page) -> tuple[float, float]:
    """From when to when the plot shows."""
    found = re.search(r"([\d.]+) to ([\d.]+) s", page.locator("#trace-plot [role=status]").inner_text())
    assert found is not None
    return float(found[1]), float(found[2])


def test_pointing_tells_a_reading_of_the_logger_and_two_marks_tell_the_decay_between_them(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    address = open_the_trace(page)
    rows, (start, end) = readings_of(page, address), shown(page)
    left, right, top, bottom = field(page)
    for asked in (7.0, 14.0):
        page.mouse.click(left + (right - left) * (asked - start) / (end - start), (top + bottom) / 2)
        at, bar = told(page)
        assert at == pytest.approx(asked, abs=(end - start) / 100)
        near = [rows[t] for t in rows if abs(t - at) <= STEP_S]
        assert min(abs(one - bar) for one in near) < 0.1
    said = page.locator(".trace-difference").inner_text()
    lasted, fell, rate = map(
        float, re.findall(r"([\d.]+) s later and ([\d.]+) bar less: ([\d.]+) bar/min falling", said)[0]
    )
    assert rate == pytest.approx(60 * fell / lasted, abs=0.5)
    page.keyboard.press("ArrowRight")
    assert told(page)[0] > at
    page.get_by_role("button", name="Remove the marks").click()
    expect(page.locator(".trace-difference")).to_be_empty()


def test_dragging_shows_that_stretch_and_the_whole_comes_back(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    open_the_trace(page)
    whole = shown(page)
    left, right, top, bottom = field(page)
    page.mouse.move(left + 0.5 * (right - left), (top + bottom) / 2)
    page.mouse.down()
    page.mouse.move(left + 0.75 * (right - left), (top + bottom) / 2, steps=3)
    page.mouse.up()
    expect(page.locator("#trace-plot [role=status]")).to_have_text(re.compile("^From"))
    length = whole[1] - whole[0]
    stretch = shown(page)
    assert stretch == (
        pytest.approx(whole[0] + length / 2, rel=0.01),
        pytest.approx(whole[0] + length * 0.75, rel=0.01),
    )
    page.get_by_role("link", name="Closer").press("Enter")
    expect(page.locator("#trace-plot [role=status]")).not_to_contain_text(f"{stretch[0]:.3f}")
    assert shown(page)[1] - shown(page)[0] == pytest.approx((stretch[1] - stretch[0]) / 2, abs=0.01)
    assert page.evaluate("document.activeElement.id") == "trace-closer"
    field(page)
    page.locator(".trace-pointing").dblclick()
    expect(page.locator("#trace-plot [role=status]")).to_contain_text("The whole trace")
    assert faults_of(page, page.url) == []


def test_a_file_that_leaves_its_unit_open_stays_chosen_until_the_unit_is_said(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    address = open_the_trace(page)
    bare = page.request.get(f"{address}/file").body().replace(b"pressure [bar]", b"pressure")
    page.get_by_role("link", name="All traces of this step").click()
    page.locator("[name=file]").set_input_files(FilePayload(name="bare.csv", mimeType="text/csv", buffer=bare))
    press(page, "Keep the trace")
    expect(page.locator(".error-summary")).to_contain_text("in which unit")
    page.locator("[name=pressure_unit]").select_option("bar")
    press(page, "Keep the trace")
    page.wait_for_url("**/bench-traces/*")
    expect(page.get_by_text("This holds only if the file is read as it should be")).to_be_visible()
    press(page, "Confirm")
    expect(page.get_by_text("Confirmed by")).to_be_visible()
    expect(page.get_by_role("heading", name="Record the step with these openings")).to_be_visible()


def test_without_scripts_links_and_fields_do_the_same(sign_in: SignIn) -> None:
    page = sign_in(PETRA, scripts=False)
    open_the_trace(page)
    page.get_by_role("link", name="Closer").click()
    page.get_by_role("link", name="Later").click()
    page.get_by_role("link", name="Whole trace").click()
    fill(page, {"from_s": "16,4", "to_s": "16.9"})
    press(page, "Show this stretch")
    assert shown(page) == (16.4, 16.9)
    expect(page.locator("#trace-plot svg")).to_be_visible()

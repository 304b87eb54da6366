"""A run on the rig in the browser: the timer through a reload and a sleeping telephone, the verdict in the focus."""

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SignIn
from tests.browser.walking import fill, press
from tests.cast import PETRA

IN_THE_CRATE = "BU-6002"
MOMENT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def being_flushed(page: Page) -> None:
    """The injector in the crate on the rig, tested as found: vented, and the flush comes next."""
    page.goto(f"/units/{IN_THE_CRATE}")
    page.get_by_role("link", name="Open OH-").click()
    page.goto(f"{page.url}/proving")
    page.locator("[name=gauge]").select_option("PG-01 on RIG-1")
    press(page, "Start the run")
    page.wait_for_url("**/steps/vent")
    fill(page.locator("main"), {"air_free": "yes"})
    press(page, "Record this step")
    page.get_by_role("link", name="Next: ").click()
    page.wait_for_url("**/steps/flush")


def test_the_timer_lasts_through_a_reload_fills_the_field_and_overwrites_nothing_that_was_typed(
    sign_in: SignIn,
) -> None:
    page = sign_in(PETRA)
    page.set_viewport_size({"width": 390, "height": 844})
    being_flushed(page)
    page.clock.install(time=MOMENT)
    page.clock.pause_at(MOMENT + timedelta(seconds=1))
    page.reload()
    timer, flushed = page.get_by_role("group", name="Timer"), page.locator("[name=flushed_s]")
    asked = int(timer.get_attribute("data-seconds") or "0")
    digits = timer.locator("[data-timer-left]")
    expect(digits).to_have_text(str(asked))
    assert digits.evaluate("it => it.getBoundingClientRect().height") > 80, "legible at arm's length"
    press(timer, "Start")
    press(timer, "Stop")
    expect(timer.get_by_role("button", name="Stop")).to_be_visible()  # a glove that bounced stopped nothing
    page.clock.run_for(4_000)
    expect(digits).to_have_text(str(asked - 4))
    page.reload()
    expect(timer.locator("[data-timer-elapsed]")).to_have_text("4")
    page.clock.fast_forward(asked * 1_000)  # the telephone slept
    expect(timer.get_by_role("status")).to_have_text(f"Time is up: {asked} s.")
    press(timer, "Stop")
    expect(flushed).to_have_value(str(asked + 4))

    page.clock.run_for(1_000)
    press(timer, "Again")
    flushed.fill("7")
    press(timer, "Start")
    page.clock.run_for(2_000)
    press(timer, "Stop")
    expect(flushed).to_have_value("7")
    press(timer, "Put 2 s in the field")
    expect(flushed).to_have_value("2")
    flushed.fill("60")

    page.clock.resume()
    fill(page.locator("main"), {"clean": "unclear"})
    page.get_by_role("button", name="Record this step").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".verdict-not-proven")).to_be_focused()
    expect(page.locator(".verdict-panel-label")).to_have_text("Cannot tell")
    expect(digits).to_have_text(str(asked))  # each recording has a time of its own
    assert page.evaluate("() => document.documentElement.scrollWidth") == 390
    low = "its => its.filter(it => it.checkVisibility() && it.getBoundingClientRect().height < 43.9).length"
    assert page.locator("#step :is(button, .choice)").evaluate_all(low) == 0

    fill(page.locator("main"), {"flushed_s": "75", "clean": "yes"})
    press(page, "Record this step")
    expect(page.locator(".verdict-conforms")).to_be_focused()
    expect(page.get_by_text("Recorded before in this run")).to_be_visible()

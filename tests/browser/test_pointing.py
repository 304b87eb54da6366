"""The ends of a scale bar pointed at on a photograph, and the same typed where no script runs."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SignIn
from tests.browser.walking import fill, press
from tests.cast import PETRA, TOM

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

BAR = {"scale_by": "bar", "length_um": "0.5 mm", "length_uncertainty_um": "1"}
ACROSS, DOWN = 520, 400
"""Pixels of the demonstration's photographs, whose bars reach from 60; 360 to 185; 360."""


def open_the_spoiled_one(page: Page) -> None:
    """The page that measures a hole in the second photograph of the demonstration."""
    page.goto("/units/A1-1001")
    page.get_by_role("link", name="Open OH-").click()
    page.goto(f"{page.url}/photographs")
    page.locator("li", has_text="measure it and reject it").get_by_role("link").click()
    page.get_by_role("link", name="Measure a hole in it").click()
    page.locator("[name=hole]").select_option("3")


def point_at(page: Page, x: int, y: int) -> None:
    """Press on the middle of that pixel, however large the photograph is shown."""
    image = page.locator("figure.photograph img")
    image.scroll_into_view_if_needed()
    box = image.bounding_box()
    assert box is not None
    image.click(
        position={"x": 1 + (x + 0.5) / ACROSS * (box["width"] - 2), "y": 1 + (y + 0.5) / DOWN * (box["height"] - 2)}
    )


def place(page: Page, name: str) -> tuple[int, int]:
    """What stands in the field."""
    x, y = page.locator(f"[name={name}]").input_value().split(";")
    return int(x), int(y)


def assert_near(page: Page, name: str, x: int, y: int) -> None:
    """A mouse and a finger point to whole pixels of the screen."""
    at_x, at_y = place(page, name)
    assert abs(at_x - x) <= 2, name
    assert abs(at_y - y) <= 2, name


def walk_to(page: Page, name: str, x: int, y: int) -> None:
    """Move that end there by the arrow keys."""
    at_x, at_y = place(page, name)
    for key, steps in (
        ("ArrowRight", x - at_x),
        ("ArrowLeft", at_x - x),
        ("ArrowDown", y - at_y),
        ("ArrowUp", at_y - y),
    ):
        for _ in range(steps):
            page.keyboard.press(key)
    assert place(page, name) == (x, y)


def test_both_ends_are_pointed_at_moved_by_the_keyboard_and_the_picture_is_rejected(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    open_the_spoiled_one(page)
    panel = page.get_by_role("group", name="Ends of the scale bar")
    expect(panel).to_be_hidden()
    fill(page.locator("form[method=get]"), BAR)
    expect(panel).to_be_visible()
    point_at(page, 63, 357)
    point_at(page, 182, 363)
    assert_near(page, "start_px", 63, 357)
    assert_near(page, "end_px", 182, 363)

    panel.get_by_role("button", name="One end").focus()
    page.keyboard.press("Enter")
    walk_to(page, "start_px", 60, 360)
    panel.get_by_role("button", name="Other end").click()
    walk_to(page, "end_px", 184, 360)
    panel.get_by_role("button", name="Right by one pixel").click()
    expect(page.locator("[name=start_px]")).to_have_value("60; 360")
    expect(page.locator("[name=end_px]")).to_have_value("185; 360")
    seen = "it => it.getContext('2d').getImageData(88, 88, 1, 1).data[3]"
    assert page.locator("canvas").evaluate(seen) == 255, "the magnified view shows the photograph"

    press(page, "Measure")
    expect(page.get_by_role("heading", name="Hole 3 as it was found")).to_be_visible()
    expect(page.get_by_text("Not as it should be").first).to_be_visible()
    expect(page.get_by_role("group", name="Ends of the scale bar")).to_be_visible()
    press(page, "Reject")
    expect(page.get_by_text("Say why it is rejected.").first).to_be_visible()
    page.locator("[name=reason]").fill("Oil on the rim")
    press(page, "Reject")
    page.wait_for_url("**/examination/nozzle-holes*")
    page.goto(f"{page.url.split('/examination')[0]}/photographs")
    page.locator("li", has_text="measure it and reject it").get_by_role("link").click()
    expect(page.get_by_role("heading", name="Hole 3: rejected")).to_be_visible()


def test_on_a_telephone_a_finger_places_the_ends_and_each_button_is_as_large_as_a_glove_needs(sign_in: SignIn) -> None:
    page = sign_in(TOM)
    page.set_viewport_size({"width": 390, "height": 844})
    open_the_spoiled_one(page)
    fill(page.locator("form[method=get]"), BAR)
    point_at(page, 60, 360)
    low = "its => its.filter(it => it.getBoundingClientRect().height < 43.9).length"
    assert page.locator(".pointing button").evaluate_all(low) == 0
    assert page.evaluate("() => document.documentElement.scrollWidth") == 390
    assert_near(page, "start_px", 60, 360)


def test_without_scripts_the_ends_are_typed(sign_in: SignIn) -> None:
    page = sign_in(PETRA, scripts=False)
    open_the_spoiled_one(page)
    fill(page.locator("form[method=get]"), {**BAR, "start_px": "60; 360", "end_px": "185; 360"})
    press(page, "Measure")
    expect(page.get_by_role("heading", name="Hole 3 as it was found")).to_be_visible()

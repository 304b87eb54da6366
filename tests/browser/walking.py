"""What a person types and presses at each step of an auxiliary engine's injector. All figures are invented."""

from collections.abc import Mapping

from playwright.sync_api import Locator, Page, expect

Field = str | list[str]

SOUND: Mapping[str, Mapping[str, Field]] = {
    "needle-diameter": {"readings": ["5,991", "5.9915"], "instrument": "MM-01"},
    "needle-slides": {"answer": "yes"},
    "spring-length": {"readings": "40.2 mm", "instrument": "HG-01"},
    "spring-rate": {"readings": "120", "instrument": "SP-01"},
    "thrust-face": {"readings": "15 µm", "instrument": "HG-01"},
    "housing-body": {"findings": "clean"},
    "nut-threads": {"findings": "sound"},
}
"""By characteristic, in the sheet's order, after the spray holes and the internal seat."""

PASSING: Mapping[str, Mapping[str, Field]] = {
    "vent": {"air_free": "yes"},
    "flushing-strokes": {"strokes": "6"},
    "seat-tightness": {"pressure": "23.2 MPa", "held_s": "20", "dry": "yes"},
    "opening-pressure": {"strokes_bar": ["281", "283", "282"]},
    "emission": {f"hole-{hole}": "yes" for hole in range(1, 7)},
    "quick-drop": {"seen_drop": "yes"},
    "external-tightness": {"pressure": "102", "held_s": "60", "leaks": "none"},
}
"""By bench step, in the plan's order."""


def fill(scope: Page | Locator, fields: Mapping[str, Field]) -> None:
    """Type, choose or tick every field by its name."""
    for name, value in fields.items():
        values = value if isinstance(value, list) else [value]
        found = scope.locator(f"[name='{name}']")
        kind = found.first.evaluate("it => it.type || it.tagName")
        if kind in ("radio", "checkbox"):
            for one in values:
                scope.locator(f"[name='{name}'][value='{one}']").check()
        elif kind == "select-one":
            found.select_option(values[0])
        else:
            for place, one in enumerate(values):
                found.nth(place).fill(one)


def press(scope: Page | Locator, name: str) -> None:
    """Press the button with that name."""
    scope.get_by_role("button", name=name, exact=True).click()


def receive(page: Page, imo: str, due: str, rows: list[Mapping[str, str]]) -> None:
    """Fill in the second step of receiving, a row at a time, and send it."""
    page.goto(f"/consignments/new?imo={imo}")
    page.locator("[name=due_on]").fill(due)
    for place, row in enumerate(rows):
        if place:
            press(page, "Add another injector")
            page.locator(f"[name='injectors.{place}.serial']").wait_for()
        for name, value in row.items():
            field = page.locator(f"[name='injectors.{place}.{name}']")
            if field.evaluate("it => it.tagName") == "SELECT":
                field.select_option(label=value)
            else:
                field.fill(value)
    press(page, "Receive the consignment")


def strip(page: Page, overhaul: str) -> None:
    """Everything came out freely, the seals went to the scrap."""
    page.goto(f"/overhauls/{overhaul}/strip")
    page.get_by_role("button", name="Mark all others").click()
    page.locator("[name^='state-'][value=free]:checked").first.wait_for(state="attached")  # the part is drawn anew
    page.locator("[name=seals_discarded]").check()
    press(page, "Record the strip")
    page.wait_for_url("**/examination")


def gauge_holes(page: Page, overhaul: str, entering_reject: tuple[int, ...] = ()) -> None:
    """Four pins in six holes; the reject pin enters where told."""
    page.goto(f"/overhauls/{overhaul}/examination/nozzle-holes")
    for hole in range(1, 7):
        worn = hole in entering_reject
        for pin, enters in enumerate((True, True, worn, worn), start=1):
            answer = "enters" if enters else "not"
            page.locator(f"[name='hole-{hole}-pin-{pin}'][value='{answer}']").check()
    page.locator("[name=instrument]").select_option("PS-01")
    press(page, "Judge and record")


def examine(page: Page, overhaul: str, key: str, fields: Mapping[str, Field]) -> None:
    """Record one characteristic and wait for its verdict."""
    page.goto(f"/overhauls/{overhaul}/examination/{key}")
    if "answer" in fields:  # a question is answered by one of two big buttons
        page.locator(f"button[name=answer][value='{fields['answer']}']").click()
        return
    fill(page.locator("main"), fields)
    press(page, "Judge and record")


def tighten(page: Page, overhaul: str) -> None:
    """Tighten the nozzle nut with the wrench in date."""
    page.goto(f"/overhauls/{overhaul}/rebuild")
    task = page.locator("form").filter(has=page.locator("[name=wrench]"))
    fill(task, {"value": "100", "wrench": "TW-01"})
    press(task, "Record the torque")
    expect(task).to_have_count(0)


def prove(page: Page, overhaul: str) -> None:
    """Start a run and pass every step in order."""
    page.goto(f"/overhauls/{overhaul}/proving")
    page.locator("[name=gauge]").select_option("PG-01 on RIG-1")
    page.get_by_role("button", name="Start the run").click()
    for key, fields in PASSING.items():
        page.wait_for_url(f"**/steps/{key}")
        fill(page.locator("main"), fields)
        press(page, "Record this step")
        expect(page.locator("main").get_by_text("Pass", exact=True).first).to_be_visible()
        page.locator("main .actions a.button-primary").first.click()

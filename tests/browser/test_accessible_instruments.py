"""Instruments, recalls and photographs by WCAG 2.2 A and AA, in three sizes: see `test_accessibility`."""

import re

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import SignIn
from tests.browser.test_accessibility import faults_of_all
from tests.cast import MIRA, PETRA

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def test_every_page_of_instruments_and_recalls_is_accessible(sign_in: SignIn) -> None:
    page = sign_in(MIRA)
    faults = faults_of_all(
        page,
        (
            "/instruments/due",
            "/instruments/MM-03",
            "/instruments/PS-01",
            "/instruments/MM-03/calibrations/new",
            "/instruments/MM-03/entry",
            "/recalls/instruments/MM-03",
            "/recalls/instruments/MM-03?error=much",
            "/recalls/instruments/PS-01",
            "/recalls/batches?batch=nothing",
            _bag(page),
        ),
    )
    assert not faults, "\n".join(faults)


def test_photographs_and_what_was_measured_in_them_are_accessible(sign_in: SignIn) -> None:
    page = sign_in(PETRA)
    page.goto("/units/A1-1001")
    page.get_by_role("link", name="Open OH-").click()
    album = f"{page.url}/photographs"
    page.goto(album)
    shown = [link.get_attribute("href") or "" for link in page.locator(".photographs a").all()]
    bar = "hole=3&scale_by=bar&length_um=500&length_uncertainty_um=1&start_px=60%3B360&end_px=185%3B360"
    faults = faults_of_all(page, (album, *shown, f"{shown[1]}/hole-image", f"{shown[1]}/hole-image?{bar}"))
    assert not faults, "\n".join(faults)


def _bag(page: Page) -> str:
    """The recall of a bag of seals that a released injector got some of."""
    page.goto("/units/CS-7001")
    batch = re.search(r"INV-SEALS-\d{4}-Q\d", page.content())
    assert batch is not None
    return f"/recalls/batches?batch={batch[0]}"

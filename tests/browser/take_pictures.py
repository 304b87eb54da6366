"""Takes the README's pictures of the demonstration: `python -m tests.browser.take_pictures [FOLDER]`."""

import io
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import CHROMIUM, FLAGS, served_demonstration
from tests.cast import MIRA, OLGA, PETRA, CastPerson

FOLDER = Path(__file__).parents[2] / ".pictures"
WIDTH = 1180


def _signed_in(browser: Browser, address: str, person: CastPerson, height: int) -> Page:
    page = browser.new_page(base_url=address, viewport={"width": WIDTH, "height": height})
    page.goto("/sign-in")
    page.get_by_label("Login").fill(person.login)
    page.get_by_label("Password").fill(person.password)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("button", name="Sign out").wait_for()
    return page


def take_pictures(folder: Path) -> None:
    """The bench, the board, the office's view and a certificate's first page, as PNG files."""
    folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as scratch,
        served_demonstration(Path(scratch)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        bench = _signed_in(browser, address, PETRA, 1180)
        bench.goto("/units/CA-9003")
        bench.locator("a[href^='/overhauls/']").first.click()
        bench.goto(f"{bench.url.split('?')[0]}/examination/guide-bore")
        bench.screenshot(path=folder / "examination.png")
        board = _signed_in(browser, address, MIRA, 860)
        board.goto("/board")
        board.screenshot(path=folder / "board.png")
        office = _signed_in(browser, address, OLGA, 1180)
        office.goto("/units/A3-3002")
        office.screenshot(path=folder / "unit.png")
        link = office.locator("a[href$='.pdf']").first.get_attribute("href") or ""
        (folder / "certificate.png").write_bytes(_first_page(office.request.get(link).body()))
        browser.close()


def _first_page(pdf: bytes) -> bytes:
    import pypdfium2

    picture = io.BytesIO()
    pypdfium2.PdfDocument(pdf)[0].render(scale=1.4).to_pil().save(picture, "PNG", optimize=True)
    return picture.getvalue()


if __name__ == "__main__":
    take_pictures(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)

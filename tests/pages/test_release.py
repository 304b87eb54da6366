"""From the examined injector to its released certificate, by the pages alone."""

import pytest

from service.workshop.entries import Released
from service.workshop.vocabulary import Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.test_proving import TYPED
from tests.registered_fleet import PASSWORD
from tests.small_findings import REJECTED, SOUND


@pytest.fixture(params=["sqlite", "postgresql"])
def database_kind(request: pytest.FixtureRequest) -> str:
    """The walk runs on both."""
    return str(request.param)


def bench(injector: Injector, technician: Visitor) -> None:
    """A whole proving run by the pages."""
    page = technician.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    run = page.url.path.split("/")[4]
    for key, typed in TYPED.items():
        page = technician.fill(f"{injector.address}/bench-runs/{run}/steps/{key}", "/steps/", **typed)
        assert "Pass" in words_of(page)


def test_an_injector_goes_from_examined_to_certificate_with_a_disc_change_on_the_way(
    injector: Injector, technician: Visitor, manager: Visitor
) -> None:
    injector.examined(body_seat_width=REJECTED["body-seat-width"])
    at = injector.address
    technician.fill(f"{at}/settlement", "form=part-body", chosen="keep", reason="Face is even all round")
    technician.fill(f"{at}/settlement", "form=as-proposed")
    page = technician.get(f"{at}/release")
    assert "A manager's concession is needed: Injector body, keep." in words_of(page)
    manager.fill(
        f"{at}/settlement", "form=concession-body", decision="granted", reason="Width does not seal", password=PASSWORD
    )
    technician.fill(f"{at}/rebuild", "form=task-fit-seal-ring", batch="B-77")
    technician.fill(f"{at}/rebuild", "form=task-torque-nut", value="100", wrench="WRENCH-1")
    bench(injector, technician)
    assert injector.stage is Stage.PROVED

    technician.fill(f"{at}/rebuild", "form=discs", added=["0.10"], reason="Opens at the low end")
    page = manager.get(f"{at}/release")
    assert "The last bench run is void. Adjusting discs were changed afterwards" in words_of(page)
    assert not has_form(page, "/release")
    technician.fill(f"{at}/rebuild", "form=task-torque-nut", value="101", wrench="WRENCH-1")
    bench(injector, technician)

    page = technician.get(f"{at}/release")
    assert "A manager signs the release." in words_of(page)
    assert not has_form(page, "/release")
    page = manager.fill(f"{at}/release", "/release", password=PASSWORD)
    assert "Released with certificate RC-2026-00001" in words_of(page)
    assert 'href="/certificates/RC-2026-00001.pdf"' in page.text
    assert injector.stage is Stage.RELEASED
    pdf = manager.get("/certificates/RC-2026-00001.pdf")
    assert pdf.headers["content-type"] == "application/pdf"
    assert pdf.content.startswith(b"%PDF-")


def test_what_blocks_the_release_links_to_where_it_is_mended(injector: Injector, technician: Visitor) -> None:
    page = technician.get(f"{injector.address}/release")
    assert "Not stripped and cleaned yet." in words_of(page)
    assert f'href="{injector.address}/examination/nozzle-holes"' in page.text
    assert f'href="{injector.address}/proving"' in page.text


def test_a_wrong_password_signs_nothing(injector: Injector, manager: Visitor) -> None:
    injector.rebuilt().tested()
    answer = manager.fill(f"{injector.address}/release", "/release", password="guessed")
    assert answer.status_code == 422
    assert 'id="sign-password-error"' in answer.text
    assert "guessed" not in answer.text, "a password is never shown again"
    assert injector.stage is Stage.PROVED


def test_a_release_is_refused_when_anything_was_recorded_since_the_manager_looked(
    injector: Injector, manager: Visitor
) -> None:
    injector.rebuilt().tested()
    form = form_of(manager.get(f"{injector.address}/release"), "/release")
    injector.examine("nozzle-tip", SOUND["nozzle-tip"])
    answer = manager.send(form, password=PASSWORD)
    assert answer.status_code == 409
    assert "Something was recorded since you opened this page." in words_of(answer)
    assert injector.stage is Stage.PROVED
    assert manager.send(form_of(answer, "/release"), password=PASSWORD).status_code == 303


def test_a_release_blocked_meanwhile_lists_what_is_missing(
    injector: Injector, technician: Visitor, manager: Visitor
) -> None:
    injector.rebuilt().tested()
    form = form_of(manager.get(f"{injector.address}/release"), "/release")
    technician.fill(f"{injector.address}/rebuild", "form=discs", added=["0.10"], reason="Opens low")
    answer = manager.send(form, password=PASSWORD)
    assert answer.status_code == 422
    assert "The last bench run is void." in words_of(answer)
    assert not has_form(answer, "/release")


def test_only_a_manager_signs(injector: Injector, technician: Visitor, manager: Visitor) -> None:
    injector.rebuilt().tested()
    form = form_of(manager.get(f"{injector.address}/release"), "/release")
    assert technician.send(form, password=PASSWORD).status_code == 403
    assert injector.stage is Stage.PROVED


def test_signing_twice_by_one_form_issues_one_certificate(injector: Injector, manager: Visitor) -> None:
    injector.rebuilt().tested()
    form = form_of(manager.get(f"{injector.address}/release"), "/release")
    assert manager.send(form, password=PASSWORD).status_code == 303
    assert manager.send(form, password=PASSWORD).status_code == 303
    assert len(list(injector.record.all_of(Released))) == 1


def test_the_manager_sees_what_will_be_certified_before_signing(injector: Injector, manager: Visitor) -> None:
    injector.rebuilt().tested()
    words = words_of(manager.get(f"{injector.address}/release"))
    assert "You sign as Mara Manager" in words
    assert "Sealing ring (B-1)" in words
    assert "mean 351 bar, spread 2 bar, 3 strokes" in words

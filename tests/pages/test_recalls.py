"""The pages of a recall: the question, the readings, the exports, the letters; and who may see them. All invented."""

import csv
import io
from datetime import date
from decimal import Decimal as D

import httpx
import pypdf
import pytest

from service.actions.calibrations import record_calibration
from service.actions.rebuilding import fit_part
from service.actions.releasing import sign_release
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.workshop.calibration import CalibratedPoint, FoundState
from tests.calibrating import calibrate, history
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, words_of
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.small_findings import sizes

MIC = "/recalls/instruments/MIC-1"
ADDRESSES = (
    MIC,
    f"{MIC}/readings.csv",
    f"{MIC}/letters/1.pdf",
    "/recalls/batches",
    "/recalls/batches/fittings.csv?batch=B-1",
    "/recalls/batches/letters/1.pdf?batch=B-1",
)


@pytest.fixture
def failed(shop: Shop, fleet: Fleet, clock: Clock) -> Injector:
    """A released injector, another in the shop, and the micrometer then found out of limits: it read 0.2 too little."""
    injector = received(shop, fleet)
    injector.rebuilt().tested()
    sign_release(shop, fleet.manager, injector.number, injector.form(), password=PASSWORD)
    received(shop, fleet, "SN-2002").examined(body_seat_width=sizes("MIC-1", "1.19"))
    clock.advance(days=3)
    calibrate(shop, fleet, found=FoundState.OUT, points=[CalibratedPoint(nominal=D(1), error=D("-0.2"))])
    return injector


def table(answer: httpx.Response) -> list[dict[str, str]]:
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"), newline=""), strict=True))


def letter(answer: httpx.Response) -> str:
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_page_proposes_the_failed_calibration_and_its_error(failed: Injector, manager: Visitor) -> None:
    answer = manager.get(MIC)
    words = words_of(answer)
    assert answer.status_code == 200
    assert "Out of limits as found" in answer.text or "out of limits as found" in answer.text
    assert 'value="-0.2"' in answer.text
    assert "from 31 Jan 2026 up to now" in words
    assert "Would change to: Does not conform" in words
    assert words.index("Under released certificates (2)") < words.index("RC-2026-00001") < words.index("SN-2002")
    assert "Invented Star" in words


def test_another_error_is_judged_by_what_is_typed(failed: Injector, manager: Visitor) -> None:
    words = words_of(manager.get(f"{MIC}?error=0"))
    assert "Would change to" not in words
    assert "Verdicts that would change 0" in words


def test_errors_at_points_are_proposed_from_the_certificate_and_said_in_words(
    failed: Injector, shop: Shop, fleet: Fleet, manager: Visitor
) -> None:
    points = [CalibratedPoint(nominal=D(nominal), error=D(error)) for nominal, error in ((0, "-0.1"), (25, "-0.3"))]
    calibrate(shop, fleet, found=FoundState.OUT, points=points)
    answer = manager.get(MIC)
    assert "0; -0.1\n25; -0.3</textarea>" in answer.text
    words = words_of(answer)
    assert "-0.1 at 0; -0.3 at 25 mm; in a straight line between them, beyond the first and the last constant" in words
    assert words_of(manager.get(f"{MIC}?error=&points=")).count("in a straight line between them") == 1
    assert manager.get(f"{MIC}?error=1&points=0;1").status_code == 422
    assert "in a straight line" in letter(manager.get(f"{MIC}/letters/{fleet.operator_id}.pdf"))


def test_the_register_leads_to_the_recall(failed: Injector, manager: Visitor, technician: Visitor) -> None:
    assert f'href="{MIC}"' in manager.get("/instruments/MIC-1").text
    assert f'href="{MIC}"' not in technician.get("/instruments/MIC-1").text
    assert 'href="/recalls/batches"' in manager.get("/instruments").text


@pytest.mark.parametrize("address", ADDRESSES)
def test_nobody_but_a_manager_sees_a_recall(address: str, technician: Visitor, office: Visitor) -> None:
    assert technician.get(address).status_code == 403
    assert office.get(address).status_code == 403


def test_an_unknown_instrument_has_no_recall(manager: Visitor) -> None:
    assert manager.get("/recalls/instruments/NONE-1").status_code == 404


@pytest.mark.parametrize(
    ("query", "field", "typed"),
    [
        ("error=much", "error", "much"),
        ("error=1e999", "error", "1e999"),
        ("points=5", "points", "5"),
        ("points=5;1%0A5;2", "points", "5;1"),
        ("since=yesterday", "since", "yesterday"),
        ("since=2031-01-01", "since", "2031-01-01"),
        ("calibration=x", "calibration", ""),
        ("calibration=99999", "calibration", ""),
    ],
)
def test_a_bad_question_is_shown_again(query: str, field: str, typed: str, failed: Injector, manager: Visitor) -> None:
    answer = manager.get(f"{MIC}?{query}")
    assert answer.status_code == 422
    assert f'id="{field}-error"' in answer.text
    assert typed in answer.text


def test_pins_that_changed_are_proposed_and_typed_ones_judged(
    shop: Shop, fleet: Fleet, clock: Clock, manager: Visitor
) -> None:
    received(shop, fleet).examined()
    clock.advance(hours=1)
    record_calibration(
        shop, fleet.manager, code="PINS-1", certificate="X", laboratory="L", calibrated_on=clock().date(),
        due=date(2027, 3, 3), expanded_uncertainty=D("0.001"), k=D(2), found=FoundState.OUT,
        points=[CalibratedPoint(nominal=D("0.85"), error=D("-0.004")), CalibratedPoint(nominal=D("0.88"), error=D(0))],
        version=history(shop, "PINS-1").row.version,
    )  # fmt: skip
    answer = manager.get("/recalls/instruments/PINS-1")
    assert "0.85; 0.846" in answer.text
    assert "0.88; 0.88" not in answer.text
    assert "Would change to: Not proven" in words_of(answer)
    assert "Would change to" not in words_of(manager.get("/recalls/instruments/PINS-1?pins="))
    assert manager.get("/recalls/instruments/PINS-1?pins=0.85").status_code == 422


def test_the_file_holds_what_the_page_holds(failed: Injector, manager: Visitor) -> None:
    rows = table(manager.get(f"{MIC}/readings.csv?error=-0.02"))
    assert [(row["serial"], row["certificate"]) for row in rows][:2] == [("SN-1001", "RC-2026-00001")] * 2
    assert {row["operator"] for row in rows} == {"Northern Invented Lines"}
    turned = {(row["serial"], row["entry"]): (row["verdict corrected"], row["would change"]) for row in rows}
    # Seat at most 1.20 mm: 1.10 + 0.02 stays inside, 1.19 + 0.02 does not.
    assert turned["SN-1001", "Width of the body's seat"] == ("Conforms", "no")
    assert turned["SN-2002", "Width of the body's seat"] == ("Does not conform", "yes")


def test_the_letter_names_injectors_certificates_and_what_is_asked(
    failed: Injector, fleet: Fleet, manager: Visitor
) -> None:
    text = letter(manager.get(f"{MIC}/letters/{fleet.operator_id}.pdf"))
    for words in (
        *("Invented Injector Works", "Northern Invented Lines", "SN-1001", "RC-2026-00001", "SN-2002", "MIC-1"),
        *("Would change to: Does not conform", "Tell us where each injector", "surgical emergency"),
        *("The maker’s instructions, local rules, class requirements", "-0.2 mm", "Mara Manager", "Invented Star"),
        *("out of limits as found", "No certificate is changed by this letter", "certificate CAL-"),
    ):
        assert words in text
    assert manager.get(f"{MIC}/letters/{fleet.other_operator_id}.pdf").status_code == 404
    calm = letter(manager.get(f"{MIC}/letters/{fleet.operator_id}.pdf?error=0"))
    assert "Keep this letter" in calm
    assert "Send it back" not in calm, "nothing would change"


def test_a_batch_is_found_with_its_letter_and_its_file(shop: Shop, fleet: Fleet, manager: Visitor) -> None:
    injector = received(shop, fleet).examined()
    settle_as_proposed(shop, fleet.technician, injector.number, injector.form())
    fit_part(shop, fleet.technician, injector.number, injector.form(), item="seal-ring", batch="=CMD 7")
    words = words_of(manager.get("/recalls/batches?batch=%3Dcmd 7"))
    assert "Fitted parts: 1, released certificates: 0" in words
    assert f"In the shop, {injector.number}" in words
    (row,) = table(manager.get("/recalls/batches/fittings.csv?batch=%3Dcmd 7"))
    assert (row["batch or serial"], row["serial"], row["fitted"]) == ("'=CMD 7", "SN-1001", "Fitted new: Sealing ring")
    text = letter(manager.get(f"/recalls/batches/letters/{fleet.operator_id}.pdf?batch=%3Dcmd 7"))
    assert "SN-1001" in text
    assert "Fitted new: Sealing ring" in text
    assert "Fitted parts: 0" in words_of(manager.get("/recalls/batches?batch=cmd"))


def test_a_batch_that_is_none_is_refused_beside_its_field(manager: Visitor) -> None:
    assert manager.get("/recalls/batches").status_code == 200
    for batch in ("", "x" * 201):
        answer = manager.get(f"/recalls/batches?batch={batch}")
        assert answer.status_code == 422
        assert 'id="batch-error"' in answer.text

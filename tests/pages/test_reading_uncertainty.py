"""How uncertain a reading is: opened beside its verdict, in the list and at the rig, and stated in the register."""

import re
import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal as D

import pytest

from service.actions.instruments import save_instrument
from service.actions.shop import Shop
from service.workshop.measurements import SizeMeasurement
from service.workshop.vocabulary import InstrumentKind
from tests.calibrating import history
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.typed_at_the_bench import record, strip
from tests.registered_fleet import Clock, Fleet

READING = {"readings": "1.100", "instrument": "MIC-1"}


@pytest.fixture
def stripped(shop: Shop, fleet: Fleet, technician: Visitor, injector: Injector) -> Injector:
    """On the bench in parts, with a micrometer of which everything is known."""
    save_instrument(
        shop,
        fleet.manager,
        code="MIC-1",
        kind=InstrumentKind.MICROMETER,
        unit="mm",
        resolution=D("0.001"),
        repeatability=D("0.0004"),
        repeatability_readings=20,
        version=history(shop, "MIC-1").row.version,
    )
    return strip(technician, injector)


def seat_width(stripped: Injector) -> str:
    """The address of one size."""
    return f"{stripped.address}/examination/body-seat-width"


def test_the_budget_opens_beside_the_verdict_with_the_share_of_each_contribution(
    technician: Visitor, stripped: Injector
) -> None:
    words = words_of(record(technician, stripped, "body-seat-width", READING, part=True))
    assert "How uncertain is this? U = 0.0015 mm, k = 2.01" in words
    for piece in (
        "Calibration certificate CAL-MIC-1 B, normal U = 0.001 mm ÷ 2 0.0005 infinite 50.7 %",
        "Resolution MIC-1 by the register B, rectangular ± 0.0005 mm ÷ 1.73",
        "Repeatability 20 earlier readings by the register A, normal s = 0.0004 mm 0.0004 19 32.4 %",
        "20 °C ± 5 K, the workshop’s usual temperature",
        "so U = 0.0015 mm",
    ):
        assert piece in words, piece


def test_the_shares_are_drawn_as_bars_that_do_without_colour(technician: Visitor, stripped: Injector) -> None:
    part = record(technician, stripped, "body-seat-width", READING, part=True)
    figure = re.search(r'<svg[^>]*aria-labelledby="shares.*?</svg>', part.text, re.DOTALL)
    assert figure is not None
    assert "Calibration 50.7 %; Resolution" in figure[0]
    assert 'fill="url(#shares-hatched)"' in figure[0]


def test_the_list_of_characteristics_opens_it_too_and_leads_to_the_whole(
    technician: Visitor, stripped: Injector
) -> None:
    record(technician, stripped, "body-seat-width", READING)
    page = technician.get(f"{stripped.address}/examination")
    assert "U = 0.0015 mm, k = 2.01 Calibration 50.7 % Resolution" in words_of(page)
    assert f'href="{seat_width(stripped)}#uncertainty"' in page.text
    assert 'id="uncertainty"' in technician.get(seat_width(stripped)).text


def test_what_is_not_known_is_said_in_words(technician: Visitor, stripped: Injector) -> None:
    part = record(technician, stripped, "spring-length", {"readings": "59.90", "instrument": "HEIGHT-1"}, part=True)
    words = words_of(part)
    assert "The register does not state the resolution of HEIGHT-1." in words
    assert "Repeatability is not known" in words


def test_an_answer_or_a_finding_shows_no_budget(technician: Visitor, stripped: Injector) -> None:
    part = record(technician, stripped, "body-pin", {"answer": "yes"}, part=True)
    assert "How uncertain" not in words_of(part)


def test_the_temperature_is_asked_for_a_length_once_a_day_and_never_for_a_stiffness(
    technician: Visitor, stripped: Injector, clock: Clock, visit: Callable[[str], Visitor]
) -> None:
    page = technician.get(seat_width(stripped))
    assert "Left empty, 20 °C ± 5 K is taken." in words_of(page)
    record(technician, stripped, "body-seat-width", {**READING, "bench_temperature": "24,5 °C"})
    finding = stripped.record.finding("body-seat-width")
    assert finding is not None
    assert isinstance(finding.measurement, SizeMeasurement)
    assert finding.measurement.temperature is not None
    assert (finding.measurement.temperature.celsius, finding.measurement.temperature.measured) == (D("24.5"), True)
    address = f"{stripped.address}/examination/needle-guide"
    assert form_of(technician.get(address), address).fields["bench_temperature"] == ["24.5"]
    clock.advance(days=1)
    technician = visit("tech")
    assert form_of(technician.get(address), address).fields["bench_temperature"] == [""]
    rate = f"{stripped.address}/examination/spring-rate"
    assert "bench_temperature" not in form_of(technician.get(rate), rate).fields


def test_a_temperature_that_no_bench_has_is_refused_beside_its_field(technician: Visitor, stripped: Injector) -> None:
    refused = record(technician, stripped, "body-seat-width", {**READING, "bench_temperature": "245"}, part=True)
    assert refused.status_code == 422
    assert "lies between -10 and 50 °C" in words_of(refused)
    assert 'id="bench_temperature-error"' in refused.text
    assert stripped.record.finding("body-seat-width") is None


def test_the_step_at_the_rig_opens_its_budget(technician: Visitor, injector: Injector) -> None:
    run = injector.rebuilt().tested()
    words = words_of(technician.get(f"{injector.address}/bench-runs/{run}/steps/opening"))
    assert "How uncertain is this? U = " in words
    assert "the 3 readings themselves" in words
    assert "How uncertain" not in words_of(technician.get(f"{injector.address}/bench-runs/{run}/steps/vent"))


def test_the_manager_states_the_repeatability_and_the_register_tells_it(manager: Visitor, stripped: Injector) -> None:
    typed = {"repeatability": "0.6 µm", "repeatability_readings": "12"}
    manager.fill("/instruments/MIC-1/entry", "/entry", **typed)
    assert "s = 0.0006 mm, from 12 readings" in words_of(manager.get("/instruments/MIC-1"))
    refused = manager.fill("/instruments/MIC-1/entry", "/entry", **{**typed, "repeatability_readings": "1"})
    assert refused.status_code == 422
    assert "Say from how many readings" in words_of(refused)


def test_a_kept_budget_is_shown_without_loading_what_it_was_worked_out_with() -> None:
    asked = "import sys, service.app; print('scipy.special' in sys.modules)"
    answer = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "False"

"""Recording a size: the budget is made of what the register and the bench say at that moment, and kept."""

from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.examining import ovality_reading, record_examination, size_reading
from service.actions.instruments import save_instrument
from service.actions.recording import Recorded
from service.actions.rejudging import rejudge_overhaul
from service.actions.shop import Refused, Shop
from service.metrology.errors import DomainError
from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.entries import BenchStepRecorded, Examined
from service.workshop.vocabulary import InstrumentKind, Phase, Stage
from tests.actions.at_the_bench import bring_to, form, loaded, newest_journal_row, receive, strip
from tests.actions.test_decision_rules import put
from tests.calibrating import calibrate, history
from tests.registered_fleet import Fleet


def state_repeatability(shop: Shop, fleet: Fleet, code: str = "MIC-1", **changes: Any) -> None:
    """The manager enters what was found of the instrument."""
    row = history(shop, code).row
    fields: dict[str, Any] = {"resolution": D("0.001"), "repeatability": D("0.0004"), "repeatability_readings": 20}
    save_instrument(
        shop,
        fleet.manager,
        code=code,
        kind=InstrumentKind(row.kind),
        unit=row.unit,
        version=row.version,
        **{**fields, **changes},
    )


def budget(recorded: Recorded) -> UncertaintyBudget:
    """What the verdict was judged with."""
    assert isinstance(recorded.content, Examined | BenchStepRecorded)
    found = recorded.content.outcome.uncertainty
    assert found is not None
    return found


@pytest.fixture
def number(shop: Shop, fleet: Fleet) -> str:
    """An injector that is stripped."""
    (made,) = receive(shop, fleet, "A-1")
    strip(shop, fleet, made)
    return made


def width(shop: Shop, fleet: Fleet, number: str, reading: str = "1.100", bench_c: D | None = None) -> Recorded:
    """The width of the body's seat read once."""
    return record_examination(
        shop,
        fleet.technician,
        number,
        form(shop, number),
        characteristic="body-seat-width",
        phase=Phase.FOUND,
        measure=size_reading(shop, (D(reading),), "MIC-1", bench_c),
    )


def test_a_reading_is_judged_with_what_the_register_says_of_its_instrument(
    shop: Shop, fleet: Fleet, number: str
) -> None:
    state_repeatability(shop, fleet)
    found = budget(width(shop, fleet, number))
    lines = {line.name: line for line in found.lines}
    assert lines["Calibration"].stated == D("0.001")
    assert lines["Resolution"].stated == D("0.0005")
    assert (lines["Repeatability"].stated, lines["Repeatability"].degrees_of_freedom) == (D("0.0004"), D(19))
    assert found.unknown == ()
    assert found.expanded == D("0.0015")


def test_what_nobody_stated_is_said_to_be_missing(shop: Shop, fleet: Fleet, number: str) -> None:
    found = budget(width(shop, fleet, number))
    assert "Repeatability" not in {line.name for line in found.lines}
    assert [words.split()[0] for words in found.unknown] == ["The", "Repeatability"]


def test_the_temperature_read_at_the_bench_counts_else_the_workshops_usual_one(
    shop: Shop, fleet: Fleet, number: str
) -> None:
    usual, read = budget(width(shop, fleet, number)), budget(width(shop, fleet, number, bench_c=D("31.5")))
    assert usual.lines[-1].source == "20 °C ± 5 K, the workshop’s usual temperature"
    assert read.lines[-1].source == "31.5 °C ± 1 K, measured at the bench"
    with pytest.raises(DomainError) as refusal:
        width(shop, fleet, number, bench_c=D(68))
    assert refusal.value.field == "bench_temperature"


def test_a_later_calibration_or_register_entry_changes_no_budget_that_was_kept(
    shop: Shop, fleet: Fleet, number: str
) -> None:
    before = budget(width(shop, fleet, number))
    calibrate(shop, fleet, "MIC-1", expanded_uncertainty=D("0.009"))
    state_repeatability(shop, fleet)
    kept = loaded(shop, number).record.finding("body-seat-width")
    assert kept is not None
    assert kept.outcome.uncertainty == before
    assert budget(width(shop, fleet, number)) != before


def test_an_ovality_is_judged_with_the_uncertainty_of_a_difference(shop: Shop, fleet: Fleet, number: str) -> None:
    state_repeatability(shop, fleet, "BORE-1")
    recorded = record_examination(
        shop,
        fleet.technician,
        number,
        form(shop, number),
        characteristic="nozzle-ovality",
        phase=Phase.FOUND,
        measure=ovality_reading(shop, ((D("0.860"), D("0.862")),) * 4, "BORE-1"),
    )
    found = budget(recorded)
    assert [line.name for line in found.lines] == ["Calibration", "Resolution", "Repeatability"]
    assert {line.sensitivity for line in found.lines} == {D("1.4142")}


def test_judging_again_under_another_rule_keeps_the_budget(shop: Shop, fleet: Fleet, number: str) -> None:
    state_repeatability(shop, fleet)
    before = budget(width(shop, fleet, number, "1.1990", bench_c=D(26)))
    put(shop, fleet.manager)
    calibrate(shop, fleet, "MIC-1", expanded_uncertainty=D("0.009"))
    state_repeatability(shop, fleet, repeatability=D("0.5"))
    assert rejudge_overhaul(shop, fleet.manager, number, form(shop, number), reason="Rule 2.").changed
    again = loaded(shop, number).record.finding("body-seat-width")
    assert again is not None
    assert again.rejudged_from is not None
    assert again.outcome.uncertainty == before


def test_the_mean_opening_pressure_is_judged_with_the_scatter_of_its_strokes(shop: Shop, fleet: Fleet) -> None:
    state_repeatability(shop, fleet, "GAUGE-1", resolution=D(1), repeatability=None, repeatability_readings=None)
    proved = bring_to(shop, fleet, Stage.PROVED)
    steps = [item for _, item in loaded(shop, proved).record.all_of(BenchStepRecorded)]
    found = {item.step: item.outcome.uncertainty for item in steps}
    opening = found.pop("opening")
    assert opening is not None
    assert [line.name for line in opening.lines] == ["Calibration", "Resolution", "Repeatability"]
    assert opening.lines[2].source == "the 3 readings themselves"
    assert set(found.values()) == {None}, "nothing else is judged against a limit with an uncertainty"


def test_the_journal_keeps_what_the_manager_stated(shop: Shop, fleet: Fleet) -> None:
    state_repeatability(shop, fleet)
    known = history(shop, "MIC-1").known
    assert (known.repeatability, known.repeatability_readings) == (D("0.0004"), 20)
    journal = newest_journal_row(shop)
    assert '"repeatability":null' in journal.before
    assert '"repeatability":"0.0004","repeatability_readings":20' in journal.after


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"repeatability": D("-0.001")}, "repeatability"),
        ({"repeatability": D("NaN")}, "repeatability"),
        ({"repeatability": None}, "repeatability"),
        ({"repeatability_readings": 1}, "repeatability_readings"),
        ({"repeatability_readings": None}, "repeatability_readings"),
    ],
)
def test_a_repeatability_without_its_number_of_readings_is_refused(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(Refused) as refusal:
        state_repeatability(shop, fleet, **changes)
    assert refusal.value.field == field

"""The oil from the return is caught in a calibrated measuring cylinder, and a cylinder that errs is found again."""

import pytest

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.recalling import RecallAsked, look_at_instrument_recall
from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Shop
from service.metrology.errors import DomainError
from service.records.sheet_file import sheet_to_json
from service.workshop.calibration import CalibratedPoint
from service.workshop.entries import BenchStepRecorded
from service.workshop.step_results import BackLeakageResult, StepResult
from service.workshop.vocabulary import RunPurpose
from tests.actions.at_the_bench import form, loaded, receive
from tests.longer_plan import CYLINDER, LONGER_PASSING, LONGER_SHEET, caught
from tests.registered_fleet import Fleet, register_instrument
from tests.small_sheet import TYPE_CODE, D


def as_found(shop: Shop, fleet: Fleet) -> tuple[str, int]:
    """An injector on the rig as it came, every step but the last one done; gives its number and its run's."""
    import_sheet(shop, fleet.manager, sheet_to_json(LONGER_SHEET), type_code=TYPE_CODE)
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=1)
    register_instrument(shop, fleet.manager, CYLINDER)
    (number,) = receive(shop, fleet)
    blank = form(shop, number)
    run = start_bench_run(shop, fleet.technician, number, blank, purpose=RunPurpose.AS_FOUND, gauge="GAUGE-1").seq
    for step in LONGER_SHEET.test_plan.steps[:-1]:
        record(shop, fleet, number, run, step.key, LONGER_PASSING[step.key])
    return number, run


def record(
    shop: Shop, fleet: Fleet, number: str, run: int, step: str, result: StepResult, cylinder: str = ""
) -> BenchStepRecorded:
    """One step recorded by the technician."""
    blank = form(shop, number)
    made = record_bench_step(
        shop, fleet.technician, number, blank, run=run, step=step, result=result, cylinder=cylinder
    )
    assert isinstance(made.content, BenchStepRecorded)
    return made.content


def test_the_cylinder_is_named_and_stays_with_the_result(shop: Shop, fleet: Fleet) -> None:
    number, run = as_found(shop, fleet)
    for code, volume, field in (
        ("", "6", "cylinder"),
        ("CYL-9", "6", "cylinder"),
        ("GAUGE-1", "6", "cylinder"),
        ("CYL-1", "0.5", "volume_ml"),
        ("CYL-1", "26", "volume_ml"),
    ):
        with pytest.raises(DomainError) as refused:
            record(shop, fleet, number, run, "leakage", caught(volume), code)
        assert refused.value.field == field, code
    made = record(shop, fleet, number, run, "leakage", caught(), " cyl-1 ")
    assert made.outcome.passed
    assert isinstance(made.result, BackLeakageResult)
    assert made.result.cylinder == CYLINDER
    (kept,) = [item for _, item in loaded(shop, number).record.all_of(BenchStepRecorded) if item.step == "leakage"]
    assert kept == made


def test_a_recall_of_the_cylinder_finds_the_leakage_and_judges_it_again(shop: Shop, fleet: Fleet) -> None:
    number, run = as_found(shop, fleet)
    record(shop, fleet, number, run, "leakage", caught("9.95"), "CYL-1")
    record(shop, fleet, number, run, "leakage", caught("9.5"), "CYL-1")
    error = (CalibratedPoint(nominal=D(10), error=D("-1")),)
    found = look_at_instrument_recall(shop, fleet.manager, "CYL-1", RecallAsked(points=error))
    assert [(one.again.before, one.again.after, one.entry.stands) for one in found.readings] == [
        ("Pass", "Fail", True),
        ("Cannot tell", "Fail", False),
    ]
    gauge = look_at_instrument_recall(shop, fleet.manager, "GAUGE-1", RecallAsked(error=D(5)))
    newest, *_ = [one for one in gauge.readings if one.entry.title == "Back leakage" and one.entry.stands]
    assert (newest.again.before, newest.again.after) == ("Pass", "Cannot tell")
    blank = form(shop, number)
    start_bench_run(shop, fleet.technician, number, blank, purpose=RunPurpose.AS_FOUND, gauge="GAUGE-1")
    found = look_at_instrument_recall(shop, fleet.manager, "CYL-1", RecallAsked(points=error))
    assert [one.entry.stands for one in found.readings] == [False, False]

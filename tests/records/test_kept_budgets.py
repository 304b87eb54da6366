"""The budget of a verdict is stored with its entry and read back as it was; entries from before it still load."""

import json
from dataclasses import replace
from decimal import Decimal as D

from service.records.json_text import content_from_json, content_to_json
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.examination import examine
from service.workshop.measurements import BenchTemperature, SizeMeasurement
from service.workshop.vocabulary import Phase
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET


def entry() -> Examined:
    item = SMALL_SHEET.characteristic_by_key["body-seat-width"]
    use = replace(INSTRUMENTS["MIC-1"], resolution=D("0.001"), repeatability=D("0.0004"), repeatability_readings=12)
    bench = BenchTemperature(celsius=D("23.5"), half_width=D(1), measured=True)
    found = SizeMeasurement(readings=(D("1.100"),), instrument=use, temperature=bench)
    outcome = examine(item, found, DecisionRule())
    return Examined(characteristic=item.key, part=item.part, phase=Phase.FOUND, measurement=found, outcome=outcome)


def test_a_budget_is_read_back_as_it_was_kept() -> None:
    made = entry()
    again = content_from_json(content_to_json(made))
    assert again == made
    assert isinstance(again, Examined)
    assert again.outcome.uncertainty is not None
    assert again.outcome.uncertainty.lines


def test_an_entry_from_before_budgets_still_loads() -> None:
    raw = json.loads(content_to_json(entry()))
    del raw["outcome"]["uncertainty"], raw["measurement"]["temperature"]
    del raw["measurement"]["instrument"]["repeatability"], raw["measurement"]["instrument"]["repeatability_readings"]
    again = content_from_json(json.dumps(raw))
    assert isinstance(again, Examined)
    assert again.outcome.uncertainty is None
    assert again.outcome.value == "1.100 mm"

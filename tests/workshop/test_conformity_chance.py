"""Each verdict on a measured value carries how probable conformity is, and keeps it."""

from decimal import Decimal as D

import pytest

from service.records.json_text import content_from_json, content_to_json
from service.workshop.conformity_chance import chance_words
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.examination import examine
from service.workshop.judged_rules import rejudged
from service.workshop.measurements import Measurement, Outcome
from service.workshop.vocabulary import Phase
from tests.small_findings import SOUND, roundness, sizes
from tests.small_sheet import SMALL_SHEET
from tests.workshop.overhaul_by_hand import ByHand


def judged(key: str, measured: Measurement, rule: DecisionRule | None = None) -> Outcome:
    return examine(SMALL_SHEET.characteristic_by_key[key], measured, rule or DecisionRule())


@pytest.mark.parametrize(("reading", "chance"), [("1.1995", "0.841345"), ("1.2000", "0.5"), ("1.2005", "0.158655")])
def test_one_standard_uncertainty_inside_one_limit_it_is_84_per_cent(reading: str, chance: str) -> None:
    # JCGM 106:2012, 7.4: the normal distribution function at +1, 0 and -1; u = U / k = 0.5 µm.
    assert judged("body-seat-width", sizes("MIC-1", reading)).probability_of_conformity == D(chance)


def test_between_two_limits_both_count() -> None:
    # 6 h6: 5.992 to 6 mm; 5.996 mm lies 8 standard uncertainties of 0.5 µm from either limit.
    assert judged("needle-guide", sizes("MIC-1", "5.996", "5.996")).probability_of_conformity == D(1)
    on_the_lower = judged("needle-guide", sizes("MIC-1", "5.992", "5.996"))
    assert on_the_lower.probability_of_conformity == D("0.5"), "the reading that decides is told of"


def test_the_rule_decides_the_verdict_and_not_the_probability() -> None:
    near = sizes("MIC-1", "1.1995")
    guarded, simple = (judged("body-seat-width", near, DecisionRule(factor)) for factor in (D(1), D(0)))
    assert guarded.verdict is not simple.verdict
    assert guarded.probability_of_conformity == simple.probability_of_conformity


def test_an_oval_hole_has_one_too_and_what_is_only_looked_at_has_none() -> None:
    assert judged("nozzle-ovality", roundness(2, by="0.020")).probability_of_conformity == D("0.5")
    for key in ("body-cracks", "body-pin", "nozzle-holes", "needle-seat"):
        assert judged(key, SOUND[key]).probability_of_conformity is None


def test_it_is_kept_with_the_entry_and_comes_anew_when_it_is_judged_again() -> None:
    hand = ByHand()
    hand.strip()
    hand.examine("body-seat-width", sizes("MIC-1", "1.1995"))
    kept = hand.record.finding("body-seat-width")
    assert kept is not None
    assert content_from_json(content_to_json(kept)) == kept
    ((_, again),) = rejudged(hand.record, DecisionRule(D(0), version=2))
    assert again.outcome.probability_of_conformity == kept.outcome.probability_of_conformity == D("0.841345")


def test_an_entry_from_before_tells_of_none() -> None:
    outcome = judged("body-seat-width", sizes("MIC-1", "1.1995"))
    entry = Examined(
        characteristic="body-seat-width",
        part="body",
        phase=Phase.FOUND,
        measurement=sizes("MIC-1", "1.1995"),
        outcome=outcome,
    )
    before = content_to_json(entry).replace('"probability_of_conformity":"0.841345",', "")
    read = content_from_json(before)
    assert isinstance(read, Examined)
    assert read.outcome.probability_of_conformity is None


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (None, ""),
        (D("0.841345"), "Probability of conformity 84.1 %"),
        (D("0.999"), "Probability of conformity 99.9 %"),
        (D("0.9991"), "Probability of conformity over 99.9 %"),
        (D(1), "Probability of conformity over 99.9 %"),
        (D("0.0009"), "Probability of conformity under 0.1 %"),
        (D("0.001"), "Probability of conformity 0.1 %"),
        (D(0), "Probability of conformity under 0.1 %"),
    ],
)
def test_nothing_measured_is_told_as_sure(chance: D | None, words: str) -> None:
    assert chance_words(chance) == words

"""Beside each verdict of the certificate: how probable conformity is, and where several rules judged, which."""

from decimal import Decimal as D

from service.documents.attached_facts import attached_facts
from service.documents.certificate import certificate_pdf
from service.documents.findings_section import findings_table
from service.workshop.decision_rule import DecisionRule
from service.workshop.judged_rules import rejudged
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Stage
from tests.documents.invented_record import HEADER
from tests.documents.printed import words_of
from tests.small_findings import sizes
from tests.workshop.overhaul_by_hand import ByHand, at_stage

SEAT = "body-seat-width"
NEAR = {SEAT: sizes("MIC-1", "1.1985")}


def notes(record: OverhaulRecord) -> dict[str, str]:
    """What stands beside the verdict, by the title of the characteristic."""
    rows = [row["cells"] for row in findings_table(record)["rows"] if row["cells"]]
    return {cells[1]["text"]: cells[4]["note"] for cells in rows}


def test_the_probability_of_conformity_stands_beside_each_measured_verdict() -> None:
    hand = at_stage(Stage.PROVED, NEAR)
    assert notes(hand.record)["Width of the body's seat"] == "Probability of conformity 99.9 %"
    assert notes(hand.record)["Diameter of the needle's guide"] == "Probability of conformity over 99.9 %"
    assert notes(hand.record)["Locating pin"] == ""
    assert "Probability of conformity 99.9 %" in words_of(certificate_pdf(HEADER, hand.record))
    told = {
        one["characteristic"]: one["probability_of_conformity"]
        for one in attached_facts(HEADER, hand.record)["findings"]
    }
    # 1.5 µm inside with u = 0.5 µm: the normal distribution function at 3 (JCGM 106:2012, 7.4).
    assert (told[SEAT], told["body-pin"]) == ("0.99865", None)


def test_where_verdicts_were_judged_by_several_rules_each_names_its_own() -> None:
    hand = at_stage(Stage.EXAMINED, NEAR)
    seat = "Width of the body's seat"
    assert "ISO 14253-1" not in notes(hand.record)[seat], "one rule for all stands once, under the method"
    only = next(item for _, item in rejudged(hand.record, DecisionRule(D(1), version=2)) if item.characteristic == SEAT)
    hand.put(only)
    shown = notes(hand.record)
    assert shown[seat].endswith("; Rule 2: ISO 14253-1, guard band 1 × U")
    assert shown["Stiffness of the spring"].endswith("; ISO 14253-1, guard band 1 × U")
    assert shown["Locating pin"] == ""


def test_what_became_of_a_value_that_failed_stands_first() -> None:
    hand = ByHand()
    hand.strip()
    hand.examine_all({SEAT: sizes("MIC-1", "1.40")})
    hand.settle_all()
    assert notes(hand.record)["Width of the body's seat"] == "reworked; Probability of conformity under 0.1 %"

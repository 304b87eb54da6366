"""Which decision rules the verdicts of an overhaul were judged by, and which of them would be judged otherwise now."""

from dataclasses import replace

from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.examination import examine
from service.workshop.measurements import OvalityMeasurement, RoundnessMeasurement, SizeMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import proving_run
from service.workshop.reading_budget import judged_with

RULED = (SizeMeasurement, OvalityMeasurement, RoundnessMeasurement)
"""Measurements with an uncertainty: pins, findings and answers are judged without a guard band."""


def examined_under(record: OverhaulRecord) -> tuple[str, ...]:
    """Every rule that an examination in force was judged by, as printed then, in the order of their first use."""
    rules = (item.outcome.rule for _, item in record.examined.values() if isinstance(item.measurement, RULED))
    return tuple(dict.fromkeys(rules))


def rules_judged_by(record: OverhaulRecord) -> tuple[str, ...]:
    """Every rule that a verdict in force was judged by, as it was printed then, in the order of their first use."""
    examined = examined_under(record)
    torqued = [item.outcome.rule for _, item in record.torqued.values()]
    run = proving_run(record)
    proved = [] if run is None else [done.outcome.rule for done in run.results.values()]
    return tuple(dict.fromkeys(rule for rule in (*examined, *torqued, *proved) if rule))


def judged_earlier(record: OverhaulRecord, rule: DecisionRule) -> tuple[Examined, ...]:
    """The examinations in force that were judged under another rule than this one."""
    return tuple(
        item
        for _, item in record.examined.values()
        if isinstance(item.measurement, RULED) and item.outcome.rule != rule.text
    )


def rejudged(record: OverhaulRecord, rule: DecisionRule) -> tuple[tuple[int, Examined], ...]:
    """Every examination in force that this rule judges otherwise, with the sequence of the entry that it replaces.

    Each is judged from its stored measurement, with the uncertainty that it was judged with. A verdict that stays is
    among them where the rule that it was judged by has another text. Raises ExaminationRefused or MetrologyError as
    `examine` does.
    """
    again = []
    for seq, item in record.examinations_in_force:
        characteristic = record.sheet.characteristic_by_key[item.characteristic]
        outcome = examine(characteristic, item.measurement, rule, judged_with(item))
        if (outcome.verdict, outcome.rule) != (item.outcome.verdict, item.outcome.rule):
            again.append((seq, replace(item, outcome=outcome, rejudged_from=seq)))
    return tuple(again)

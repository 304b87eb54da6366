"""The findings on a certificate: every characteristic in the sheet's order, found and after rework."""

from collections.abc import Iterator
from typing import Any

from service.documents.budget_facts import budget_text
from service.documents.printed_values import Block, cell, group_row, instrument_text, row, table, uncertainty_text
from service.documents.recut_words import recut_note
from service.metrology.typed_numbers import plain
from service.workshop.conformity_chance import chance_words
from service.workshop.entries import Examined
from service.workshop.judged_rules import RULED, examined_under
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
)
from service.workshop.measurements import InstrumentUse, Outcome, VisualMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition, Phase, VerdictKind

COLUMNS = ("No.", "Characteristic", "Value found", "Limit", "Verdict", "U and k, instrument, calibration")


def findings_table(record: OverhaulRecord) -> Block:
    """Every characteristic of the sheet, none left out: what was not examined says so."""
    return table("findings", COLUMNS, _rows(record))


def _rows(record: OverhaulRecord) -> Iterator[dict[str, Any]]:
    part = ""
    for number, item in enumerate(record.sheet.characteristics, start=1):
        if item.part != part:
            part = item.part
            yield group_row(record.sheet.part_by_key[part].name)
        found = record.finding(item.key)
        again = record.finding(item.key, Phase.AFTER_REWORK)
        if found is None:
            yield _not_examined(number, item)
        else:
            yield _examined(record, str(number), item, found)
        if again is not None:
            yield _examined(record, f"{number}r", item, again)


def _examined(record: OverhaulRecord, number: str, item: AnyCharacteristic, examined: Examined) -> dict[str, Any]:
    outcome = examined.outcome
    conforms = outcome.verdict is VerdictKind.CONFORMS
    after = "after rework" if examined.phase is Phase.AFTER_REWORK else ""
    measured = examined.measurement
    remark = measured.remark if isinstance(measured, VisualMeasurement) else ""
    note = remark if conforms else " ".join(filter(None, (outcome.sentence, remark)))
    if after:
        note = " ".join(filter(None, (note, recut_note(record, item))))
    use: InstrumentUse | None = getattr(measured, "instrument", None)
    return row(
        cell(number),
        cell(item.title, after),
        cell(outcome.value, note),
        cell(outcome.limit),
        cell(outcome.verdict.label, _beside_the_verdict(record, examined), strong=not conforms),
        _measured_with(use, outcome),
    )


def _measured_with(use: InstrumentUse | None, outcome: Outcome) -> dict[str, Any]:
    if use is None:
        return cell("no instrument")
    if outcome.uncertainty is not None:
        return cell(budget_text(outcome.uncertainty), instrument_text(use))
    return cell(uncertainty_text(use) or "no size measured", instrument_text(use))


def _beside_the_verdict(record: OverhaulRecord, examined: Examined) -> str:
    """What became of it, how probable conformity is, and which rule judged it where the record has several."""
    outcome = examined.outcome
    became = "" if outcome.verdict is VerdictKind.CONFORMS else _what_became(record, examined)
    rule = outcome.rule if len(examined_under(record)) > 1 and isinstance(examined.measurement, RULED) else ""
    return "; ".join(filter(None, (became, chance_words(outcome.probability_of_conformity), rule)))


def _what_became(record: OverhaulRecord, examined: Examined) -> str:
    """A value that does not conform stands on a part that went, was reworked, or stays by concession: say which."""
    settled = record.settled.get(examined.part)
    if settled is None:
        return ""
    conceded = record.concession(examined.part)
    granted = conceded is not None and conceded.granted
    return {
        Disposition.KEEP: "kept by concession" if granted else "kept WITHOUT concession",
        Disposition.REWORK: "still so after rework" if examined.phase is Phase.AFTER_REWORK else "reworked",
        Disposition.REPLACE: "part replaced",
        Disposition.REPLACE_ASSEMBLY: "assembly replaced",
        Disposition.CONDEMN: "condemned",
    }[settled[1].chosen]


def _not_examined(number: int, item: AnyCharacteristic) -> dict[str, Any]:
    verdict = cell(VerdictKind.NOT_MEASURED.label, strong=True)
    return row(cell(str(number)), cell(item.title), cell("–"), cell(_demand(item)), verdict, cell("–"))


def _demand(item: AnyCharacteristic) -> str:
    """The sheet's demand where no outcome has put it into words."""
    match item:
        case SizeCharacteristic():
            return item.limits.text(item.unit)
        case OvalityCharacteristic():
            return f"at most {plain(item.limit)} mm"
        case RoundnessCharacteristic():
            return item.text
        case PinCharacteristic():
            return f"{plain(item.go_pin)} mm enters, {plain(item.reject_pin)} mm does not"
        case _:
            return "–"

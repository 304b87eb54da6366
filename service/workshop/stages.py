"""The stage of an overhaul: never typed in, it follows from what has been recorded."""

from collections.abc import Mapping

from service.workshop.agreement import agreement_lines
from service.workshop.disposition import Proposal, propose, settlement_in_force
from service.workshop.entries import Condemned, Released, Returned
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import is_proved
from service.workshop.rebuild import rebuild_gaps
from service.workshop.vocabulary import Disposition, Stage


def stage_of(record: OverhaulRecord) -> Stage:
    """The furthest stage whose every condition, and that of each stage before it, is met."""
    match record.exit:
        case Released():
            return Stage.RELEASED
        case Condemned():
            return Stage.CONDEMNED
        case Returned():
            return Stage.RETURNED
        case None:
            pass
    if record.stripped is None:
        return Stage.RECEIVED
    proposals = propose(record)
    if unexamined(record, proposals):
        return Stage.STRIPPED
    if not is_agreed(record, proposals):
        return Stage.EXAMINED
    if rebuild_gaps(record, proposals):
        return Stage.AGREED
    return Stage.PROVED if is_proved(record) else Stage.REBUILT


def unexamined(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> tuple[str, ...]:
    """Keys of the characteristics still to examine, in the sheet's order; 'not examined' is never 'good'.

    Parts that go anyway (missing, broken, or taken along by their assembly) need no examination.
    """
    open_ones = {key for proposal in proposals.values() for key in proposal.open_characteristics}
    return tuple(item.key for item in record.sheet.characteristics if item.key in open_ones)


def is_agreed(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> bool:
    """Every part settled, every milder choice conceded, every line beyond the standing order accepted."""
    for part in record.sheet.parts:
        settled = settlement_in_force(record, proposals[part.key])
        if settled is None or settled.chosen is Disposition.CONDEMN:
            return False
        if settled.milder:
            concession = record.concession(part.key)
            if concession is None or not concession.granted:
                return False
    return all(line.accepted for line in agreement_lines(record, proposals))

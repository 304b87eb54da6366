"""Work beyond the standing order: what the ship's office is asked, line by line, and what it answered."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.workshop.disposition import Proposal, settlement_in_force
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition


@dataclass(frozen=True, kw_only=True)
class AgreementLine:
    """One piece of work that the standing order does not cover. `accepted` is None while unanswered."""

    part: str
    part_name: str
    disposition: Disposition
    reasons: tuple[str, ...]
    accepted: bool | None
    note: str


def agreement_lines(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> tuple[AgreementLine, ...]:
    """Every settled line beyond the standing order. Keeping a part and renewing a seal never need asking."""
    lines = []
    for part in record.sheet.parts:
        settled = settlement_in_force(record, proposals[part.key])
        if settled is None or part.seal or settled.chosen is Disposition.KEEP:
            continue
        if settled.chosen in record.standing_order or settled.chosen is Disposition.CONDEMN:
            continue
        answer = record.office_answer(part.key, settled.chosen)
        reasons = proposals[part.key].reasons
        lines.append(
            AgreementLine(
                part=part.key,
                part_name=part.name,
                disposition=settled.chosen,
                reasons=(*reasons, settled.reason) if settled.reason else reasons,
                accepted=None if answer is None else answer.accepted,
                note="" if answer is None else answer.note,
            )
        )
    return tuple(lines)

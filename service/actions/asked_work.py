"""What a ship's office is asked: the unanswered lines of work beyond its standing order, across its fleet."""

from dataclasses import dataclass

from service.actions.shop import Actor, Shop, require
from service.records.approval_reads import AskingOverhaul, asking_overhauls
from service.workshop.agreement import AgreementLine, agreement_lines
from service.workshop.disposition import propose
from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class AskedWork:
    """One line that waits for an answer, and the overhaul that it belongs to."""

    overhaul: AskingOverhaul
    line: AgreementLine


def asked_work(shop: Shop, actor: Actor) -> tuple[AskedWork, ...]:
    """The lines that wait, the oldest overhaul first. Raises Forbidden for anybody but a ship's office."""
    require(actor, Role.OFFICE)
    with shop.store.reading() as session:
        overhauls = asking_overhauls(session, actor.operator_id or 0)
    return tuple(
        AskedWork(overhaul, line)
        for overhaul in overhauls
        for line in agreement_lines(overhaul.record, propose(overhaul.record))
        if line.accepted is None
    )

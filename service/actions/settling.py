"""Settling parts: the technician confirms or departs, the manager concedes, the ship's office answers."""

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entries, record_entry
from service.actions.shop import BENCH, Actor, NotFound, Refused, Shop, require
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.agreement import agreement_lines
from service.workshop.disposition import check_settlement, propose, settlement_in_force
from service.workshop.entries import ConcessionDecided, OfficeAnswered, PartSettled
from service.workshop.vocabulary import Disposition, Role


def settle_part(
    shop: Shop, actor: Actor, number: str, form: Form, *, part: str, chosen: Disposition, reason: str = ""
) -> Recorded:
    """Settle one part. Raises DispositionRefused where the rules forbid the choice or want a reason."""
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> PartSettled:
        proposal = propose(loaded.record).get(part)
        if proposal is None:
            raise NotFound("no-part", "The limit sheet has no such part.")
        return check_settlement(loaded.record.sheet, proposal, chosen, reason)

    return record_entry(shop, actor, number, form, build)


def settle_as_proposed(shop: Shop, actor: Actor, number: str, form: Form) -> int:
    """Confirm the proposal of every part that is examined and not settled, all at once; gives how many."""
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul) -> list[PartSettled]:
        record = loaded.record
        return [
            check_settlement(record.sheet, proposal, proposal.disposition, "")
            for proposal in propose(record).values()
            if proposal.disposition is not None and settlement_in_force(record, proposal) is None
        ]

    return record_entries(shop, actor, number, form, build)


def decide_concession(
    shop: Shop, actor: Actor, number: str, form: Form, *, part: str, granted: bool, reason: str, password: str
) -> Recorded:
    """Grant or refuse the concession that a milder settlement needs; signed. The certificate prints a granted one."""
    require(actor, Role.MANAGER)
    if not reason.strip():
        raise Refused("reason-missing", "Give the reason: the certificate prints it.", "reason")

    def build(loaded: LoadedOverhaul, session: Session) -> ConcessionDecided:
        settled = loaded.record.settled.get(part)
        if settled is None:
            raise NotFound("no-request", "Nobody asks for a concession on this part.")
        return ConcessionDecided(part=part, chosen=settled[1].chosen, granted=granted, reason=reason.strip())

    return record_entry(shop, actor, number, form, build, password=password)


def answer_proposal(
    shop: Shop, actor: Actor, number: str, form: Form, *, part: str, accepted: bool, note: str = ""
) -> Recorded:
    """The ship's office accepts or declines one line of work beyond its standing order."""
    require(actor, Role.OFFICE)

    def build(loaded: LoadedOverhaul, session: Session) -> OfficeAnswered:
        lines = {line.part: line for line in agreement_lines(loaded.record, propose(loaded.record))}
        if part not in lines:
            raise NotFound("no-line", "There is no such line to answer.")
        return OfficeAnswered(part=part, disposition=lines[part].disposition, accepted=accepted, note=note.strip())

    return record_entry(shop, actor, number, form, build)

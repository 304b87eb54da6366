"""The summary of a consignment, for the workshop and for the office of the fleet that it came from."""

from sqlmodel import Session, col, select

from service.actions.recording import load_in_scope
from service.actions.shop import Actor, NotFound, Shop, require
from service.documents.consignment_summary import ConsignmentSummary, SummaryLine, consignment_summary_pdf
from service.records.certificate_reads import certificate_of_overhaul
from service.records.overhaul_store import LoadedOverhaul
from service.records.tables import Consignment, Engine, Operator, Overhaul, Vessel
from service.workshop.narration import item_name
from service.workshop.vocabulary import Role


def summarise_consignment(shop: Shop, actor: Actor, number: str) -> bytes:
    """The summary as a PDF, signed where the workshop has a key.

    Raises NotFound: no such consignment in the actor's sight; SigningFailed.
    """
    require(actor, Role.TECHNICIAN, Role.MANAGER, Role.OFFICE)
    with shop.store.reading() as session:
        found = session.exec(
            select(Consignment, Vessel, Operator)
            .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
            .join(Operator, col(Operator.id) == Vessel.operator_id)
            .where(Consignment.number == number)
        ).first()
        if found is None or not actor.may_see(found[2].id):
            raise NotFound("no-consignment", f"There is no consignment {number}.")
        consignment, vessel, operator = found
        summary = ConsignmentSummary(
            workshop_name=shop.name,
            workshop_address=shop.address,
            operator=operator.name,
            vessel=vessel.name,
            imo_number=vessel.imo_number,
            number=consignment.number,
            reference=consignment.reference,
            received_at=consignment.received_at,
            lines=_lines(session, shop, actor, consignment),
            made_at=shop.now(),
            demo=shop.demo,
        )
    document = consignment_summary_pdf(summary, shop.letterhead)
    if not shop.keyring.can_sign:
        return document
    return shop.keyring.signer.signed(document, summary.made_at, f"Summary of consignment {number}")


def _lines(session: Session, shop: Shop, actor: Actor, consignment: Consignment) -> tuple[SummaryLine, ...]:
    numbers = session.exec(
        select(Overhaul.number).where(Overhaul.consignment_id == consignment.id).order_by(col(Overhaul.id))
    ).all()
    return tuple(_line(session, shop, load_in_scope(session, actor, number)) for number in numbers)


def _line(session: Session, shop: Shop, loaded: LoadedOverhaul) -> SummaryLine:
    row, sheet = loaded.row, loaded.record.sheet
    issued = certificate_of_overhaul(session, row.id or 0)
    engine = session.get_one(Engine, row.engine_id)
    reworked = [f"{sheet.part_by_key[part].name} reworked" for part in loaded.record.reworked]
    fitted = [f"{item_name(sheet, key)} new" for key in loaded.record.fitted]
    return SummaryLine(
        serial=loaded.unit.serial,
        injector_type=loaded.injector_type.code,
        place=", ".join(filter(None, (engine.designation, f"cylinder {row.cylinder}", row.position))),
        outcome=row.stage.capitalize() + (", held" if row.held else ""),
        done=[*reworked, *fitted],
        certificate=issued.number if issued else "",
        check_url=f"{shop.public_origin}/certificates/{issued.token}" if issued else "",
    )

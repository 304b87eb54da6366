"""Rework, new parts, torques, adjusting discs, reopening."""

from decimal import Decimal

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entry
from service.actions.shop import BENCH, Actor, NotFound, Refused, Shop, require
from service.actions.taking_instruments import instrument_in_use
from service.metrology.units import check_magnitude
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.records.registers import is_condemned
from service.workshop.entries import DiscsChanged, PartFitted, PartReworked, Reopened, Torqued
from service.workshop.torque import judge_torque
from service.workshop.vocabulary import InstrumentKind


def record_rework(shop: Shop, actor: Actor, number: str, form: Form, *, part: str, method: str) -> Recorded:
    """Record what was done to a part settled as rework; the sizes after it are examined again."""
    require(actor, *BENCH)
    done = PartReworked(part=part, method=_told(method, "method", "Say what was done, for example ground 0.05 mm."))
    return record_entry(shop, actor, number, form, lambda loaded, session: done)


def fit_part(shop: Shop, actor: Actor, number: str, form: Form, *, item: str, batch: str) -> Recorded:
    """Record a new part, matched assembly or seal by its batch or serial; never one of a condemned injector."""
    require(actor, *BENCH)
    fitted = PartFitted(item=item, batch=_told(batch, "batch", "Enter the batch or serial from the packing."))

    def build(loaded: LoadedOverhaul, session: Session) -> PartFitted:
        if is_condemned(session, fitted.batch, loaded.unit.injector_type_id):
            raise Refused("condemned", f"{fitted.batch} was condemned: it is never fitted again.", "batch")
        return fitted

    return record_entry(shop, actor, number, form, build)


def record_torque(
    shop: Shop, actor: Actor, number: str, form: Form, *, point: str, value: Decimal, wrench: str
) -> Recorded:
    """Record a tightening torque in N·m with the wrench used."""
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> Torqued:
        found = next((item for item in loaded.record.sheet.torques if item.key == point), None)
        if found is None:
            raise NotFound("no-torque", "The limit sheet has no such thread.")
        use = instrument_in_use(
            session,
            wrench,
            kinds=(InstrumentKind.TORQUE_WRENCH,),
            unit="N·m",
            values=(value,),
            on=shop.today,
            field="wrench",
        )
        outcome = judge_torque(found, value, use, rule_in_force(session))
        return Torqued(point=point, value=value, wrench=use, outcome=outcome)

    return record_entry(shop, actor, number, form, build)


def change_discs(
    shop: Shop,
    actor: Actor,
    number: str,
    form: Form,
    *,
    added: tuple[Decimal, ...] = (),
    removed: tuple[Decimal, ...] = (),
    reason: str,
) -> Recorded:
    """Record adjusting discs (mm) added or taken out. This voids every earlier proving run of this overhaul."""
    require(actor, *BENCH)
    for field, discs in (("added", added), ("removed", removed)):
        for disc in discs:
            check_magnitude(disc, Decimal("0.01"), Decimal(10), field, "mm")
    changed = DiscsChanged(added=added, removed=removed, reason=_told(reason, "reason", "Say why."))
    return record_entry(shop, actor, number, form, lambda loaded, session: changed)


def reopen(shop: Shop, actor: Actor, number: str, form: Form, *, reason: str) -> Recorded:
    """Open a rebuilt injector again. This voids every earlier proving run of this overhaul."""
    require(actor, *BENCH)
    opened = Reopened(reason=_told(reason, "reason", "Say why it is opened again."))
    return record_entry(shop, actor, number, form, lambda loaded, session: opened)


def _told(text: str, field: str, sentence: str) -> str:
    if not text.strip():
        raise Refused(f"{field}-missing", sentence, field)
    return text.strip()

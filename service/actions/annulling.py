"""Annulling a calibration that was entered wrongly: it stays in the history, struck, and no longer counts."""

from sqlmodel import Session

from service.actions.instruments import calibrations_changed, locked_instrument
from service.actions.shop import Actor, NotFound, Refused, Shop, require
from service.records.calibration_store import calibration_of_instrument, calibration_rows, calibrations_of
from service.records.journal import append_journal
from service.records.tables import CalibrationAnnulment, CalibrationRow, Instrument
from service.workshop.calibration import InstrumentState, brings_back_out_of_limits
from service.workshop.vocabulary import Role

_LONGEST_REASON = 1000


def annul_calibration(shop: Shop, actor: Actor, *, code: str, calibration_id: int, reason: str, version: int) -> bool:
    """Strike a calibration of the instrument as the person saw it at `version`; gives whether it is now shut away.

    Verdicts given with it stay as they were judged. Where a calibration that found the instrument out of limits
    comes into force again by it, the instrument goes into quarantine. Raises Refused, NotFound or Conflict.
    """
    require(actor, Role.MANAGER)
    reason = reason.strip()
    if not reason or len(reason) > _LONGEST_REASON:
        raise Refused("reason-missing", f"Say what is wrong with it, in up to {_LONGEST_REASON} characters.", "reason")
    with shop.store.change() as session:
        instrument = locked_instrument(session, code, version)
        row = calibration_of_instrument(session, instrument.code, calibration_id)
        if row is None:
            raise NotFound("no-calibration", "There is no such calibration.")
        earlier = calibrations_of(session, instrument.id or 0)
        if any(one.id == calibration_id and annulled for one, annulled in calibration_rows(session, row.instrument_id)):
            raise Refused("annulled", f"Calibration {row.certificate} was annulled already.", "reason")
        _strike(session, shop, actor, instrument, row, reason)
        shut = instrument.state == InstrumentState.IN_USE.value and brings_back_out_of_limits(
            earlier, calibrations_of(session, instrument.id or 0)
        )
        because = f"Found out of limits, and calibration {row.certificate} after it was annulled"
        calibrations_changed(session, instrument, because if shut else "", at=shop.now(), person=actor.signature)
        return shut


def _strike(
    session: Session, shop: Shop, actor: Actor, instrument: Instrument, row: CalibrationRow, reason: str
) -> None:
    session.add(
        CalibrationAnnulment(
            calibration_id=row.id or 0,
            reason=reason,
            recorded_at=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
        )
    )
    session.flush()
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="calibration-annulled",
        subject=("instrument", instrument.code),
        reason=reason,
        before=row.model_dump(mode="json", exclude={"instrument_id", "person_id", "person_name", "recorded_at"}),
    )

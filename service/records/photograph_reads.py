"""Photographs and the holes measured in them, read from their rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.given_scale import GivenScale
from service.records.hole_evaluation_text import evaluation_of_text, scale_of_text
from service.records.tables import Consignment, HoleEvaluationRow, Overhaul, PhotographFile, PhotographRow, Unit
from service.workshop.photographs import ARRIVAL

SIZES = ("whole", "shown", "thumbnail")
"""How large a photograph is asked for."""


@dataclass(frozen=True, slots=True)
class KeptEvaluation:
    """A hole measured in a photograph, and what the technician decided."""

    id: int
    photograph_id: int
    hole: int
    scale: GivenScale
    found: HoleEvaluation
    accepted: bool
    reason: str
    recorded_at: datetime
    person_name: str


@dataclass(frozen=True, slots=True)
class ArrivalPhotograph:
    """A photograph of how one injector of a consignment came."""

    overhaul: str
    serial: str
    row: PhotographRow


def photographs_of(session: Session, overhaul_id: int) -> Sequence[PhotographRow]:
    """The photographs of an overhaul without their bytes, in the order in which they were added."""
    statement = select(PhotographRow).where(PhotographRow.overhaul_id == overhaul_id)
    return session.exec(statement.order_by(col(PhotographRow.id))).all()


def photograph_of(session: Session, overhaul_id: int, photograph_id: int) -> PhotographRow | None:
    """That photograph if it is one of the overhaul."""
    statement = select(PhotographRow).where(PhotographRow.id == photograph_id, PhotographRow.overhaul_id == overhaul_id)
    return session.exec(statement).first()


def photograph_bytes(session: Session, photograph_id: int, size: str) -> bytes:
    """The bytes of a photograph at one of SIZES."""
    column = {
        "whole": PhotographFile.whole,
        "shown": PhotographFile.shown,
        "thumbnail": PhotographFile.thumbnail,
    }[size]
    return session.exec(select(column).where(PhotographFile.photograph_id == photograph_id)).one()


def evaluations_of(session: Session, overhaul_id: int) -> tuple[KeptEvaluation, ...]:
    """Every hole measured in a photograph of the overhaul, in the order in which they were decided."""
    statement = (
        select(HoleEvaluationRow)
        .join(PhotographRow, col(PhotographRow.id) == HoleEvaluationRow.photograph_id)
        .where(PhotographRow.overhaul_id == overhaul_id)
        .order_by(col(HoleEvaluationRow.id))
    )
    return tuple(_evaluation(row) for row in session.exec(statement))


def arrival_photographs(session: Session, consignment: str) -> tuple[ArrivalPhotograph, ...]:
    """How the injectors of a consignment came, by overhaul."""
    statement = (
        select(Overhaul.number, Unit.serial, PhotographRow)
        .join(Overhaul, col(Overhaul.id) == PhotographRow.overhaul_id)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
        .where(Consignment.number == consignment, PhotographRow.subject == ARRIVAL)
        .order_by(col(Overhaul.id), col(PhotographRow.id))
    )
    return tuple(ArrivalPhotograph(number, serial, row) for number, serial, row in session.exec(statement))


def _evaluation(row: HoleEvaluationRow) -> KeptEvaluation:
    return KeptEvaluation(
        id=row.id or 0,
        photograph_id=row.photograph_id,
        hole=row.hole,
        scale=scale_of_text(row.scale),
        found=evaluation_of_text(row.evaluation),
        accepted=row.accepted,
        reason=row.reason,
        recorded_at=row.recorded_at,
        person_name=row.person_name,
    )

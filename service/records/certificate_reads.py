"""Looking up issued certificates and their stored bytes."""

from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from service.records.tables import (
    Certificate,
    CertificateFile,
    Consignment,
    InjectorType,
    Overhaul,
    Unit,
    Vessel,
)


@dataclass(frozen=True, slots=True)
class IssuedCertificate:
    """A certificate with what it stands for. `superseded`: a later one was issued for the same injector."""

    number: str
    token: str
    issued_at: datetime
    signed_by: str
    sha256: str
    serial: str
    type_code: str
    type_name: str
    vessel: str
    imo_number: str
    operator_id: int
    superseded: bool
    condemned: bool


def certificate_by_number(session: Session, number: str) -> IssuedCertificate | None:
    """The certificate with that number, None for an unknown one."""
    return _one(session, Certificate.number == number)


def certificate_by_token(session: Session, token: str) -> IssuedCertificate | None:
    """The certificate that a QR code's link leads to, None for an unknown one."""
    return _one(session, Certificate.token == token)


def certificate_of_overhaul(session: Session, overhaul_id: int) -> IssuedCertificate | None:
    """The certificate that an overhaul was released with, None before its release."""
    return _one(session, Certificate.overhaul_id == overhaul_id)


def certificate_bytes(session: Session, number: str) -> bytes | None:
    """The bytes as they were issued: never rendered again."""
    return session.exec(
        select(CertificateFile.content)
        .join(Certificate, col(Certificate.id) == CertificateFile.certificate_id)
        .where(Certificate.number == number)
    ).first()


def _one(session: Session, which: bool) -> IssuedCertificate | None:
    found = session.exec(
        select(Certificate, Unit, InjectorType, Vessel)
        .join(Overhaul, col(Overhaul.id) == Certificate.overhaul_id)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .join(InjectorType, col(InjectorType.id) == Unit.injector_type_id)
        .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
        .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
        .where(which)
    ).first()
    if found is None:
        return None
    certificate, unit, injector_type, vessel = found
    later = session.exec(
        select(Certificate.id)
        .join(Overhaul, col(Overhaul.id) == Certificate.overhaul_id)
        .where(Overhaul.unit_id == unit.id, col(Certificate.id) > (certificate.id or 0))
    ).first()
    return IssuedCertificate(
        number=certificate.number,
        token=certificate.token,
        issued_at=certificate.issued_at,
        signed_by=certificate.signed_by,
        sha256=certificate.sha256,
        serial=unit.serial,
        type_code=injector_type.code,
        type_name=injector_type.name,
        vessel=vessel.name,
        imo_number=vessel.imo_number,
        operator_id=vessel.operator_id,
        superseded=later is not None,
        condemned=unit.condemned,
    )

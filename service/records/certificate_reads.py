"""Looking up issued certificates, whether they are still in force, and their stored bytes."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from service.records.tables import (
    Certificate,
    CertificateEnd,
    CertificateFile,
    Consignment,
    InjectorType,
    Overhaul,
    Unit,
    Vessel,
)


@dataclass(frozen=True, slots=True)
class CertificateEnded:
    """Since when, by whom and why a certificate is no longer in force. `replaced_by` is "" where it was withdrawn."""

    at: datetime
    by: str
    reason: str
    replaced_by: str


@dataclass(frozen=True, slots=True)
class IssuedCertificate:
    """A certificate with what it stands for, by the names that it printed.

    `ended`: it was withdrawn or replaced. `superseded_by`: the newest certificate issued for the same injector since,
    "" where this is the newest.
    """

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
    superseded_by: str
    condemned: bool
    ended: CertificateEnded | None

    @property
    def superseded(self) -> bool:
        """Whether a later one was issued for the same injector."""
        return self.superseded_by != ""

    @property
    def withdrawn(self) -> bool:
        """Whether it was taken back."""
        return self.ended is not None and self.ended.replaced_by == ""


def certificate_by_number(session: Session, number: str) -> IssuedCertificate | None:
    """The certificate with that number, None for an unknown one."""
    return _one(session, Certificate.number == number)


def certificate_by_token(session: Session, token: str) -> IssuedCertificate | None:
    """The certificate that a QR code's link leads to, None for an unknown one."""
    return _one(session, Certificate.token == token)


def certificates_of_overhaul(session: Session, overhaul_id: int) -> tuple[IssuedCertificate, ...]:
    """Every certificate that an overhaul was released with, newest first, by one statement."""
    found = session.exec(_ISSUED.where(Certificate.overhaul_id == overhaul_id).order_by(col(Certificate.id).desc()))
    return tuple(_issued(*row) for row in found)


def certificate_of_overhaul(session: Session, overhaul_id: int) -> IssuedCertificate | None:
    """The certificate in force of an overhaul, None before its release and after a withdrawal."""
    return next((one for one in certificates_of_overhaul(session, overhaul_id) if one.ended is None), None)


def certificate_bytes(session: Session, number: str) -> bytes | None:
    """The bytes as they were issued: never rendered again."""
    return session.exec(
        select(CertificateFile.content)
        .join(Certificate, col(Certificate.id) == CertificateFile.certificate_id)
        .where(Certificate.number == number)
    ).first()


_Later, _LaterOverhaul = aliased(Certificate), aliased(Overhaul)
_SUPERSEDED_BY = (
    select(_Later.number)
    .join(_LaterOverhaul, col(_LaterOverhaul.id) == _Later.overhaul_id)
    .where(_LaterOverhaul.unit_id == Overhaul.unit_id, col(_Later.id) > Certificate.id)
    .order_by(col(_Later.id).desc())
    .limit(1)
    .correlate(Certificate, Overhaul)
    .scalar_subquery()
)
_ISSUED: Any = (
    select(Certificate, Unit, InjectorType, Vessel, CertificateEnd, _SUPERSEDED_BY)  # type: ignore[call-overload]
    .join(Overhaul, col(Overhaul.id) == Certificate.overhaul_id)
    .join(Unit, col(Unit.id) == Overhaul.unit_id)
    .join(InjectorType, col(InjectorType.id) == Unit.injector_type_id)
    .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
    .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
    .join(CertificateEnd, col(CertificateEnd.certificate_id) == Certificate.id, isouter=True)
)


def _one(session: Session, which: bool) -> IssuedCertificate | None:
    found = session.exec(_ISSUED.where(which)).first()
    return None if found is None else _issued(*found)


def _issued(
    certificate: Certificate,
    unit: Unit,
    injector_type: InjectorType,
    vessel: Vessel,
    end: CertificateEnd | None,
    later: str | None,
) -> IssuedCertificate:
    return IssuedCertificate(
        number=certificate.number,
        token=certificate.token,
        issued_at=certificate.issued_at,
        signed_by=certificate.signed_by,
        sha256=certificate.sha256,
        serial=unit.serial,
        type_code=injector_type.code,
        type_name=certificate.type_name or injector_type.name,
        vessel=certificate.vessel_name or vessel.name,
        imo_number=certificate.imo_number or vessel.imo_number,
        operator_id=vessel.operator_id,
        superseded_by=later or "",
        condemned=unit.condemned,
        ended=None if end is None else CertificateEnded(end.at, end.person_name, end.reason, end.replaced_by),
    )

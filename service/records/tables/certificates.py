"""Issued certificates with their files, and the counters that number things."""

from datetime import datetime

from sqlalchemy import LargeBinary, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class Certificate(SQLModel, table=True):
    """One release certificate; those of one overhaul follow each other, one at most is in force.

    `token` is the unguessable number in the QR code's link.
    """

    __tablename__ = "certificate"

    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(unique=True)
    token: str = Field(unique=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    issued_at: datetime = Field(sa_type=UtcInstant)
    signed_by: str
    sha256: str
    vessel_name: str = Field(default="", sa_column_kwargs={"server_default": ""})
    imo_number: str = Field(default="", sa_column_kwargs={"server_default": ""})
    type_name: str = Field(default="", sa_column_kwargs={"server_default": ""})
    """As printed; '' in certificates of the first release, which kept no names beside the file."""
    journal_head: str = Field(default="", max_length=64)
    """Hash of the journal's newest row as it was signed; the certificate prints it."""


class CertificateFile(SQLModel, table=True):
    """The issued bytes, stored in the transaction that numbers them: no number without file, no file without number."""

    __tablename__ = "certificate_file"

    certificate_id: int = Field(primary_key=True, foreign_key="certificate.id")
    content: bytes = Field(sa_type=LargeBinary)


class CertificateEnd(SQLModel, table=True):
    """The end of a certificate's force: withdrawn, or replaced by the one named. The certificate itself stays."""

    __tablename__ = "certificate_end"

    certificate_id: int = Field(primary_key=True, foreign_key="certificate.id")
    replaced_by: str = Field(default="", sa_column_kwargs={"server_default": ""})
    """Number of the certificate issued at that moment in its place; "" where it was withdrawn."""
    reason: str = Field(sa_type=Text)
    at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str


class Counter(SQLModel, table=True):
    """The last number given in a series, one series a year."""

    __tablename__ = "counter"

    name: str = Field(primary_key=True)
    value: int

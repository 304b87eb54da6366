"""The calibrations of instruments with their scans and annulments. Rows are appended and never changed."""

from datetime import date, datetime

from sqlalchemy import Index, LargeBinary, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class CalibrationRow(SQLModel, table=True):
    """One calibration as its certificate says it. Expanded uncertainty and k are exact decimal text.

    `calibrated_on` is None for what the first release recorded: a due date only. `points` is the JSON text of
    [nominal, error] pairs in the instrument's unit; for a pin set each pin with its calibrated diameter less nominal.
    """

    __tablename__ = "calibration"
    __table_args__ = (Index("ix_calibration_instrument", "instrument_id", "calibrated_on"),)

    id: int | None = Field(default=None, primary_key=True)
    instrument_id: int = Field(foreign_key="instrument.id")
    calibrated_on: date | None = None
    due: date
    certificate: str
    laboratory: str
    expanded_uncertainty: str
    k: str
    found: str
    points: str = Field(sa_type=Text)
    remark: str = Field(sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int | None = Field(default=None, foreign_key="person.id", index=True)
    person_name: str


class CalibrationScan(SQLModel, table=True):
    """One page or file of a scanned calibration certificate, as it was sent."""

    __tablename__ = "calibration_scan"

    id: int | None = Field(default=None, primary_key=True)
    calibration_id: int = Field(foreign_key="calibration.id", index=True)
    media_type: str
    size: int
    sha256: str
    content: bytes = Field(sa_type=LargeBinary)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str


class CalibrationAnnulment(SQLModel, table=True):
    """That a calibration was entered wrongly and why: the calibration stays as it is and no longer counts."""

    __tablename__ = "calibration_annulment"

    calibration_id: int = Field(primary_key=True, foreign_key="calibration.id")
    reason: str = Field(sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str

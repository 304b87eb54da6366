"""The register of instruments."""

from datetime import date

from sqlmodel import Field, SQLModel


class Instrument(SQLModel, table=True):
    """One instrument with its calibration in force. Expanded uncertainty (k = 2) is exact decimal text in `unit`."""

    __tablename__ = "instrument"

    id: int | None = Field(default=None, primary_key=True)
    code: str = Field(unique=True)
    kind: str
    description: str = ""
    unit: str
    expanded_uncertainty: str
    calibration: str
    due: date
    active: bool = True
    version: int = 1

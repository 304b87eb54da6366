"""Test rigs with their gauges; fillings of oil and daily checks are appended and never changed."""

from datetime import date, datetime

from sqlalchemy import Index, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class TestRigRow(SQLModel, table=True):
    """One rig and what its daily check asks. Pressures (bar), forces (N) and volume (cm³) are exact decimal text.

    `springs` is 0 where the rig clamps without springs; its forces are None then.
    """

    __test__ = False  # a table, not a test class
    __tablename__ = "test_rig"

    id: int | None = Field(default=None, primary_key=True)
    code: str = Field(unique=True)
    description: str
    unit: str
    line_pressure_bar: str
    line_hold_s: int
    line_drop_max_bar: str
    springs: int
    spring_lower_n: str | None = None
    spring_upper_n: str | None = None
    oil_days: int | None = None
    volume_cm3: str | None = None
    in_use: bool
    version: int = 1


class RigGauge(SQLModel, table=True):
    """That a pressure gauge belongs to a rig; a gauge may be moved, so it may belong to several."""

    __tablename__ = "test_rig_gauge"

    rig_id: int = Field(primary_key=True, foreign_key="test_rig.id")
    instrument_id: int = Field(primary_key=True, foreign_key="instrument.id", index=True)


class RigOilFilling(SQLModel, table=True):
    """Oil that was put in: viscosity (mm²/s at 40 °C) and bulk modulus (GPa, None unknown) are exact decimal text."""

    __tablename__ = "test_rig_oil"
    __table_args__ = (Index("ix_test_rig_oil_rig", "rig_id", "changed_on"),)

    id: int | None = Field(default=None, primary_key=True)
    rig_id: int = Field(foreign_key="test_rig.id")
    name: str
    viscosity_mm2_s: str
    bulk_modulus_gpa: str | None = None
    changed_on: date
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)


class RigCheckRow(SQLModel, table=True):
    """One daily check; `content` is the JSON text of a `RigCheck`."""

    __tablename__ = "test_rig_check"
    __table_args__ = (Index("ix_test_rig_check_rig", "rig_id", "checked_on"),)

    id: int | None = Field(default=None, primary_key=True)
    rig_id: int = Field(foreign_key="test_rig.id")
    checked_on: date
    at: datetime = Field(sa_type=UtcInstant)
    good: bool
    content: str = Field(sa_type=Text)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)

"""Consignments, units (injectors by serial), their overhauls, and the entries that an overhaul consists of."""

from datetime import date, datetime

from sqlalchemy import Index, String, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant

SERIAL = String().with_variant(String(collation="C"), "postgresql")
"""Compared sign by sign on every database, so that an index answers 'begins with'."""


class Consignment(SQLModel, table=True):
    """What arrived from one vessel at one time."""

    __tablename__ = "consignment"

    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(unique=True)
    vessel_id: int = Field(foreign_key="vessel.id", index=True)
    received_at: datetime = Field(sa_type=UtcInstant)
    due_on: date
    reference: str = ""
    remark: str = ""
    standing_order: str = Field(default="", sa_column_kwargs={"server_default": ""})
    """The operator's standing order as it was on receipt: a later change leaves open overhauls as they are."""
    form_key: str = Field(unique=True)


class Unit(SQLModel, table=True):
    """One injector for life. `vessel_id` is the vessel it last came from."""

    __tablename__ = "unit"
    __table_args__ = (UniqueConstraint("serial", "injector_type_id"), Index(None, "vessel_id", "serial"))

    id: int | None = Field(default=None, primary_key=True)
    serial: str = Field(sa_type=SERIAL)
    injector_type_id: int = Field(foreign_key="injector_type.id", index=True)
    vessel_id: int = Field(foreign_key="vessel.id")
    condemned: bool = False


class Overhaul(SQLModel, table=True):
    """One unit's passage through the shop. `stage` and `held` repeat what the entries say, for lists."""

    __tablename__ = "overhaul"
    __table_args__ = (
        Index(
            "uq_overhaul_open_unit",
            "unit_id",
            unique=True,
            sqlite_where=text("closed_at IS NULL"),
            postgresql_where=text("closed_at IS NULL"),
        ),
        Index("ix_overhaul_open_stage", "closed_at", "stage"),
        Index(  # from a fleet's consignments straight to what of them is still in the shop
            "ix_overhaul_open_consignment",
            "consignment_id",
            sqlite_where=text("closed_at IS NULL"),
            postgresql_where=text("closed_at IS NULL"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(unique=True)
    unit_id: int = Field(foreign_key="unit.id", index=True)
    consignment_id: int = Field(foreign_key="consignment.id", index=True)
    engine_id: int = Field(foreign_key="engine.id", index=True)
    sheet_id: int = Field(foreign_key="sheet_revision.id", index=True)
    cylinder: int
    position: str = ""
    running_hours: int | None = None
    fuel: str
    reason: str
    packing: str
    remark: str = ""
    stage: str
    held: bool = False
    opened_at: datetime = Field(sa_type=UtcInstant)
    closed_at: datetime | None = Field(default=None, sa_type=UtcInstant)
    last_seq: int = 0


class EntryRow(SQLModel, table=True):
    """One entry of an overhaul, appended and never changed. `title`, `verdict`, `sentence` serve lists."""

    __tablename__ = "entry"
    __table_args__ = (
        UniqueConstraint("overhaul_id", "seq"),
        Index(  # few entries are reworks: whose seats were cut is answered without reading the others
            "ix_entry_reworked",
            "overhaul_id",
            "subject",
            sqlite_where=text("kind = 'reworked'"),
            postgresql_where=text("kind = 'reworked'"),
        ),
        Index(  # few overhauls change discs, and what that did to the pressure is read across a whole type
            "ix_entry_discs_changed",
            "overhaul_id",
            sqlite_where=text("kind = 'discs-changed'"),
            postgresql_where=text("kind = 'discs-changed'"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id")
    seq: int
    kind: str
    subject: str
    title: str
    verdict: str = ""
    sentence: str = Field(sa_type=Text)
    at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    payload: str = Field(sa_type=Text)
    form_key: str = Field(unique=True)


class EntryInstrument(SQLModel, table=True):
    """Which instrument an entry was made with, so that a failed calibration finds its readings."""

    __tablename__ = "entry_instrument"

    entry_id: int = Field(primary_key=True, foreign_key="entry.id")
    instrument_id: int = Field(primary_key=True, foreign_key="instrument.id", index=True)


class FittedBatch(SQLModel, table=True):
    """Which batch or serial a part was fitted from, spelled for the search, so that a bad batch finds its injectors."""

    __tablename__ = "fitted_batch"

    entry_id: int = Field(primary_key=True, foreign_key="entry.id")
    batch_key: str = Field(index=True)

"""Injector types and the revisions of their limit sheets."""

from datetime import datetime

from sqlalchemy import UniqueConstraint
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class InjectorType(SQLModel, table=True):
    """A type of injector as the workshop calls it."""

    __tablename__ = "injector_type"

    id: int | None = Field(default=None, primary_key=True)
    code: str = Field(unique=True)
    name: str
    version: int = 1


class SheetRevision(SQLModel, table=True):
    """One revision of a limit sheet. Its content is one JSON text, never touched once approved."""

    __tablename__ = "sheet_revision"
    __table_args__ = (UniqueConstraint("injector_type_id", "revision"),)

    id: int | None = Field(default=None, primary_key=True)
    injector_type_id: int = Field(foreign_key="injector_type.id")
    revision: int
    state: str
    content: str
    approved_by: str = ""
    approved_at: datetime | None = Field(default=None, sa_type=UtcInstant)
    version: int = 1

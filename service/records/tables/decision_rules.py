"""The versions of the workshop's decision rule. Rows are appended and never changed."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class DecisionRuleRow(SQLModel, table=True):
    """One version of the rule. Guard factor and probability are exact decimal text, the one that its kind uses.

    The newest version is in force. `in_force_from` is None for the first, which holds from the start.
    """

    __tablename__ = "decision_rule"

    version: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    kind: str
    guard_factor: str | None = None
    probability: str | None = None
    in_force_from: datetime | None = Field(default=None, sa_type=UtcInstant)
    person_id: int | None = Field(default=None, foreign_key="person.id", index=True)
    person_name: str
    reason: str = Field(sa_type=Text)
    form_key: str | None = Field(default=None, unique=True)

"""People and their sign-ins."""

from datetime import datetime

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class Person(SQLModel, table=True):
    """Somebody who signs in. An office person belongs to one operator and sees only its fleet."""

    __tablename__ = "person"

    id: int | None = Field(default=None, primary_key=True)
    login: str = Field(unique=True)
    name: str
    role: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    password_hash: str
    active: bool = True
    version: int = 1


class SignIn(SQLModel, table=True):
    """One sign-in; the token itself is only in the browser, here is its SHA-256."""

    __tablename__ = "sign_in"

    token_hash: str = Field(primary_key=True)
    person_id: int = Field(foreign_key="person.id", index=True)
    created_at: datetime = Field(sa_type=UtcInstant)
    expires_at: datetime = Field(sa_type=UtcInstant)


class SignInFailure(SQLModel, table=True):
    """One wrong password, kept while it counts. The login is here as its SHA-256: it may be a mistyped secret."""

    __tablename__ = "sign_in_failure"

    id: int | None = Field(default=None, primary_key=True)
    login_hash: str
    at: datetime = Field(sa_type=UtcInstant)

    __table_args__ = (
        Index("ix_sign_in_failure_login_hash_at", "login_hash", "at"),
        Index("ix_sign_in_failure_at", "at"),
    )

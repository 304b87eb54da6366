"""Columns that give back exactly what was stored, on SQLite and on PostgreSQL alike."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Dialect, String
from sqlalchemy.types import TypeDecorator


class UtcInstant(TypeDecorator[datetime]):
    """A moment in UTC as ISO 8601 text of fixed width: it sorts as text and keeps its zone on every database."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        """Store; a moment without zone is refused, since nobody could tell later what it meant."""
        return None if value is None else instant_text(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Give back with its zone."""
        return None if value is None else datetime.fromisoformat(value)


def instant_text(value: datetime) -> str:
    """The stored form: 2026-01-31T08:05:00.000000Z. Raises ValueError for a moment without zone."""
    if value.tzinfo is None:
        raise ValueError("a moment without a time zone cannot be stored")
    return value.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"

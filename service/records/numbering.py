"""Numbers in a series without gaps or doubles: allotted inside the transaction that uses them."""

from datetime import datetime

from sqlalchemy import text
from sqlmodel import Session

# One statement on both databases: it makes the series where there is none, and keeps its row locked until the commit.
_COUNT = text(
    "INSERT INTO counter (name, value) VALUES (:name, :step) "
    "ON CONFLICT (name) DO UPDATE SET value = counter.value + :step RETURNING value"
)


def next_number(session: Session, series: str, now: datetime, width: int = 4) -> str:
    """The next number of the series in the year of `now`: OH-2026-0001."""
    name = f"{series}-{now:%Y}"
    value = session.connection().execute(_COUNT, {"name": name, "step": 1}).scalar_one()
    return f"{name}-{value:0{width}d}"


def hold_series(session: Session, series: str, now: datetime) -> None:
    """Keep everybody else from taking a number of the series until this transaction ends; takes none itself."""
    session.connection().execute(_COUNT, {"name": f"{series}-{now:%Y}", "step": 0})

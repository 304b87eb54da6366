"""Numbers in a series without gaps or doubles: allotted inside the transaction that uses them."""

from datetime import datetime

from sqlmodel import Session

from service.records.tables import Counter


def next_number(session: Session, series: str, now: datetime, width: int = 4) -> str:
    """The next number of the series in the year of `now`: OH-2026-0001."""
    name = f"{series}-{now:%Y}"
    counter = session.get(Counter, name, with_for_update=True)
    if counter is None:
        counter = Counter(name=name, value=0)
    counter.value += 1
    session.add(counter)
    session.flush()
    return f"{name}-{counter.value:0{width}d}"

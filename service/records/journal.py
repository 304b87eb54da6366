"""Appending to the journal."""

from datetime import datetime
from typing import Any

from sqlmodel import Session

from service.records.json_text import canonical
from service.records.tables import JournalRow


def append_journal(
    session: Session,
    *,
    at: datetime,
    person: tuple[int | None, str],
    action: str,
    subject: tuple[str, str],
    reason: str = "",
    before: Any = None,
    after: Any = None,
) -> None:
    """Write one business event in the caller's transaction.

    `person` is (id, name as it was), `subject` is (kind, identifier); `before` and `after` are plain JSON values.
    """
    session.add(
        JournalRow(
            at=at,
            person_id=person[0],
            person_name=person[1],
            action=action,
            subject_kind=subject[0],
            subject_id=subject[1],
            reason=reason,
            before="" if before is None else canonical(before),
            after="" if after is None else canonical(after),
        )
    )

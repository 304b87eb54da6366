"""The daily checks of test rigs that rest on one instrument: a rig's gauge, or the tester of its clamp springs."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session, col, select

from service.records.json_text import canonical
from service.records.rig_reads import check_from_json
from service.records.tables import RigCheckRow, TestRigRow
from service.workshop.rig_check import RigCheck


@dataclass(frozen=True)
class RecalledRigCheck:
    """A check that was made with the instrument."""

    rig: str
    at: datetime
    person: str
    check: RigCheck


def rig_checks_made_with(
    session: Session, code: str, since: date | None, until: date | None
) -> tuple[RecalledRigCheck, ...]:
    """Every check with the instrument from one day to the other, both included, newest first; None is an open end."""
    statement = select(TestRigRow.code, RigCheckRow).join(TestRigRow, col(TestRigRow.id) == RigCheckRow.rig_id)
    # A check names its gauge, and its tester, by their code and nothing else by one.
    statement = statement.where(col(RigCheckRow.content).contains(f'"code":{canonical(code)}', autoescape=True))
    if since is not None:
        statement = statement.where(RigCheckRow.checked_on >= since)
    if until is not None:
        statement = statement.where(RigCheckRow.checked_on <= until)
    rows = session.exec(statement.order_by(col(RigCheckRow.id).desc()))
    return tuple(RecalledRigCheck(rig, row.at, row.person_name, check_from_json(row.content)) for rig, row in rows)

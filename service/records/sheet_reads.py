"""Reading the revisions of a type's limit sheet for their pages."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import defer
from sqlmodel import Session, col, select

from service.records.registers import draft_sheet, type_by_code
from service.records.sheet_file import stored_sheet
from service.records.tables import InjectorType, SheetRevision
from service.workshop.limit_sheet import LimitSheet
from service.workshop.vocabulary import SheetState


@dataclass(frozen=True)
class RevisionLine:
    """One revision of the list, without its content."""

    revision: int
    state: SheetState
    approved_by: str
    approved_at: datetime | None
    version: int


@dataclass(frozen=True)
class TypeWithRevisions:
    """An injector type and its revisions, newest first."""

    code: str
    name: str
    revisions: tuple[RevisionLine, ...]

    @property
    def in_force(self) -> RevisionLine | None:
        """The approved one."""
        return next((line for line in self.revisions if line.state is SheetState.APPROVED), None)

    @property
    def draft(self) -> RevisionLine | None:
        """The draft."""
        return next((line for line in self.revisions if line.state is SheetState.DRAFT), None)


@dataclass(frozen=True)
class StoredDraft:
    """The draft of a type as it stands, at its version."""

    code: str
    revision: int
    version: int
    sheet: LimitSheet


def type_with_revisions(session: Session, code: str) -> TypeWithRevisions | None:
    """The type with that code and its revisions; their contents are not loaded."""
    kind = type_by_code(session, code)
    if kind is None:
        return None
    return TypeWithRevisions(kind.code, kind.name, _revisions(session, kind))


def stored_draft(session: Session, code: str) -> StoredDraft | None:
    """The type's draft, None without one."""
    kind = type_by_code(session, code)
    row = draft_sheet(session, kind.id or 0) if kind else None
    return None if row is None else StoredDraft(code, row.revision, row.version, stored_sheet(row.content))


def _revisions(session: Session, kind: InjectorType) -> tuple[RevisionLine, ...]:
    found = session.exec(
        select(SheetRevision)
        .options(defer(SheetRevision.content))  # type: ignore[arg-type]
        .where(SheetRevision.injector_type_id == kind.id)
        .order_by(col(SheetRevision.revision).desc())
    )
    return tuple(
        RevisionLine(row.revision, SheetState(row.state), row.approved_by, row.approved_at, row.version)
        for row in found
    )

"""Limit sheets: drafting, importing, exporting, approving."""

from sqlmodel import Session, col, select

from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop, require
from service.metrology.errors import DomainError
from service.records.journal import append_journal
from service.records.journal_reads import changes_between
from service.records.registers import approved_sheet, draft_sheet, newest_revision, type_by_code
from service.records.sheet_file import sheet_from_json, sheet_to_json, stored_sheet
from service.records.tables import InjectorType, JournalRow, SheetRevision
from service.workshop.limit_sheet import LimitSheet
from service.workshop.sheet_checks import SheetFault, sheet_faults
from service.workshop.sheet_editing import blank_sheet
from service.workshop.vocabulary import Role, SheetState


class SheetNotReady(DomainError):
    """A draft with faults; `faults` lists every one."""

    def __init__(self, faults: tuple[SheetFault, ...]) -> None:
        super().__init__(
            "sheet-faults", "The sheet cannot be approved: " + " ".join(f.sentence for f in faults), "sheet"
        )
        self.faults = faults


def import_sheet(shop: Shop, actor: Actor, text: str | bytes, *, type_code: str) -> int:
    """Take a sheet file as the type's draft, replacing a draft there is; gives the revision's number."""
    require(actor, Role.MANAGER)
    sheet = sheet_from_json(text)
    if sheet.injector_type != type_code:
        raise Refused("other-type", f"The file is for {sheet.injector_type}, not for {type_code}.", "injector_type")
    with shop.store.change() as session:
        return _store_draft(session, shop, actor, _type(session, type_code), sheet, version=None).revision


def open_draft(shop: Shop, actor: Actor, *, type_code: str) -> int:
    """Start a draft as a copy of the approved revision, or give the draft there is; gives its number."""
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        kind = _type(session, type_code)
        draft = draft_sheet(session, kind.id or 0)
        if draft is not None:
            return draft.revision
        approved = approved_sheet(session, kind.id or 0)
        if approved is None:
            raise Refused("no-sheet", f"{type_code} has no limit sheet yet: import one.", "file")
        return _store_draft(session, shop, actor, kind, stored_sheet(approved.content), version=None).revision


def open_blank_draft(shop: Shop, actor: Actor, *, type_code: str) -> int:
    """Start an empty draft for a type that has no limit sheet yet, or give the draft there is; gives its number."""
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        kind = _type(session, type_code)
        draft = draft_sheet(session, kind.id or 0)
        if draft is not None:
            return draft.revision
        if newest_revision(session, kind.id or 0):
            raise Refused("has-sheet", f"{type_code} has a limit sheet: start the draft as a copy of it.", "")
        blank = blank_sheet(kind.code, kind.name)
        return _store_draft(session, shop, actor, kind, blank, version=None).revision


def save_draft(shop: Shop, actor: Actor, sheet: LimitSheet, *, version: int) -> int:
    """Save the edited draft that the person saw at `version`; gives its new version."""
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        return _store_draft(session, shop, actor, _type(session, sheet.injector_type), sheet, version=version).version


def approve_draft(shop: Shop, actor: Actor, *, type_code: str, version: int) -> int:
    """Put the draft in force and supersede the one before; open overhauls stay on what they started under."""
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        kind = _type(session, type_code)
        draft = draft_sheet(session, kind.id or 0)
        if draft is None:
            raise NotFound("no-draft", f"{type_code} has no draft.")
        _check_version(session, draft, type_code, version)
        faults = sheet_faults(stored_sheet(draft.content))
        if faults:
            raise SheetNotReady(faults)
        earlier = approved_sheet(session, kind.id or 0)
        if earlier is not None:
            earlier.state = SheetState.SUPERSEDED.value
            session.add(earlier)
            session.flush()
        draft.state, draft.approved_by, draft.approved_at = SheetState.APPROVED.value, actor.name, shop.now()
        draft.version += 1
        session.add(draft)
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="sheet-approved",
            subject=("sheet", f"{type_code}/{draft.revision}"),
            before={"in_force": earlier.revision if earlier else None},
            after={"in_force": draft.revision},
        )
        return draft.revision


def export_sheet(shop: Shop, *, type_code: str, revision: int) -> str:
    """The revision as a file."""
    with shop.store.reading() as session:
        return sheet_to_json(stored_sheet(sheet_revision(session, type_code, revision).content))


def sheet_revision(session: Session, type_code: str, revision: int) -> SheetRevision:
    """That revision. Raises NotFound."""
    found = session.exec(
        select(SheetRevision)
        .join(InjectorType)
        .where(InjectorType.code == type_code, SheetRevision.revision == revision)
    ).first()
    if found is None:
        raise NotFound("no-revision", f"There is no revision {revision} of the limit sheet of {type_code}.")
    return found


def _store_draft(
    session: Session, shop: Shop, actor: Actor, kind: InjectorType, sheet: LimitSheet, *, version: int | None
) -> SheetRevision:
    draft = draft_sheet(session, kind.id or 0)
    before = None
    if draft is None:
        if version is not None:
            raise NotFound("no-draft", f"{kind.code} has no draft any more.")
        draft = SheetRevision(
            injector_type_id=kind.id or 0,
            revision=newest_revision(session, kind.id or 0) + 1,
            state=SheetState.DRAFT.value,
            content="",
        )
    else:
        before = draft.content
        if version is not None:
            _check_version(session, draft, kind.code, version)
        draft.version += 1
    draft.content = sheet_to_json(sheet)
    session.add(draft)
    session.flush()
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="sheet-drafted",
        subject=("sheet", f"{kind.code}/{draft.revision}"),
        before=before,
        after=draft.content,
    )
    return draft


def _check_version(session: Session, draft: SheetRevision, code: str, version: int) -> None:
    if draft.version == version:
        return
    # Every version of a draft has its row in the journal, so the newest rows tell what was changed since then.
    newer = session.exec(
        select(JournalRow)
        .where(JournalRow.subject_kind == "sheet", JournalRow.subject_id == f"{code}/{draft.revision}")
        .order_by(col(JournalRow.id).desc())
        .limit(min(max(draft.version - version, 0), 5))
    ).all()
    changes = tuple(
        f"{row.person_name} changed {change.place}: {change.before or 'nothing'} → {change.after or 'nothing'}."
        for row in reversed(newer)
        for change in changes_between(row.before, row.after)[:5]
    )
    raise Conflict("changed", "Somebody changed this draft since you opened it.", changes)


def _type(session: Session, code: str) -> InjectorType:
    found = type_by_code(session, code, lock=True)
    if found is None:
        raise NotFound("no-type", f"There is no injector type {code}.", "injector_type")
    return found

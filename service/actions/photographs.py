"""Adding photographs to an overhaul, and looking at them."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session, select

from service.actions.recording import Form, load_in_scope
from service.actions.shop import BENCH, Actor, NotFound, Refused, Shop, require
from service.records.journal import append_journal
from service.records.overhaul_store import LoadedOverhaul
from service.records.photograph_reads import (
    KeptEvaluation,
    evaluations_of,
    photograph_bytes,
    photograph_of,
    photographs_of,
)
from service.records.picture_file import KeptPicture, kept_picture, shown_picture
from service.records.tables import PhotographFile, PhotographRow
from service.workshop.photographs import check_photographable, subject_words

PHOTOGRAPH_LIMIT_BYTES = 15_000_000
"""Largest photograph that is taken, one file."""
_MOST = 200
_LONGEST_REMARK = 500
_THUMBNAIL_PX = 320


@dataclass(frozen=True)
class OverhaulPhotographs:
    """An overhaul with its photographs and the holes measured in them."""

    loaded: LoadedOverhaul
    rows: Sequence[PhotographRow]
    evaluations: tuple[KeptEvaluation, ...]


def add_photograph(
    shop: Shop, actor: Actor, number: str, *, form_key: str, subject: str, content: bytes, remark: str = ""
) -> int:
    """Keep a photograph (JPEG or PNG) with the overhaul; gives its number. The same form sent again gives it again.

    `subject` is 'arrival' or the key of a characteristic of the pinned limit sheet. What the camera wrote beside the
    picture, its position above all, is not kept. Raises NotFound; Refused or PictureRefused: nothing is kept then.
    """
    require(actor, *BENCH)
    form = Form(form_key, 0)
    remark = remark.strip()
    if len(remark) > _LONGEST_REMARK:
        raise Refused("too-long", f"Shorten the remark to {_LONGEST_REMARK} characters.", "remark")
    if len(content) > PHOTOGRAPH_LIMIT_BYTES:
        raise Refused("photograph-large", _too_large(len(content)), "picture")
    sent = hashlib.sha256(content).hexdigest()
    with shop.store.reading() as session:  # before the picture is unpacked, which takes its time
        earlier = _checked(session, load_in_scope(session, actor, number), form, subject, sent)
    if earlier is not None:
        return earlier
    kept = kept_picture(content)
    shown = shown_picture(kept.content)
    thumbnail = shown_picture(shown.content, longest_px=_THUMBNAIL_PX)
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        earlier = _checked(session, loaded, form, subject, sent)
        if earlier is not None:
            return earlier
        row = _row(shop, actor, loaded, kept, (subject, sent, remark, form.key))
        session.add(row)
        session.flush()
        session.add(
            PhotographFile(
                photograph_id=row.id or 0, whole=kept.content, shown=shown.content, thumbnail=thumbnail.content
            )
        )
        _journal(session, shop, actor, number, row)
        return row.id or 0


def look_at_photographs(shop: Shop, actor: Actor, number: str) -> OverhaulPhotographs:
    """The overhaul with its photographs. Raises NotFound, for another fleet's as for an unknown one."""
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
        overhaul = loaded.row.id or 0
        return OverhaulPhotographs(loaded, photographs_of(session, overhaul), evaluations_of(session, overhaul))


def look_at_picture(
    shop: Shop, actor: Actor, number: str, photograph_id: int, size: str
) -> tuple[PhotographRow, bytes]:
    """A photograph with its bytes at one of the sizes. Raises NotFound, or Refused where the bytes have changed."""
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
        row = photograph_of(session, loaded.row.id or 0, photograph_id)
        content = b"" if row is None else photograph_bytes(session, photograph_id, size)
    if row is None:
        raise NotFound("no-photograph", "There is no such photograph.")
    if size == "whole" and hashlib.sha256(content).hexdigest() != row.sha256:
        raise Refused("photograph-damaged", "The stored photograph is damaged: restore it from the backup.")
    return row, content


def _checked(session: Session, loaded: LoadedOverhaul, form: Form, subject: str, sent: str) -> int | None:
    """The photograph that this form has added already, None where a new one may be added."""
    again = session.exec(select(PhotographRow).where(PhotographRow.form_key == form.key)).first()
    if again is not None:
        if again.overhaul_id != loaded.row.id:
            raise Refused("form-key", "This form was used on another injector: open the page again.", "form_key")
        return again.id
    check_photographable(loaded.record)
    subject_words(loaded.record.sheet, subject)
    rows = photographs_of(session, loaded.row.id or 0)
    same = next((row for row in rows if row.sent_sha256 == sent), None)
    if same is not None:
        shows = subject_words(loaded.record.sheet, same.subject)
        sentence = f"This photograph is kept already: {shows}, added by {same.person_name}. Choose another one."
        raise Refused("photograph-again", sentence, "picture")
    if len(rows) >= _MOST:
        raise Refused("photographs-many", f"{_MOST} photographs are kept with this overhaul already.", "picture")
    return None


def _row(
    shop: Shop, actor: Actor, loaded: LoadedOverhaul, kept: KeptPicture, typed: tuple[str, str, str, str]
) -> PhotographRow:
    subject, sent, remark, form_key = typed
    return PhotographRow(
        overhaul_id=loaded.row.id or 0,
        subject=subject,
        media_type=kept.media_type,
        width=kept.width,
        height=kept.height,
        size=len(kept.content),
        sha256=hashlib.sha256(kept.content).hexdigest(),
        sent_sha256=sent,
        remark=remark,
        recorded_at=shop.now(),
        person_id=actor.person_id,
        person_name=actor.name,
        form_key=form_key,
    )


def _journal(session: Session, shop: Shop, actor: Actor, number: str, row: PhotographRow) -> None:
    told = ("id", "subject", "media_type", "width", "height", "size", "sha256", "sent_sha256", "remark")
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="photograph",
        subject=("overhaul", number),
        after={name: getattr(row, name) for name in told},
    )


def _too_large(size: int) -> str:
    most = PHOTOGRAPH_LIMIT_BYTES // 1_000_000
    return f"The photograph has {size / 1_000_000:.1f} MB, and at most {most} MB are taken: take it smaller or crop it."

"""Measuring a spray hole in a photograph that is kept, and deciding whether the evaluation counts."""

from dataclasses import dataclass
from threading import Lock

from sqlmodel import Session, select

from service.actions.photographs import look_at_picture
from service.actions.recording import Form, load_in_scope
from service.actions.shop import BENCH, Actor, Conflict, Refused, Shop, require
from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.given_scale import GivenScale
from service.records.hole_evaluation_text import digest_of, evaluation_of_text, evaluation_text, scale_text
from service.records.journal import append_journal
from service.records.picture_file import ShownPicture, picture_light, shown_picture
from service.records.tables import HoleEvaluationRow, PhotographRow
from service.workshop.photographs import check_hole, check_photographable

_LONGEST_REASON = 1000
_ONE_AT_A_TIME = Lock()
"""A large photograph takes hundreds of megabytes while it is measured: the next one waits."""


@dataclass(frozen=True)
class MeasuredHole:
    """What was found, its canonical text, and the digest by which it is known again. Nothing of it is kept."""

    found: HoleEvaluation
    text: str
    digest: str


def measure_hole(
    shop: Shop, actor: Actor, number: str, photograph_id: int, *, hole: int, scale: GivenScale
) -> MeasuredHole:
    """Evaluate the one hole in the photograph; nothing is kept.

    Raises NotFound; NoSuchHole; HoleImageError with the remedy: a scale without meaning, a picture without a hole.
    """
    require(actor, *BENCH)
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
    row, content = look_at_picture(shop, actor, number, photograph_id, "whole")
    check_hole(loaded.record.sheet.characteristic_by_key.get(row.subject), hole)
    text = evaluation_text(_evaluated(content, scale))
    return MeasuredHole(evaluation_of_text(text), text, digest_of(text))


def measure_picture(actor: Actor, content: bytes, scale: GivenScale) -> HoleEvaluation:
    """Evaluate the one hole in a photograph that belongs to no overhaul; nothing is kept.

    Raises PictureRefused for a file that is no photograph; HoleImageError as `measure_hole` does.
    """
    require(actor, *BENCH)
    return _evaluated(content, scale)


def picture_to_show(actor: Actor, content: bytes) -> ShownPicture:
    """The same photograph for a page, upright and small. Raises PictureRefused."""
    require(actor, *BENCH)
    with _ONE_AT_A_TIME:
        return shown_picture(content)


def _evaluated(content: bytes, scale: GivenScale) -> HoleEvaluation:
    given = scale.scale()
    # Arrays load on first use: the server starts without them.
    from service.metrology.hole_image.evaluation import evaluate_hole

    with _ONE_AT_A_TIME:
        return evaluate_hole(picture_light(content), given)


def decide_hole_evaluation(
    shop: Shop,
    actor: Actor,
    number: str,
    photograph_id: int,
    *,
    form_key: str,
    hole: int,
    scale: GivenScale,
    digest: str,
    accepted: bool,
    reason: str = "",
) -> int:
    """Keep the evaluation with the photograph, accepted or rejected; gives its number.

    The hole is measured again, and it must be what the person saw (`digest`). It stands beside the gauge and never
    replaces its verdict. Raises Refused where a reason is wanted, Conflict where something else is found now.
    """
    require(actor, *BENCH)
    form, reason = Form(form_key, 0), reason.strip()
    if len(reason) > _LONGEST_REASON:
        raise Refused("too-long", f"Shorten the reason to {_LONGEST_REASON} characters.", "reason")
    with shop.store.reading() as session:
        load_in_scope(session, actor, number)
        earlier = _made_by(session, form, photograph_id)
    if earlier is not None:
        return earlier
    measured = measure_hole(shop, actor, number, photograph_id, hole=hole, scale=scale)
    if measured.digest != digest:
        raise Conflict("evaluation-changed", "Something else is found in the photograph now: look at it, then decide.")
    _ask_reason(measured.found, accepted, reason)
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        earlier = _made_by(session, form, photograph_id)
        if earlier is not None:
            return earlier
        check_photographable(loaded.record)
        row = HoleEvaluationRow(
            photograph_id=photograph_id,
            hole=hole,
            scale=scale_text(scale),
            evaluation=measured.text,
            accepted=accepted,
            reason=reason,
            recorded_at=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
            form_key=form.key,
        )
        session.add(row)
        session.flush()
        _journal(session, shop, actor, number, row, measured)
        return row.id or 0


def _made_by(session: Session, form: Form, photograph_id: int) -> int | None:
    row = session.exec(select(HoleEvaluationRow).where(HoleEvaluationRow.form_key == form.key)).first()
    if row is not None and row.photograph_id != photograph_id:
        raise Refused("form-key", "This form was used on another photograph: open the page again.", "form_key")
    return row.id if row else None


def _ask_reason(found: HoleEvaluation, accepted: bool, reason: str) -> None:
    if reason:
        return
    if not accepted:
        raise Refused("reason-missing", "Say why it is rejected.", "reason")
    if found.quality.not_nominal:
        raise Refused(
            "reason-missing", "The picture is not as it should be: say why it is accepted all the same.", "reason"
        )


def _journal(
    session: Session, shop: Shop, actor: Actor, number: str, row: HoleEvaluationRow, measured: MeasuredHole
) -> None:
    found = measured.found
    photograph = session.get_one(PhotographRow, row.photograph_id)
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="hole-evaluation",
        subject=("overhaul", number),
        reason=row.reason,
        after={
            "id": row.id,
            "photograph": row.photograph_id,
            "photograph_sha256": photograph.sha256,
            "characteristic": photograph.subject,
            "hole": row.hole,
            "accepted": row.accepted,
            "mean_diameter_um": f"{found.mean_diameter.value_um:.1f}",
            "expanded_um": f"{found.mean_diameter.expanded_um:.1f}",
            "ovality_um": f"{found.ovality.value_um:.1f}",
            "evaluation_sha256": measured.digest,
        },
    )

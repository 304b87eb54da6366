"""The recall of a parts batch: every injector that a part of it was fitted in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.recall_summary import VesselReached, operators_reached, vessels_reached, where_now
from service.actions.recalling import RecalledFitting, look_at_batch_recall
from service.actions.shop import Actor, NotFound
from service.documents.guarded_csv import csv_file
from service.documents.recall_letter import LetterLine, RecallLetter, recall_letter_pdf
from service.metrology.errors import DomainError
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.recalls.asking import asked_in_address
from service.pages.recalls.letters import ASKED, letter_answer
from service.pages.recalls.shown import SHOWN, OperatorLine, certificate_href, operator_lines, place, unit_href
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, day
from service.pages.row_ids import RowId

router = APIRouter(prefix="/recalls/batches")

COLUMNS = (
    *("certificate", "serial", "type", "overhaul", "stage", "where now", "last vessel", "IMO number", "operator"),
    *("fitted", "batch or serial", "fitted on (UTC)", "by", "still fitted"),
)


@dataclass(frozen=True)
class FittingRow:
    """A part of the batch in an injector."""

    serial: str
    href: str
    certificate: str
    certificate_href: str
    place: str
    title: str
    batch: str
    fitted: str
    standing: str


@dataclass(frozen=True)
class BatchRecallPage:
    """The page; nothing is searched until a batch is typed."""

    page: Frame
    form: FormState
    asked: bool
    rows: tuple[FittingRow, ...]
    count: int
    more: int
    certificates: int
    vessels: tuple[VesselReached, ...]
    operators: tuple[OperatorLine, ...]
    csv: str


@router.get("")
def show_batch(request: Request, actor: Actor = Manager) -> Response:
    """The question, and what the batch reaches."""
    typed, renderer = asked_in_address(request), renderer_of(request)
    frame = renderer.frame("Recall a batch", actor, "/instruments")
    blank = BatchRecallPage(frame, typed.shown(), False, (), 0, 0, 0, (), (), "")
    if "batch" not in typed.fields:
        return renderer.page("recalls/batch.html", blank)
    try:
        found = look_at_batch_recall(shop_of(request), actor, typed.text("batch"))
    except DomainError as error:
        return renderer.page("recalls/batch.html", _refused(blank, typed.shown(error)), status_of_form(error))
    context = _filled(blank, found, f"?{urlencode({'batch': typed.text('batch')})}")
    return renderer.page("recalls/batch.html", context)


@router.get("/fittings.csv")
def fittings_file(request: Request, actor: Actor = Manager) -> Response:
    """Every part fitted from the batch."""
    found = look_at_batch_recall(shop_of(request), actor, asked_in_address(request).text("batch"))
    headers = {"Content-Disposition": 'attachment; filename="recall-fittings.csv"'}
    content = csv_file(COLUMNS, (_cells(one) for one in found))
    return Response(content, media_type="text/csv; charset=utf-8", headers=headers)


@router.get("/letters/{operator_id}.pdf")
def letter(request: Request, operator_id: RowId, actor: Actor = Manager) -> Response:
    """What concerns one operator. Raises NotFound where none of its injectors is reached."""
    shop, batch = shop_of(request), asked_in_address(request).text("batch")
    found = [one for one in look_at_batch_recall(shop, actor, batch) if one.injector.operator_id == operator_id]
    if not found:
        raise NotFound("no-letter", "No injector of this operator is reached.")
    made = RecallLetter(
        workshop_name=shop.name,
        workshop_address=shop.address,
        operator=found[0].injector.operator,
        subject=f"parts of batch or serial {batch}",
        happened=(
            f"Parts of batch or serial {batch} are no longer trusted.",
            "Our records name the injectors below as fitted with them. No certificate is changed by this letter.",
        ),
        lines=[_line(one) for one in found],
        others=(),
        asked=ASKED,
        signed_by=actor.name,
        demo=shop.demo,
    )
    return letter_answer(recall_letter_pdf(made, shop.now()))


def _refused(page: BatchRecallPage, form: FormState) -> BatchRecallPage:
    return replace(page, form=form)


def _filled(page: BatchRecallPage, found: Sequence[RecalledFitting], query: str) -> BatchRecallPage:
    return replace(
        page,
        asked=True,
        rows=tuple(_row(one) for one in found[:SHOWN]),
        count=len(found),
        more=max(0, len(found) - SHOWN),
        certificates=len({one.injector.certificate for one in found if one.injector.certificate}),
        vessels=vessels_reached((one.injector, False) for one in found),
        operators=operator_lines(operators_reached(one.injector for one in found), "/recalls/batches/letters", query),
        csv=f"/recalls/batches/fittings.csv{query}",
    )


def _row(one: RecalledFitting) -> FittingRow:
    return FittingRow(
        serial=one.injector.serial,
        href=unit_href(one.injector),
        certificate=one.injector.certificate,
        certificate_href=certificate_href(one.injector),
        place=place(one.injector),
        title=one.entry.title,
        batch=one.entry.sentence,
        fitted=f"{day(one.entry.at)}, {one.entry.person}",
        standing="" if one.entry.stands else "Fitted again later.",
    )


def _cells(one: RecalledFitting) -> Sequence[str]:
    injector, entry = one.injector, one.entry
    batch = entry.sentence.removeprefix("Batch or serial ").removesuffix(".")
    return (
        *(injector.certificate, injector.serial, injector.type_code, injector.number, injector.stage),
        *(where_now(injector), injector.vessel, injector.imo_number, injector.operator),
        *(entry.title, batch, f"{entry.at:%Y-%m-%d %H:%M}", entry.person, "yes" if entry.stands else "no"),
    )


def _line(one: RecalledFitting) -> LetterLine:
    return LetterLine(
        serial=one.injector.serial,
        where=place(one.injector),
        certificate=one.injector.certificate,
        what=one.entry.title,
        detail=f"{one.entry.sentence} {day(one.entry.at)}, {one.entry.person}",
        consequence="To be renewed",
    )

"""The files of an instrument's recall: every reading as CSV, and a letter to each operator."""

from collections.abc import Sequence

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.recall_summary import where_now
from service.actions.recalling import InstrumentRecall, RecalledReading, look_at_instrument_recall
from service.actions.shop import Actor, NotFound, Shop
from service.documents.guarded_csv import csv_file
from service.documents.recall_letter import LetterLine, RecallLetter, recall_letter_pdf
from service.metrology.typed_numbers import plain
from service.pages.guards import Manager, shop_of
from service.pages.instruments.places import history_of, plain_day
from service.pages.recalls.asking import asked_in_address, recall_asked
from service.pages.recalls.letters import ASKED, KEPT, letter_answer
from service.pages.recalls.shown import period_in_words, place, taken
from service.pages.row_ids import RowId
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/recalls/instruments")

COLUMNS = (
    *("certificate", "serial", "type", "overhaul", "stage", "where now", "last vessel", "IMO number", "operator"),
    *("entry", "taken on (UTC)", "by", "still counts", "verdict as recorded", "verdict corrected", "would change"),
    *("reason", "decision rule"),
)


@router.get("/{code:path}/readings.csv")
def readings_file(request: Request, code: str, actor: Actor = Manager) -> Response:
    """Every reading in doubt, in the order of the page."""
    found = _found(request, shop_of(request), actor, code)
    headers = {"Content-Disposition": 'attachment; filename="recall-readings.csv"'}
    content = csv_file(COLUMNS, (_cells(one) for one in found.readings))
    return Response(content, media_type="text/csv; charset=utf-8", headers=headers)


@router.get("/{code:path}/letters/{operator_id}.pdf")
def letter(request: Request, code: str, operator_id: RowId, actor: Actor = Manager) -> Response:
    """What concerns one operator. Raises NotFound where none of its injectors is reached."""
    shop = shop_of(request)
    found = _found(request, shop, actor, code)
    readings = [one for one in found.readings if one.injector.operator_id == operator_id and one.entry.stands]
    if not readings:
        raise NotFound("no-letter", "No injector of this operator is reached.")
    pressing = [one for one in readings if one.again.changes or one.again.open]
    named = {one.injector.serial for one in pressing}
    made = RecallLetter(
        workshop_name=shop.name,
        workshop_address=shop.address,
        operator=readings[0].injector.operator,
        subject=f"measuring instrument {code}",
        happened=_happened(found),
        lines=[_line(one) for one in pressing],
        others=[one.injector.serial for one in readings if one.injector.serial not in named],
        asked=ASKED if pressing else KEPT,
        signed_by=actor.name,
        demo=shop.demo,
    )
    return letter_answer(recall_letter_pdf(made, shop.now()))


def _found(request: Request, shop: Shop, actor: Actor, code: str) -> InstrumentRecall:
    unit = history_of(shop, code).row.unit
    return look_at_instrument_recall(shop, actor, code, recall_asked(asked_in_address(request), unit))


def _cells(one: RecalledReading) -> Sequence[str]:
    injector, entry, again = one.injector, one.entry, one.again
    change = "open" if again.open else "yes" if again.changes else "no"
    return (
        *(injector.certificate, injector.serial, injector.type_code, injector.number, injector.stage),
        *(where_now(injector), injector.vessel, injector.imo_number, injector.operator),
        *(entry.title, f"{entry.at:%Y-%m-%d %H:%M}", entry.person, "yes" if entry.stands else "no"),
        *(again.before, again.after, change, again.reason, again.rule),
    )


def _happened(found: InstrumentRecall) -> list[str]:
    row, failed = found.history.row, found.failed
    name = f"{found.history.known.kind.label} {row.code}"
    first = f"Our measuring instrument {name} is no longer trusted."
    if failed is not None:
        one = failed.calibration
        first = f"{name}, calibrated on {plain_day(one.on)} (certificate {one.certificate}): {one.found.label.lower()}."
    return [
        first,
        f"Readings are in doubt {period_in_words(found.period.since, found.period.until)}.",
        _correction(found),
        "No certificate is changed by this letter.",
    ]


def _correction(found: InstrumentRecall) -> str:
    if found.history.known.kind is InstrumentKind.PIN_SET:
        pins = [f"{plain(nominal)} mm measures {plain(size)} mm" for nominal, size in found.correction.pins.items()]
        return f"Corrected diameters of its pins: {'; '.join(pins) or 'none'}."
    error = found.correction.in_words(found.history.row.unit)
    return f"It was judged again with an error (indicated less true) of {error}. Corrected is reading less error."


def _line(one: RecalledReading) -> LetterLine:
    return LetterLine(
        serial=one.injector.serial,
        where=place(one.injector),
        certificate=one.injector.certificate,
        what=f"{one.entry.title}: {one.again.before.lower()}",
        detail=f"{taken(one)}. Corrected: {one.again.reason}",
        consequence=one.again.in_words,
    )

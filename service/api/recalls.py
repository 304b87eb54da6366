"""Recall: what a failed instrument or a bad batch reaches. It reports and changes nothing."""

from datetime import date, datetime
from decimal import Decimal
from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.recall_summary import where_now
from service.actions.recalling import RecallAsked, RecalledReading, look_at_batch_recall, look_at_instrument_recall
from service.actions.shop import Actor, Refused, Shop
from service.api.bodies import After, Answer, Exact, InPath, Limit, quantity
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Manager, TheShop
from service.api.registers.instruments import found_instrument
from service.records.recall_reads import RecalledInjector
from service.workshop.vocabulary import Stage

router = APIRouter(prefix="/recalls", tags=["recalls"], route_class=ExactRoute)

Typed = Annotated[str, Query(max_length=60, pattern=r"^[^\x00]*$")]
Pins = Annotated[
    list[Annotated[str, Query(max_length=60)]] | None,
    Query(max_length=500, description="A pin's corrected diameter in mm as NOMINAL=DIAMETER, once for each pin."),
]


class RecalledInjectorAnswer(Answer):
    """An injector in one overhaul; `certificate` null where none was issued. The vessel is that it last came from."""

    overhaul: str
    stage: Stage
    serial: str
    injector_type: str
    certificate: str | None
    where_now: str
    vessel: str
    imo_number: str
    operator: str


class ReadingAnswer(Answer):
    """A reading in doubt. `corrected` is null where it cannot be judged again; `stands` false once it was replaced."""

    injector: RecalledInjectorAnswer
    entry: str
    seq: int
    at: datetime
    by: str
    stands: bool
    recorded: str
    corrected: str | None
    changes: bool
    reason: str
    rule: str
    rule_as_stored: bool


class CorrectedPin(Answer):
    """A pin by its nominal size with the diameter that it was judged by, mm."""

    nominal: Exact
    diameter: Exact


class InstrumentRecallAnswer(Answer):
    """Readings under certificates come first. `error` is indicated less true, so corrected = reading − error."""

    instrument: str
    unit: str
    failed_calibration: int | None
    since: date | None
    until: date | None
    error: Exact
    pins: list[CorrectedPin]
    readings: int
    would_change: int
    items: list[ReadingAnswer]
    next_after: int | None


class FittingAnswer(Answer):
    """A part fitted from the batch."""

    injector: RecalledInjectorAnswer
    entry: str
    at: datetime
    by: str
    stands: bool


class BatchRecallAnswer(Answer):
    """Fittings under certificates come first."""

    batch: str
    fittings: int
    items: list[FittingAnswer]
    next_after: int | None


@router.get("/instruments/{code}", operation_id="recall_instrument", responses=READS)
def recall_instrument(
    code: InPath,
    calibration: Annotated[int | None, Query(ge=1, le=2_000_000_000, description="The one that failed.")] = None,
    since: Annotated[date | None, Query(description="Instead of the last calibration found within limits.")] = None,
    error: Annotated[Typed | None, Query(description="Indicated less true; else the certificate's largest.")] = None,
    pin: Pins = None,
    after: After = 0,
    limit: Limit = 100,
    actor: Actor = Manager,
    shop: Shop = TheShop,
) -> InstrumentRecallAnswer:
    """Every reading since the instrument's last good calibration, judged again with the corrected error."""
    unit = found_instrument(shop, code).known.unit
    asked = RecallAsked(
        calibration_id=calibration,
        since=since,
        error=None if error is None else quantity(error, None, unit, "error"),
        pins=None if pin is None else dict(_pin(one) for one in pin),
    )
    found = look_at_instrument_recall(shop, actor, code, asked)
    return InstrumentRecallAnswer(
        instrument=found.history.row.code,
        unit=unit,
        failed_calibration=None if found.failed is None else found.failed.id,
        since=found.period.since,
        until=found.period.until,
        error=found.correction.error,
        pins=[CorrectedPin(nominal=nominal, diameter=size) for nominal, size in sorted(found.correction.pins.items())],
        readings=len(found.readings),
        would_change=sum(one.again.changes and one.entry.stands for one in found.readings),
        items=[_reading(one) for one in found.readings[after : after + limit]],
        next_after=_next(after + limit, len(found.readings)),
    )


@router.get("/batches", operation_id="recall_batch", responses=READS)
def recall_batch(
    batch: Annotated[str, Query(max_length=200, pattern=r"^[^\x00]*$")],
    after: After = 0,
    limit: Limit = 100,
    actor: Actor = Manager,
    shop: Shop = TheShop,
) -> BatchRecallAnswer:
    """Every part fitted with exactly that batch or serial; capitals do not matter."""
    found = look_at_batch_recall(shop, actor, batch)
    items = [
        FittingAnswer(
            injector=_injector(one.injector),
            entry=one.entry.title,
            at=one.entry.at,
            by=one.entry.person,
            stands=one.entry.stands,
        )
        for one in found[after : after + limit]
    ]
    return BatchRecallAnswer(batch=batch, fittings=len(found), items=items, next_after=_next(after + limit, len(found)))


def _pin(text: str) -> tuple[Decimal, Decimal]:
    nominal, sign, diameter = text.partition("=")
    if not sign:
        raise Refused("pins", "Give each pin as NOMINAL=DIAMETER in mm.", "pin")
    return quantity(nominal, None, "mm", "pin"), quantity(diameter, None, "mm", "pin")


def _next(end: int, count: int) -> int | None:
    return end if end < count else None


def _injector(one: RecalledInjector) -> RecalledInjectorAnswer:
    return RecalledInjectorAnswer(
        overhaul=one.number,
        stage=Stage(one.stage),
        serial=one.serial,
        injector_type=one.type_code,
        certificate=one.certificate or None,
        where_now=where_now(one),
        vessel=one.vessel,
        imo_number=one.imo_number,
        operator=one.operator,
    )


def _reading(one: RecalledReading) -> ReadingAnswer:
    return ReadingAnswer(
        injector=_injector(one.injector),
        entry=one.entry.title,
        seq=one.entry.seq,
        at=one.entry.at,
        by=one.entry.person,
        stands=one.entry.stands,
        recorded=one.again.before,
        corrected=one.again.after or None,
        changes=one.again.changes,
        reason=one.again.reason,
        rule=one.again.rule,
        rule_as_stored=one.again.rule_as_stored,
    )

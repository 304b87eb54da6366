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
from service.workshop.calibration import CalibratedPoint
from service.workshop.vocabulary import Stage

_MOST_CHECKS = 200
router = APIRouter(prefix="/recalls", tags=["recalls"], route_class=ExactRoute)

Typed = Annotated[str, Query(max_length=60, pattern=r"^[^\x00]*$")]
Points = Annotated[
    list[Annotated[str, Query(max_length=60)]] | None,
    Query(max_length=500, description="An error at a calibrated point as NOMINAL=ERROR, once for each point."),
]
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


class CorrectionPoint(Answer):
    """The error, indicated less true, at one calibrated point; both in the instrument's unit."""

    nominal: Exact
    error: Exact


class CorrectedPin(Answer):
    """A pin by its nominal size with the diameter that it was judged by, mm."""

    nominal: Exact
    diameter: Exact


class RecalledRigCheckAnswer(Answer):
    """A daily check of a test rig that was made with the instrument; it is not judged again."""

    rig: str
    at: datetime
    by: str
    good: bool


class InstrumentRecallAnswer(Answer):
    """Readings under certificates come first. `error` is indicated less true, so corrected = reading − error.

    Where `points` are listed the error is read from them, in a straight line between two, and `error` is null.
    `rig_checks` are the newest 200 of those made with it.
    """

    instrument: str
    unit: str
    failed_calibration: int | None
    since: date | None
    until: date | None
    error: Exact | None
    points: list[CorrectionPoint]
    pins: list[CorrectedPin]
    readings: int
    would_change: int
    rig_checks: list[RecalledRigCheckAnswer]
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
    error: Annotated[Typed | None, Query(description="Indicated less true, over the whole range.")] = None,
    point: Points = None,
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
        points=None if point is None else tuple(_point(one, unit) for one in point),
        pins=None if pin is None else dict(_pair(one, "mm", "pin") for one in pin),
    )
    found = look_at_instrument_recall(shop, actor, code, asked)
    return InstrumentRecallAnswer(
        instrument=found.history.row.code,
        unit=unit,
        failed_calibration=None if found.failed is None else found.failed.id,
        since=found.period.since,
        until=found.period.until,
        error=None if found.correction.points else found.correction.error,
        points=[CorrectionPoint(nominal=one.nominal, error=one.error) for one in found.correction.points],
        pins=[CorrectedPin(nominal=nominal, diameter=size) for nominal, size in sorted(found.correction.pins.items())],
        readings=len(found.readings),
        would_change=sum(one.again.changes and one.entry.stands for one in found.readings),
        rig_checks=[
            RecalledRigCheckAnswer(rig=one.rig, at=one.at, by=one.person, good=one.check.good)
            for one in found.rig_checks[:_MOST_CHECKS]
        ],
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


def _point(text: str, unit: str) -> CalibratedPoint:
    nominal, error = _pair(text, unit, "point")
    return CalibratedPoint(nominal=nominal, error=error)


def _pair(text: str, unit: str, field: str) -> tuple[Decimal, Decimal]:
    nominal, sign, other = text.partition("=")
    if not sign:
        raise Refused("pair", f"Give each {field} as two sizes in {unit} with = between them.", field)
    return quantity(nominal, None, unit, field), quantity(other, None, unit, field)


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

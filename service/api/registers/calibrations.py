"""The calibrations of an instrument and their scanned certificates."""

from datetime import date, datetime
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from service.actions.annulling import annul_calibration
from service.actions.calibrations import keep_scan, record_calibration
from service.actions.looking import look_at_scan
from service.actions.shop import Actor, Refused, Shop
from service.api.bodies import Answer, Body, Count, Exact, IdInPath, InPath, Name, Number, Text, quantity
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.api.registers.instruments import found_instrument
from service.metrology.typed_numbers import parse_decimal
from service.records.instrument_reads import CalibrationLine
from service.records.scanned_files import ENDINGS, headers_of_file
from service.workshop.calibration import CalibratedPoint, FoundState

router = APIRouter(prefix="/instruments/{code}/calibrations", tags=["registers"], route_class=ExactRoute)
_SCAN: dict[int | str, dict[str, Any]] = {
    200: {"content": {kind: {"schema": {"type": "string", "format": "binary"}} for kind in ENDINGS}}
}
_FILE = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}


class PointBody(Body):
    """A calibrated point: nominal with its `error` (indication minus reference), or a pin with its `diameter`."""

    nominal: Number
    error: Number | None = None
    diameter: Number | None = None


class CalibrationBody(Body):
    """A calibration as its certificate says it, of the instrument seen at `version`; numbers in its unit."""

    certificate: Name
    laboratory: Name
    calibrated_on: date
    due: date
    expanded_uncertainty: Number
    k: Number = "2"
    found: FoundState
    points: tuple[PointBody, ...] = ()
    remark: Text = ""
    version: Count


class PointAnswer(Answer):
    """A calibrated point in the instrument's unit."""

    nominal: Exact
    error: Exact


class ScanAnswer(Answer):
    """A scanned certificate as it was sent."""

    id: int
    media_type: str
    size: int
    sha256: str


class AnnulmentBody(Body):
    """What is wrong with a calibration, of the instrument seen at `version`."""

    reason: Text
    version: Count


class AnnulmentAnswer(Answer):
    """Why, when and by whom a calibration was annulled."""

    reason: str
    at: datetime
    by: str


class CalibrationAnswer(Answer):
    """One calibration; `calibrated_on` null where only its due date was recorded, `annulled` null where it counts."""

    id: int
    certificate: str
    laboratory: str
    calibrated_on: date | None
    due: date
    expanded_uncertainty: Exact
    k: Exact
    found: FoundState
    points: list[PointAnswer]
    remark: str
    recorded_at: datetime
    recorded_by: str
    scans: list[ScanAnswer]
    annulled: AnnulmentAnswer | None


class CalibrationHistory(Answer):
    """Every calibration, newest first."""

    items: list[CalibrationAnswer]


class CalibrationAdded(Answer):
    """The new calibration; `quarantined` where it shut the instrument away. `version` is the instrument's new one."""

    id: int
    quarantined: bool
    version: int


class CalibrationStruck(Answer):
    """`quarantined` where a finding out of limits is in force again. `version` is the instrument's new one."""

    quarantined: bool
    version: int


class ScanAdded(Answer):
    """The number of the file kept."""

    id: int


@router.get("", operation_id="list_calibrations", responses=READS)
def list_calibrations(code: InPath, actor: Actor = AtBench, shop: Shop = TheShop) -> CalibrationHistory:
    """The history of one instrument."""
    return CalibrationHistory(items=[_answer(line) for line in found_instrument(shop, code).calibrations])


@router.post("", status_code=201, operation_id="record_calibration", responses=WRITES)
def record(code: InPath, body: CalibrationBody, actor: Actor = Manager, shop: Shop = TheShop) -> CalibrationAdded:
    """Append a calibration. Found out of limits, it puts the instrument into quarantine."""
    found = found_instrument(shop, code)
    unit = found.known.unit
    recorded = record_calibration(
        shop,
        actor,
        code=code,
        certificate=body.certificate,
        calibrated_on=body.calibrated_on,
        due=body.due,
        laboratory=body.laboratory,
        expanded_uncertainty=quantity(body.expanded_uncertainty, None, unit, "expanded_uncertainty"),
        k=parse_decimal(body.k, "k"),
        found=body.found,
        points=[_point(point, unit) for point in body.points],
        remark=body.remark,
        version=body.version,
    )
    version = found_instrument(shop, code).row.version
    return CalibrationAdded(id=recorded.id, quarantined=recorded.quarantined, version=version)


@router.post("/{calibration_id}/annulment", status_code=201, operation_id="annul_calibration", responses=WRITES)
def annul(
    code: InPath, calibration_id: IdInPath, body: AnnulmentBody, actor: Actor = Manager, shop: Shop = TheShop
) -> CalibrationStruck:
    """Annul a calibration that was entered wrongly: it stays in the history and counts no more."""
    shut = annul_calibration(
        shop, actor, code=code, calibration_id=calibration_id, reason=body.reason, version=body.version
    )
    return CalibrationStruck(quarantined=shut, version=found_instrument(shop, code).row.version)


@router.post(
    "/{calibration_id}/scans",
    status_code=201,
    operation_id="keep_calibration_scan",
    responses=WRITES,
    openapi_extra=_FILE,
)
async def send_scan(
    request: Request, code: InPath, calibration_id: IdInPath, actor: Actor = Manager, shop: Shop = TheShop
) -> ScanAdded:
    """Keep a scanned certificate: the body is one PDF, PNG or JPEG of at most 10 MB. The same file is kept once."""
    content = await request.body()  # read only now: whoever may not keep scans has been turned away
    kept = await run_in_threadpool(keep_scan, shop, actor, code=code, calibration_id=calibration_id, content=content)
    return ScanAdded(id=kept)


@router.get(
    "/{calibration_id}/scans/{scan_id}",
    operation_id="read_calibration_scan",
    response_class=Response,
    responses={**READS, **_SCAN},
)
def read_scan(
    code: InPath, calibration_id: IdInPath, scan_id: IdInPath, actor: Actor = AtBench, shop: Shop = TheShop
) -> Response:
    """The bytes as they were sent."""
    name, media_type, content = look_at_scan(shop, actor, code, calibration_id, scan_id)
    return Response(content, media_type=media_type, headers=headers_of_file(name, media_type))


def _point(point: PointBody, unit: str) -> CalibratedPoint:
    nominal = quantity(point.nominal, None, unit, "points")
    if (point.error is None) is (point.diameter is None):
        raise Refused("points", "Give each point either its error or, for a pin, its diameter.", "points")
    if point.error is not None:
        return CalibratedPoint(nominal=nominal, error=quantity(point.error, None, unit, "points"))
    return CalibratedPoint(nominal=nominal, error=quantity(point.diameter or "", None, unit, "points") - nominal)


def _answer(line: CalibrationLine) -> CalibrationAnswer:
    one = line.calibration
    return CalibrationAnswer(
        id=line.id,
        certificate=one.certificate,
        laboratory=one.laboratory,
        calibrated_on=one.on,
        due=one.due,
        expanded_uncertainty=one.expanded_uncertainty,
        k=one.k,
        found=one.found,
        points=[PointAnswer.model_validate(point) for point in one.points],
        remark=line.remark,
        recorded_at=line.recorded_at,
        recorded_by=line.recorded_by,
        scans=[ScanAnswer.model_validate(scan) for scan in line.scans],
        annulled=None if line.annulled is None else AnnulmentAnswer.model_validate(line.annulled),
    )

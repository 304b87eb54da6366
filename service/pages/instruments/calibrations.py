"""Recording a calibration from its certificate."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.calibrations import record_calibration
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.instruments.places import history_of, place_of
from service.pages.instruments.typed_lists import points_as_typed, typed_points
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.instrument_reads import InstrumentHistory
from service.workshop.calibration import RECORDED_FINDINGS, FoundState
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/instruments")


@dataclass(frozen=True)
class CalibrationPage:
    """The form; `points_hint` says what stands on each line of the points."""

    page: Frame
    heading: str
    code: str
    action: str
    back: str
    form_key: str
    seen: int
    form: FormState
    unit: str
    found_states: tuple[Option, ...]
    points_label: str
    points_hint: str


@router.get("/{code:path}/calibrations/new")
def show_form(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The form, with what seldom changes from one calibration to the next."""
    found = history_of(shop_of(request), code)
    values: dict[str, str | list[str]] = {"k": "2"}
    last = next((line.calibration for line in found.calibrations if not line.annulled), None)
    if last is not None:
        points = points_as_typed(last.points, pin_set=_is_pin_set(found)).splitlines()
        values["laboratory"] = last.laboratory
        values["points"] = "\n".join(point.partition(";")[0] + "; " for point in points)
    return _page(request, actor, found, FormState(values), new_form_key(), found.row.version)


@router.post("/{code:path}/calibrations")
def record(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Append it to the history."""
    shop = shop_of(request)
    found = history_of(shop, code)
    unit = found.row.unit
    try:
        record_calibration(
            shop,
            actor,
            code=found.row.code,
            certificate=typed.text("certificate"),
            calibrated_on=typed.day("calibrated_on", "Calibrated on"),
            due=typed.day("due", "Next calibration due"),
            laboratory=typed.text("laboratory"),
            expanded_uncertainty=typed.quantity("expanded_uncertainty", unit),
            k=parse_decimal(typed.text("k"), "k"),
            found=typed.choice("found", FoundState, "How it was found"),
            points=typed_points(_as_typed(typed), unit, pin_set=_is_pin_set(found)),
            remark=typed.text("remark"),
            version=typed.version,
        )
    except DomainError as error:
        seen = seen_again(typed, error, found.row.version)
        return _page(request, actor, found, typed.shown(error), typed.text("form_key"), seen, status_of_form(error))
    return see_other(place_of(found.row.code), request)


def _as_typed(typed: Typed) -> str:
    """The points, lines left out where the second number is still missing: the form offers those of the last time."""
    kept = [line for line in typed.text("points").splitlines() if not line.strip().endswith(";")]
    return "\n".join(kept)


def _is_pin_set(found: InstrumentHistory) -> bool:
    return found.row.kind == InstrumentKind.PIN_SET.value


def _page(
    request: Request,
    actor: Actor,
    found: InstrumentHistory,
    form: FormState,
    form_key: str,
    seen: int,
    status: int = 200,
) -> Response:
    renderer = renderer_of(request)
    code, unit, pins = found.row.code, found.row.unit, _is_pin_set(found)
    context = CalibrationPage(
        page=renderer.frame(f"Calibration of {code}", actor, "/instruments"),
        heading="Record a calibration",
        code=code,
        action=f"{place_of(code)}/calibrations",
        back=place_of(code),
        form_key=form_key,
        seen=seen,
        form=form,
        unit=unit,
        found_states=options_of(RECORDED_FINDINGS),
        points_label="Pins with their calibrated diameters" if pins else "Error at the calibrated points",
        points_hint=(
            "One pin a line: the size marked on it; its calibrated diameter, such as 0.85; 0.8504. Only pins that are "
            "listed here can be used."
            if pins
            else "One point a line: nominal value; error (indication minus reference), such as 10; 0.002."
        ),
    )
    return renderer.page("instruments/calibration.html", context, status)

"""The manager's form for the card of a test rig: its gauges, the unit of its dial, what its check asks."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.actions.test_rigs import RigCard, save_test_rig
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.metrology.units import parse_quantity
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.instruments.places import plain_day
from service.pages.refused_form import seen_again, status_of_form, with_lists
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.test_rigs.in_words import read_as
from service.pages.test_rigs.places import REGISTER, place_of, rig_of
from service.pages.typed_forms import Typed, TypedForm
from service.records.instrument_reads import InstrumentLine, instruments
from service.records.rig_reads import KnownRig
from service.workshop.calibration import InstrumentState
from service.workshop.shown_pressure import typed_pressure_bar
from service.workshop.test_rig import PRESSURE_UNITS, BlankedLine, ClampSprings, TestRig
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix=REGISTER)


@dataclass(frozen=True)
class RigCardPage:
    """The form of one card; `seen` is None for a new rig, whose code is still to be given."""

    page: Frame
    heading: str
    action: str
    back: str
    form_key: str
    seen: int | None
    form: FormState
    units: tuple[Option, ...]
    gauges: tuple[Option, ...]


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty card."""
    return _page(request, actor, None, FormState(), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add a rig."""
    return _save(request, actor, None, typed)


@router.get("/{code:path}/card")
def show_card(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The card to correct."""
    known = rig_of(shop_of(request), code)
    return _page(request, actor, known, FormState(_as_typed(known)), new_form_key())


@router.post("/{code:path}/card")
def change(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Correct the card."""
    return _save(request, actor, rig_of(shop_of(request), code), typed)


def _save(request: Request, actor: Actor, known: KnownRig | None, typed: Typed) -> Response:
    try:
        card = card_typed(typed, known.rig.code if known else typed.text("code"))
        code = save_test_rig(shop_of(request), actor, card, version=typed.version if known else None)
    except DomainError as error:
        seen = seen_again(typed, error, known.version) if known else None
        form = with_lists(typed.shown(error), typed, "gauges")
        key = typed.text("form_key") or new_form_key()
        return _page(request, actor, known, form, key, status_of_form(error), seen)
    return see_other(place_of(code), request)


def card_typed(typed: Typed, code: str) -> RigCard:
    """The card as it was typed; a bare pressure is in the unit of the dial. Raises DomainError with the field."""
    unit = typed.text("unit")
    dial = unit if unit in PRESSURE_UNITS else "bar"  # the action refuses any other
    return RigCard(
        code=code,
        description=typed.text("description"),
        unit=unit,
        gauges=typed.many("gauges"),
        line=BlankedLine(
            pressure_bar=_pressure(typed, "line_pressure_bar", "pressure of the blanked line", dial),
            hold_s=typed.whole("line_hold_s", "Time held in seconds"),
            drop_max_bar=_pressure(typed, "line_drop_max_bar", "what it may lose", dial),
        ),
        springs=_springs(typed),
        oil_days=typed.whole_or_none("oil_days", "Days that the oil lasts"),
        volume_cm3=_quantity(typed, "volume_cm3", "volume under pressure", "ml") if typed.text("volume_cm3") else None,
        in_use=not typed.ticked("out_of_use"),
    )


def _springs(typed: Typed) -> ClampSprings | None:
    count = typed.whole_or_none("springs", "Clamp springs")
    if not count:
        return None
    lower = _quantity(typed, "spring_lower_n", "least force of a spring", "N")
    upper = _quantity(typed, "spring_upper_n", "greatest force of a spring", "N")
    return ClampSprings(count=count, lower_n=lower, upper_n=upper)


def _pressure(typed: Typed, name: str, words: str, dial: str) -> Decimal:
    return read_as(words, name, lambda told: typed_pressure_bar(typed.text(name), dial, told))


def _quantity(typed: Typed, name: str, words: str, unit: str) -> Decimal:
    return read_as(words, name, lambda told: parse_quantity(typed.text(name), unit, told))


def _as_typed(known: KnownRig) -> dict[str, str | list[str]]:
    rig = known.rig
    springs = rig.springs
    return {
        "description": known.description,
        "unit": rig.unit,
        "gauges": list(rig.gauges),
        # With its unit, so that another unit of the dial does not change what is asked.
        "line_pressure_bar": f"{plain(rig.line.pressure_bar)} bar",
        "line_hold_s": str(rig.line.hold_s),
        "line_drop_max_bar": f"{plain(rig.line.drop_max_bar)} bar",
        "springs": "" if springs is None else str(springs.count),
        "spring_lower_n": "" if springs is None else plain(springs.lower_n),
        "spring_upper_n": "" if springs is None else plain(springs.upper_n),
        "oil_days": "" if rig.oil_days is None else str(rig.oil_days),
        "volume_cm3": "" if rig.volume_cm3 is None else plain(rig.volume_cm3),
        "out_of_use": "" if rig.in_use else "yes",
    }


def _page(
    request: Request,
    actor: Actor,
    known: KnownRig | None,
    form: FormState,
    form_key: str,
    status: int = 200,
    seen: int | None = None,
) -> Response:
    shop, renderer = shop_of(request), renderer_of(request)
    rig = known.rig if known else None
    heading = f"Card of test rig {rig.code}" if rig else "Add a test rig"
    place = place_of(rig.code) if rig else REGISTER
    context = RigCardPage(
        page=renderer.frame(heading, actor, REGISTER),
        heading=heading,
        action=f"{place}/card" if rig else place,
        back=place,
        form_key=form_key,
        seen=(seen if seen is not None else known.version) if known else None,
        form=form,
        units=tuple(Option(unit, unit) for unit in PRESSURE_UNITS),
        gauges=tuple(_gauge(line) for line in instruments(shop.store, shop.today) if _offered(line, rig)),
    )
    return renderer.page("test_rigs/card.html", context, status)


def _offered(line: InstrumentLine, rig: TestRig | None) -> bool:
    if line.kind is not InstrumentKind.PRESSURE_GAUGE:
        return False
    return line.state is not InstrumentState.WITHDRAWN or (rig is not None and line.code in rig.gauges)


def _gauge(line: InstrumentLine) -> Option:
    due = f"calibration due {plain_day(line.due)}" if line.due else line.standing.label.lower()
    return Option(line.code, line.code, ", ".join(word for word in (line.description, due) if word))

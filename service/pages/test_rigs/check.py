"""The daily check of a test rig: one screen for gloves, then the verdict on the rig's page."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.rig_duties import record_rig_check
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.metrology.units import parse_quantity
from service.pages.choices import Option
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.on_dial import least_on_dial, most_on_dial, unit_hint
from service.pages.overhauls.bench_words import in_date
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.step_expected import TimerShown
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.test_rigs.in_words import read_as
from service.pages.test_rigs.places import REGISTER, place_of, rig_of
from service.pages.typed_forms import Typed, TypedForm
from service.records.examination_reads import instruments_for
from service.records.rig_reads import KnownRig
from service.workshop.cautions import CHECKING_THE_RIG, ON_THE_RIG, Caution, cautions
from service.workshop.shown_pressure import typed_pressure_bar
from service.workshop.test_rig import TestRig
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix=REGISTER)


@dataclass(frozen=True)
class RigCheckPage:
    """The form. `springs` are the boxes for the forces, none where the rig clamps without springs."""

    page: Frame
    code: str
    back: str
    cautions: tuple[Caution, ...]
    oil_missing: bool
    oil_href: str
    line: tuple[Fact, ...]
    springs: tuple[str, ...]
    spring_facts: tuple[Fact, ...]
    action: str
    form_key: str
    form: FormState
    unit: str
    unit_hint: str
    gauges: tuple[Option, ...]
    testers: tuple[Option, ...]
    timer: TimerShown


@router.get("/{code:path}/checks/new")
def show_check(request: Request, code: str, actor: Actor = AtBench) -> Response:
    """The form of today's check."""
    return _page(request, actor, rig_of(shop_of(request), code), None, None)


@router.post("/{code:path}/checks")
def record_check(request: Request, code: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record it and show the verdict."""
    shop = shop_of(request)
    known = rig_of(shop, code)
    try:
        unit = known.rig.unit
        record_rig_check(
            shop,
            actor,
            typed.form,
            code=known.rig.code,
            gauge=typed.text("gauge"),
            start_bar=_pressure(typed, "start_bar", "pressure when shut off", unit),
            end_bar=_pressure(typed, "end_bar", "pressure at the end", unit),
            held_s=typed.whole("held_s", "Time held in seconds"),
            forces_n=_forces(typed) if known.rig.springs is not None else (),
            tester=typed.text("tester"),
            remark=typed.text("remark"),
        )
    except DomainError as error:
        return _page(request, actor, known, typed, error)
    return see_other(place_of(known.rig.code), request)


def _pressure(typed: Typed, name: str, words: str, unit: str) -> Decimal:
    return read_as(words, name, lambda told: typed_pressure_bar(typed.text(name), unit, told))


def _forces(typed: Typed) -> tuple[Decimal, ...]:
    """Those that were typed; the error of one stands at its own box."""
    boxes = enumerate(typed.fields.get("forces_n", ()), start=1)
    return tuple(_force(text, place) for place, text in boxes if text.strip())


def _force(text: str, place: int) -> Decimal:
    return read_as(f"spring {place}", f"forces_n-{place}", lambda told: parse_quantity(text, "N", told))


def _page(request: Request, actor: Actor, known: KnownRig, typed: Typed | None, error: DomainError | None) -> Response:
    shop, renderer = shop_of(request), renderer_of(request)
    rig, place, today = known.rig, place_of(known.rig.code), shop.today
    store, unit = shop.store, known.rig.unit
    gauges = in_date(instruments_for(store, (InstrumentKind.PRESSURE_GAUGE,), "bar", today))
    own = tuple(one for one in gauges if one.value in rig.gauges)
    if typed is None:
        form = FormState({"gauge": own[0].value if len(own) == 1 else ""})
    else:
        shown = typed.shown(error)
        form = FormState({**shown.values, "forces_n": list(typed.fields.get("forces_n", ()))}, shown.errors)
    springs = rig.springs
    before = known.check.at.isoformat() if known.check else today.isoformat()
    context = RigCheckPage(
        page=renderer.frame(f"Check test rig {rig.code}", actor, REGISTER),
        code=rig.code,
        back=place,
        cautions=cautions(*(ON_THE_RIG if springs is None else CHECKING_THE_RIG)),
        oil_missing=rig.oil is None,
        oil_href=f"{place}/oil/new",
        line=_line_asked(rig),
        springs=() if springs is None else tuple(f"Spring {number}" for number in range(1, springs.count + 1)),
        spring_facts=()
        if springs is None
        else (Fact("Each, at its working length", f"{plain(springs.lower_n)} to {plain(springs.upper_n)} N"),),
        action=f"{place}/checks",
        form_key=(typed.text("form_key") if typed else "") or new_form_key(),
        form=form,
        unit=unit,
        unit_hint=unit_hint(unit),
        gauges=own,
        testers=() if springs is None else in_date(instruments_for(store, (InstrumentKind.SPRING_TESTER,), "N", today)),
        timer=TimerShown("held_s", rig.line.hold_s, f"{place} {before}"),
    )
    return renderer.page("test_rigs/check.html", context, 200 if error is None else status_of_form(error))


def _line_asked(rig: TestRig) -> tuple[Fact, ...]:
    line = rig.line
    return (
        least_on_dial("Shut off at, or above", line.pressure_bar, rig.unit),
        Fact("Held", f"{line.hold_s} s"),
        most_on_dial("Loses at most", line.drop_max_bar, rig.unit),
    )

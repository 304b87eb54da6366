"""The form that records which oil was put into a test rig."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.rig_duties import fill_test_oil
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal, plain
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.test_rigs.in_words import read_as
from service.pages.test_rigs.places import REGISTER, place_of, rig_of
from service.pages.typed_forms import Typed, TypedForm
from service.records.rig_reads import KnownRig
from service.workshop.test_rig import RigOil

router = APIRouter(prefix=REGISTER)


@dataclass(frozen=True)
class OilChangePage:
    """The form of one filling."""

    page: Frame
    code: str
    back: str
    action: str
    form_key: str
    form: FormState


@router.get("/{code:path}/oil/new")
def show_oil(request: Request, code: str, actor: Actor = AtBench) -> Response:
    """The same oil again, changed today, is what is offered."""
    shop = shop_of(request)
    known = rig_of(shop, code)
    return _page(request, actor, known, FormState(_same_again(known.rig.oil, shop.today)), new_form_key())


@router.post("/{code:path}/oil")
def record_oil(request: Request, code: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record the filling."""
    shop = shop_of(request)
    known = rig_of(shop, code)
    try:
        fill_test_oil(
            shop,
            actor,
            typed.form,
            code=known.rig.code,
            name=typed.text("oil_name"),
            viscosity_mm2_s=_number(typed, "viscosity_mm2_s", "viscosity", "mm²/s"),
            bulk_modulus_gpa=_modulus(typed),
            changed_on=typed.day("changed_on", "Changed on"),
        )
    except DomainError as error:
        key = typed.text("form_key") or new_form_key()
        return _page(request, actor, known, typed.shown(error), key, status_of_form(error))
    return see_other(place_of(known.rig.code), request)


def _modulus(typed: Typed) -> Decimal | None:
    name = "bulk_modulus_gpa"
    return _number(typed, name, "bulk modulus", "GPa") if typed.text(name) else None


def _number(typed: Typed, name: str, words: str, unit: str) -> Decimal:
    """In the one unit that the form names, typed with it or without."""
    return read_as(words, name, lambda told: parse_decimal(typed.text(name).removesuffix(unit), told))


def _same_again(oil: RigOil | None, today: date) -> dict[str, str | list[str]]:
    values: dict[str, str | list[str]] = {"changed_on": today.isoformat()}
    if oil is not None:
        modulus = oil.bulk_modulus_gpa
        values |= {"oil_name": oil.name, "viscosity_mm2_s": plain(oil.viscosity_mm2_s)}
        values["bulk_modulus_gpa"] = "" if modulus is None else plain(modulus)
    return values


def _page(
    request: Request, actor: Actor, known: KnownRig, form: FormState, form_key: str, status: int = 200
) -> Response:
    renderer, place = renderer_of(request), place_of(known.rig.code)
    context = OilChangePage(
        page=renderer.frame(f"Oil of test rig {known.rig.code}", actor, REGISTER),
        code=known.rig.code,
        back=place,
        action=f"{place}/oil",
        form_key=form_key,
        form=form,
    )
    return renderer.page("test_rigs/oil.html", context, status)

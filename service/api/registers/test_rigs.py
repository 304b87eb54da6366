"""The test rigs: their cards, their oil, their daily checks."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from pydantic import Field
from sqlmodel import Session

from service.actions.recording import Form
from service.actions.rig_duties import fill_test_oil, record_rig_check
from service.actions.shop import Actor, NotFound, Refused, Shop
from service.actions.test_rigs import RigCard, save_test_rig
from service.api.bodies import Answer, Body, Count, FormKey, InPath, Name, Number, Text, Yes, quantity
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.api.registers.rig_answers import (
    RigAnswer,
    RigCheckAnswer,
    RigFillingAnswer,
    check_answer,
    filling_answer,
    rig_answer,
)
from service.metrology.typed_numbers import parse_decimal
from service.records.rig_reads import check_of_form, known_rig, known_rigs, past_checks, past_fillings, rig_row
from service.records.tables import TestRigRow
from service.workshop.shown_pressure import typed_pressure_bar
from service.workshop.test_rig import BlankedLine, ClampSprings

router = APIRouter(prefix="/test-rigs", tags=["registers"], route_class=ExactRoute)

Newest = Annotated[int, Query(ge=1, le=200, description="At most so many, newest first.")]


class RigBody(Body):
    """A rig's card. `unit` is what its dial shows; pressures sent as bare numbers are in bar all the same.

    `springs` 0: it clamps without springs. `volume_cm3` lies under pressure between pump and nozzle.
    """

    description: Text = ""
    unit: Literal["bar", "MPa", "kgf/cm²", "psi"]
    gauges: Annotated[tuple[Name, ...], Field(max_length=20)]
    line_pressure_bar: Number
    line_hold_s: Count
    line_drop_max_bar: Number
    springs: Count = 0
    spring_lower_n: Number | None = None
    spring_upper_n: Number | None = None
    oil_days: Count | None = None
    volume_cm3: Number | None = None
    in_use: Yes = True


class RigAdded(RigBody):
    """A new rig with the code that is marked on it."""

    code: Name


class RigChange(RigBody):
    """The card as it is to be, and the version that was seen."""

    version: Count


class RigFormBody(Body):
    """What every form on a rig carries."""

    form_key: FormKey

    @property
    def form(self) -> Form:
        """For the action."""
        return Form(self.form_key, 0)


class OilBody(RigFormBody):
    """Oil that was put in: viscosity in mm²/s at 40 °C, bulk modulus in GPa."""

    name: Name
    viscosity_mm2_s: Number
    bulk_modulus_gpa: Number | None = None
    changed_on: date


class RigCheckBody(RigFormBody):
    """The blanked line with the rig's gauge, and the force of each clamp spring where the rig has them."""

    gauge: Name
    start_bar: Number
    end_bar: Number
    held_s: Count
    forces_n: Annotated[tuple[Number, ...], Field(max_length=20)] = ()
    tester: Name = ""
    remark: Text = ""


class RigList(Answer):
    """Every rig, those out of use last."""

    items: list[RigAnswer]


class RigCheckList(Answer):
    """Checks, newest first."""

    items: list[RigCheckAnswer]


class RigFillingList(Answer):
    """Fillings of oil, newest first."""

    items: list[RigFillingAnswer]


@router.get("", operation_id="list_test_rigs", responses=READS)
def list_rigs(actor: Actor = AtBench, shop: Shop = TheShop) -> RigList:
    """Every test rig as it stands today."""
    with shop.store.reading() as session:
        return RigList(items=[rig_answer(known) for known in known_rigs(session, shop.today)])


@router.post("", status_code=201, operation_id="add_test_rig", responses=WRITES)
def add_rig(body: RigAdded, actor: Actor = Manager, shop: Shop = TheShop) -> RigAnswer:
    """Add a test rig. A run on it is indicative until a check of that day was good."""
    return _read(shop, save_test_rig(shop, actor, _card(body, body.code)))


@router.get("/{code}", operation_id="read_test_rig", responses=READS)
def read_rig(code: InPath, actor: Actor = AtBench, shop: Shop = TheShop) -> RigAnswer:
    """One test rig as it stands today."""
    return _read(shop, code)


@router.put("/{code}", operation_id="change_test_rig", responses=WRITES)
def change_rig(code: InPath, body: RigChange, actor: Actor = Manager, shop: Shop = TheShop) -> RigAnswer:
    """Correct the card that was seen at `version`, or take the rig out of use."""
    return _read(shop, save_test_rig(shop, actor, _card(body, code), version=body.version))


@router.get("/{code}/oil", operation_id="list_test_rig_oil", responses=READS)
def list_oil(code: InPath, limit: Newest = 50, actor: Actor = AtBench, shop: Shop = TheShop) -> RigFillingList:
    """What oil was put into the rig, newest first."""
    with shop.store.reading() as session:
        found = past_fillings(session, _row(session, code), limit)
        return RigFillingList(items=[filling_answer(one) for one in found])


@router.post("/{code}/oil", status_code=201, operation_id="fill_test_rig", responses=WRITES)
def fill(code: InPath, body: OilBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RigAnswer:
    """Record that the rig's oil was changed."""
    modulus = body.bulk_modulus_gpa
    fill_test_oil(
        shop,
        actor,
        body.form,
        code=code,
        name=body.name,
        viscosity_mm2_s=parse_decimal(body.viscosity_mm2_s, "viscosity_mm2_s"),
        bulk_modulus_gpa=None if modulus is None else parse_decimal(modulus, "bulk_modulus_gpa"),
        changed_on=body.changed_on,
    )
    return _read(shop, code)


@router.get("/{code}/checks", operation_id="list_test_rig_checks", responses=READS)
def list_checks(code: InPath, limit: Newest = 50, actor: Actor = AtBench, shop: Shop = TheShop) -> RigCheckList:
    """The daily checks of the rig, newest first."""
    with shop.store.reading() as session:
        found = past_checks(session, _row(session, code), limit)
        return RigCheckList(items=[check_answer(one) for one in found])


@router.post("/{code}/checks", status_code=201, operation_id="check_test_rig", responses=WRITES)
def check(code: InPath, body: RigCheckBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RigCheckAnswer:
    """Record the daily check; each line comes back with its verdict and reason."""
    record_rig_check(
        shop,
        actor,
        body.form,
        code=code,
        gauge=body.gauge,
        start_bar=typed_pressure_bar(body.start_bar, "bar", "start_bar"),
        end_bar=typed_pressure_bar(body.end_bar, "bar", "end_bar"),
        held_s=body.held_s,
        forces_n=tuple(quantity(force, None, "N", "forces_n") for force in body.forces_n),
        tester=body.tester,
        remark=body.remark,
    )
    with shop.store.reading() as session:
        found = check_of_form(session, _row(session, code), body.form_key)
    if found is None:
        raise Refused("form-key", "This form key was used for another record: make a new one.", "form_key")
    return check_answer(found)


def _card(body: RigBody, code: str) -> RigCard:
    volume = body.volume_cm3
    return RigCard(
        code=code,
        description=body.description,
        unit=body.unit,
        gauges=body.gauges,
        line=BlankedLine(
            pressure_bar=typed_pressure_bar(body.line_pressure_bar, "bar", "line_pressure_bar"),
            hold_s=body.line_hold_s,
            drop_max_bar=typed_pressure_bar(body.line_drop_max_bar, "bar", "line_drop_max_bar"),
        ),
        springs=_springs(body) if body.springs else None,
        oil_days=body.oil_days,
        volume_cm3=None if volume is None else quantity(volume, None, "ml", "volume_cm3"),
        in_use=body.in_use,
    )


def _springs(body: RigBody) -> ClampSprings:
    lower, upper = _force(body.spring_lower_n, "spring_lower_n"), _force(body.spring_upper_n, "spring_upper_n")
    return ClampSprings(count=body.springs, lower_n=lower, upper_n=upper)


def _force(typed: str | None, field: str) -> Decimal:
    return quantity(typed or "", None, "N", field)


def _row(session: Session, code: str) -> TestRigRow:
    row = rig_row(session, code.strip().upper())
    if row is None:
        raise NotFound("no-rig", f"There is no test rig {code}.")
    return row


def _read(shop: Shop, code: str) -> RigAnswer:
    with shop.store.reading() as session:
        return rig_answer(known_rig(session, _row(session, code), shop.today))

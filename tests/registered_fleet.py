"""The register that the tests of the actions start from: people, two fleets, one type, instruments. All invented."""

import itertools
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from service.actions.accounts import actor_by_login, add_person
from service.actions.calibrations import record_calibration
from service.actions.fleets import save_engine, save_injector_type, save_operator, save_vessel
from service.actions.instruments import save_instrument
from service.actions.recording import Form
from service.actions.rig_duties import fill_test_oil, record_rig_check
from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Actor, Shop
from service.actions.test_rigs import RigCard, save_test_rig
from service.records.sheet_file import sheet_to_json
from service.records.store import Store
from service.workshop.calibration import FoundState
from service.workshop.measurements import InstrumentUse
from service.workshop.test_rig import BlankedLine
from service.workshop.vocabulary import Disposition, Role
from tests.signing_keys import keyring
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET, TYPE_CODE

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
RIG = "RIG-1"
_checks = itertools.count(1)
PASSWORD = "a long enough word"  # noqa: S105 - of invented people
IMO, OTHER_IMO = "9000003", "9000015"
"""Valid by their check digits, chosen by arithmetic; not taken from any ship."""

RIG_CARD = RigCard(
    code=RIG,
    description="Invented rig",
    unit="bar",
    gauges=("GAUGE-1",),
    line=BlankedLine(pressure_bar=Decimal(400), hold_s=60, drop_max_bar=Decimal(10)),
    springs=None,
    oil_days=None,
    volume_cm3=None,
)


@dataclass
class Clock:
    """A clock that stands still until it is moved."""

    moment: datetime = START

    def __call__(self) -> datetime:
        """Now."""
        return self.moment

    def advance(self, **by: float) -> None:
        """Move it on, by timedelta's words."""
        self.moment += timedelta(**by)


@dataclass(frozen=True)
class Fleet:
    """Who and what is registered."""

    technician: Actor
    second_technician: Actor
    manager: Actor
    second_manager: Actor
    office: Actor
    other_office: Actor
    operator_id: int
    other_operator_id: int
    vessel_id: int
    engine_id: int
    other_engine_id: int
    type_id: int
    imo: str = IMO
    other_imo: str = OTHER_IMO
    password: str = field(default=PASSWORD, repr=False)


def shop_over(store: Store, clock: Clock | None = None) -> Shop:
    """The workshop over that store."""
    return Shop(
        store=store,
        now=clock or Clock(),
        name="Invented Injector Works",
        address="Quay 1, Nowhere",
        public_origin="http://127.0.0.1:8000",
        keyring=keyring(),
    )


def register_fleet(store: Store) -> Fleet:
    """Fill an empty migrated database with the register."""
    shop = shop_over(store)
    first = _person(shop, "manager", "Mara Manager", Role.MANAGER)
    operator_id = save_operator(
        shop, first, name="Northern Invented Lines", standing_order=frozenset({Disposition.REWORK})
    )
    other_operator_id = save_operator(shop, first, name="Southern Invented Lines")
    type_id = save_injector_type(shop, first, code=TYPE_CODE, name="Small injector for tests")
    import_sheet(shop, first, sheet_to_json(SMALL_SHEET), type_code=TYPE_CODE)
    approve_draft(shop, first, type_code=TYPE_CODE, version=1)
    vessel_id = save_vessel(shop, first, operator_id=operator_id, name="Invented Star", imo=IMO)
    other_vessel = save_vessel(shop, first, operator_id=other_operator_id, name="Invented Moon", imo=OTHER_IMO)
    engines = [
        save_engine(
            shop,
            first,
            vessel_id=vessel,
            designation="Main engine",
            cylinders=6,
            injectors_per_cylinder=2,
            injector_type_id=type_id,
        )
        for vessel in (vessel_id, other_vessel)
    ]
    for use in INSTRUMENTS.values():
        register_instrument(shop, first, use)
    technician = _person(shop, "tech", "Tove Technician", Role.TECHNICIAN)
    register_rig(shop, first)
    check_the_rig(shop, technician)
    return Fleet(
        technician=technician,
        second_technician=_person(shop, "tech2", "Timo Technician", Role.TECHNICIAN),
        manager=first,
        second_manager=_person(shop, "manager2", "Milo Manager", Role.MANAGER),
        office=_person(shop, "office", "Olga Office", Role.OFFICE, "Northern Invented Lines"),
        other_office=_person(shop, "office2", "Otto Office", Role.OFFICE, "Southern Invented Lines"),
        operator_id=operator_id,
        other_operator_id=other_operator_id,
        vessel_id=vessel_id,
        engine_id=engines[0],
        other_engine_id=engines[1],
        type_id=type_id,
    )


def register_rig(shop: Shop, manager: Actor) -> None:
    """The one rig with its gauge, filled with invented oil."""
    save_test_rig(shop, manager, RIG_CARD)
    oil = {"name": "Invented test oil", "viscosity_mm2_s": Decimal("2.6"), "bulk_modulus_gpa": None}
    fill_test_oil(shop, manager, Form("rig-oil-first", 0), code=RIG, changed_on=date(2026, 1, 12), **oil)


def check_the_rig(shop: Shop, technician: Actor, end_bar: str = "398") -> None:
    """The daily check, good unless the blanked line loses more than it may."""
    form = Form(f"rig-check-{next(_checks):06d}", 0)
    read = {"start_bar": Decimal(400), "end_bar": Decimal(end_bar), "held_s": 60}
    record_rig_check(shop, technician, form, code=RIG, gauge="GAUGE-1", **read)


def register_instrument(shop: Shop, manager: Actor, use: InstrumentUse) -> None:
    """Add the instrument with one calibration, as `use` tells them."""
    save_instrument(
        shop,
        manager,
        code=use.code,
        kind=use.kind,
        unit=use.unit,
        lower=use.lower,
        upper=use.upper,
        resolution=use.resolution,
        repeatability=use.repeatability,
        repeatability_readings=use.repeatability_readings,
    )
    assert use.calibrated_on is not None
    record_calibration(
        shop,
        manager,
        code=use.code,
        certificate=use.calibration,
        calibrated_on=use.calibrated_on,
        due=use.due,
        laboratory="Invented Calibration Laboratory",
        expanded_uncertainty=use.expanded_uncertainty,
        k=use.k,
        found=FoundState.WITHIN,
        version=1,
    )


def _person(shop: Shop, login: str, name: str, role: Role, operator: str = "") -> Actor:
    add_person(shop, None, login=login, name=name, role=role, password=PASSWORD, operator=operator)
    with shop.store.reading() as session:
        return actor_by_login(session, login)

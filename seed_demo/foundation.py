"""What the scenario stands on: people, fleets, injector types with approved sheets, instruments."""

from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from seed_demo.cast import KARL, MIRA, OPERATORS, PEOPLE, TWO_STROKE, TYPE_NAMES, CastPerson
from seed_demo.clock import Clock
from seed_demo.instruments import fill_register
from seed_demo.rigs import register_rigs
from service.actions.accounts import actor_by_login, add_person
from service.actions.fleets import save_engine, save_injector_type, save_operator, save_vessel
from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Actor, Shop
from service.records.registers import draft_sheet, type_by_code
from service.records.sheet_file import sheet_from_json, sheet_to_json
from service.workshop.limit_sheet import OvalityCharacteristic

SHEET_FILES = Path(__file__).resolve().parent / "limit_sheets"
YEARS_AGO_DAYS = 900


@dataclass(frozen=True)
class Foundation:
    """The shop of the scenario with its clock, its people as actors, and engine ids by vessel and designation."""

    shop: Shop
    clock: Clock
    actors: dict[str, Actor]
    engines: dict[tuple[str, str], int]

    def actor(self, person: CastPerson) -> Actor:
        """That person as an actor."""
        return self.actors[person.login]


def sheet_file(type_code: str) -> Path:
    """The invented limit sheet of that type."""
    return SHEET_FILES / f"{type_code.lower()}.json"


def lay_foundation(shop: Shop, clock: Clock) -> Foundation:
    """Fill the reference records, as the two managers would have done before the first injector came."""
    clock.at(YEARS_AGO_DAYS)
    add_person(shop, None, login=MIRA.login, name=MIRA.name, role=MIRA.role, password=MIRA.password)
    mira = _actor(shop, MIRA)
    operators = {
        one.name: save_operator(shop, mira, name=one.name, contact=one.contact, standing_order=one.standing_order)
        for one in OPERATORS
    }
    for person in PEOPLE:
        if person is not MIRA:
            add_person(
                shop,
                mira,
                login=person.login,
                name=person.name,
                role=person.role,
                password=person.password,
                operator=person.operator,
            )
    actors = {person.login: _actor(shop, person) for person in PEOPLE}
    fill_register(shop, actors[KARL.login], clock, YEARS_AGO_DAYS)
    register_rigs(shop, actors[KARL.login], clock, YEARS_AGO_DAYS)
    types = {code: _type_with_sheet(shop, actors[KARL.login], code, name) for code, name in TYPE_NAMES.items()}
    return Foundation(shop, clock, actors, _fleets(shop, mira, operators, types))


def _actor(shop: Shop, person: CastPerson) -> Actor:
    with shop.store.reading() as session:
        return actor_by_login(session, person.login)


def _type_with_sheet(shop: Shop, manager: Actor, code: str, name: str) -> int:
    type_id = save_injector_type(shop, manager, code=code, name=name)
    text = sheet_file(code).read_text(encoding="utf-8")
    approve_sheet(shop, manager, code, before_its_revision(text) if code == TWO_STROKE else text)
    return type_id


def before_its_revision(text: str) -> str:
    """The sheet as it was under the earlier issue of its invented instruction: a longer ovality limit."""
    sheet = sheet_from_json(text)
    characteristics = tuple(
        replace(item, limit=Decimal("0.030")) if isinstance(item, OvalityCharacteristic) else item
        for item in sheet.characteristics
    )
    return sheet_to_json(replace(sheet, document_revision="B", characteristics=characteristics))


def approve_sheet(shop: Shop, manager: Actor, code: str, text: str) -> None:
    """Import a sheet file and put it in force."""
    import_sheet(shop, manager, text, type_code=code)
    with shop.store.reading() as session:
        kind = type_by_code(session, code)
        draft = draft_sheet(session, kind.id or 0) if kind else None
    assert draft is not None, f"the sheet of {code} was imported a moment ago"
    approve_draft(shop, manager, type_code=code, version=draft.version)


def _fleets(shop: Shop, manager: Actor, operators: dict[str, int], types: dict[str, int]) -> dict[tuple[str, str], int]:
    engines: dict[tuple[str, str], int] = {}
    for operator in OPERATORS:
        for vessel in operator.vessels:
            vessel_id = save_vessel(
                shop, manager, operator_id=operators[operator.name], name=vessel.name, imo=vessel.imo
            )
            for engine in vessel.engines:
                engines[vessel.name, engine.designation] = save_engine(
                    shop,
                    manager,
                    vessel_id=vessel_id,
                    designation=engine.designation,
                    cylinders=engine.cylinders,
                    injectors_per_cylinder=engine.injectors_per_cylinder,
                    injector_type_id=types[engine.injector_type],
                )
    return engines

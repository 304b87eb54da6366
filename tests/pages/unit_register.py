"""More units for the unit's pages: a second type, another fleet's injectors, many at once. All invented."""

from datetime import date

from service.actions.fleets import save_engine, save_injector_type
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Shop
from service.records.sheet_file import sheet_to_json
from service.workshop.vocabulary import Fuel, Packing, SendReason
from tests.registered_fleet import IMO, OTHER_IMO, Fleet
from tests.small_sheet import SMALL_SHEET


def receive(shop: Shop, fleet: Fleet, *serials: str, imo: str = IMO, engine_id: int | None = None) -> tuple[str, ...]:
    """Receive these from one vessel; gives the overhauls' numbers."""
    engine = engine_id or (fleet.engine_id if imo == IMO else fleet.other_engine_id)
    injectors = tuple(
        InjectorReceived(
            serial=serial,
            engine_id=engine,
            cylinder=1,
            fuel=Fuel.RESIDUAL,
            reason=SendReason.PLANNED,
            packing=Packing.SOUND,
        )
        for serial in serials
    )
    made = receive_consignment(
        shop,
        fleet.technician,
        imo=imo,
        due_on=date(2026, 3, 20),
        injectors=injectors,
        form_key=f"crate-{imo}-{engine}-{serials[0].replace(' ', '')}",
    )
    return made.overhauls


def receive_from_other_fleet(shop: Shop, fleet: Fleet, *serials: str) -> tuple[str, ...]:
    """Receive these from the other operator's vessel."""
    return receive(shop, fleet, *serials, imo=OTHER_IMO)


def second_type(shop: Shop, fleet: Fleet, code: str = "SMALL-2") -> int:
    """Another type with an engine for it on the first vessel; gives the engine."""
    type_id = save_injector_type(shop, fleet.manager, code=code, name="Another small injector")
    sheet = sheet_to_json(SMALL_SHEET).replace('"injector_type": "SMALL-1"', f'"injector_type": "{code}"')
    import_sheet(shop, fleet.manager, sheet, type_code=code)
    approve_draft(shop, fleet.manager, type_code=code, version=1)
    return save_engine(
        shop,
        fleet.manager,
        vessel_id=fleet.vessel_id,
        designation="Second engine",
        cylinders=6,
        injectors_per_cylinder=1,
        injector_type_id=type_id,
    )

"""What the ship's office reads of its own fleet: plain SQL into small dataclasses, the same on both databases."""

from dataclasses import dataclass

from service.records.store import Store

LONGEST_LIST = 300


@dataclass(frozen=True, slots=True)
class FleetVessel:
    """A vessel of the fleet."""

    vessel_id: int
    name: str
    imo_number: str


@dataclass(frozen=True, slots=True)
class InShop:
    """One injector in the shop. Days and moments in their stored form."""

    vessel_id: int
    serial: str
    type_code: str
    overhaul: str
    stage: str
    held: bool
    received_at: str
    due_on: str
    cylinder: int
    position: str


@dataclass(frozen=True, slots=True)
class WentBack:
    """One injector released lately; `certificate` is '' where none was issued."""

    serial: str
    type_code: str
    vessel: str
    closed_at: str
    certificate: str


# CROSS JOIN keeps the order of the tables: from the fleet's vessels to what is open of them, never through all units.
_OPEN = (
    "SELECT v.id, u.serial, t.code, o.number, o.stage, o.held, c.received_at, c.due_on, o.cylinder, o.position "
    "FROM vessel v CROSS JOIN consignment c CROSS JOIN overhaul o CROSS JOIN unit u CROSS JOIN injector_type t "
    "WHERE v.operator_id = ? AND c.vessel_id = v.id AND o.consignment_id = c.id AND o.closed_at IS NULL "
    "AND u.id = o.unit_id AND t.id = u.injector_type_id ORDER BY c.due_on, v.name, o.id LIMIT ?"
)
_RELEASED = (
    "SELECT u.serial, t.code, v.name, o.closed_at, k.number "
    "FROM vessel v CROSS JOIN consignment c CROSS JOIN overhaul o CROSS JOIN unit u CROSS JOIN injector_type t "
    "LEFT JOIN certificate k ON k.overhaul_id = o.id "
    "AND NOT EXISTS (SELECT 1 FROM certificate_end x WHERE x.certificate_id = k.id) "
    "WHERE v.operator_id = ? AND c.vessel_id = v.id AND c.received_at >= ? AND o.consignment_id = c.id "
    "AND o.closed_at >= ? AND o.stage = 'released' AND u.id = o.unit_id AND t.id = u.injector_type_id "
    "ORDER BY o.closed_at DESC, o.id DESC LIMIT ?"
)


def fleet_vessels(store: Store, operator_id: int) -> list[FleetVessel]:
    """The operator's vessels by name."""
    rows = store.rows("SELECT id, name, imo_number FROM vessel WHERE operator_id = ? ORDER BY name, id", (operator_id,))
    return [FleetVessel(*row) for row in rows]


def fleet_in_shop(store: Store, operator_id: int) -> list[InShop]:
    """The fleet's injectors now in the shop, the soonest promised first, at most one more than LONGEST_LIST."""
    rows = store.rows(_OPEN, (operator_id, LONGEST_LIST + 1))
    return [
        InShop(vessel, serial, code, number, stage, bool(held), received, str(due), cylinder, position)
        for vessel, serial, code, number, stage, held, received, due, cylinder, position in rows
    ]


def fleet_released(store: Store, operator_id: int, *, since: str, received_since: str, most: int) -> list[WentBack]:
    """The fleet's injectors released since that moment, newest first; `received_since` bounds the search."""
    rows = store.rows(_RELEASED, (operator_id, received_since, since, most))
    return [
        WentBack(serial, code, vessel, closed, certificate or "") for serial, code, vessel, closed, certificate in rows
    ]

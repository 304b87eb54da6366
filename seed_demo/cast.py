"""The invented people, fleets and vessels that the demo and the tests share. None of them exists.

The passwords are for the demonstration only: they are printed for everybody to see.
"""

from dataclasses import dataclass

from service.workshop.imo_number import expected_check_digit
from service.workshop.vocabulary import Disposition, Role

WORKSHOP_NAME = "Demonstration workshop (invented)"
WORKSHOP_ADDRESS = "1 Invented Quay, Nowhere Harbour: a demonstration, not a real workshop"

TWO_STROKE = "TWO-STROKE-A"
FOUR_STROKE = "FOUR-STROKE-B"
AUXILIARY = "AUXILIARY-C"

TYPE_NAMES = {
    TWO_STROKE: "Fuel injector of a two-stroke main engine (invented)",
    FOUR_STROKE: "Fuel injector of a four-stroke main engine (invented)",
    AUXILIARY: "Fuel injector of an auxiliary engine (invented)",
}


@dataclass(frozen=True, kw_only=True)
class CastPerson:
    """Somebody of the demonstration, with the password that everybody may know."""

    login: str
    name: str
    role: Role
    password: str
    operator: str = ""


@dataclass(frozen=True, kw_only=True)
class CastEngine:
    """An engine of an invented vessel."""

    designation: str
    cylinders: int
    injectors_per_cylinder: int
    injector_type: str


@dataclass(frozen=True, kw_only=True)
class CastVessel:
    """An invented vessel; `first_six` are invented digits that the check digit completes."""

    name: str
    first_six: str
    engines: tuple[CastEngine, ...]

    @property
    def imo(self) -> str:
        """Seven digits that pass the check of IMO Resolution A.1117(30)."""
        return f"{self.first_six}{expected_check_digit(self.first_six)}"


@dataclass(frozen=True, kw_only=True)
class CastOperator:
    """An invented operator with its fleet and what it lets the workshop do without asking."""

    name: str
    contact: str
    standing_order: frozenset[Disposition]
    vessels: tuple[CastVessel, ...]


_MAIN_TWO_STROKE = CastEngine(
    designation="Main engine, 6 cylinders", cylinders=6, injectors_per_cylinder=2, injector_type=TWO_STROKE
)
_AUXILIARY_1 = CastEngine(
    designation="Auxiliary engine 1, 6 cylinders", cylinders=6, injectors_per_cylinder=1, injector_type=AUXILIARY
)
_AUXILIARY_2 = CastEngine(
    designation="Auxiliary engine 2, 6 cylinders", cylinders=6, injectors_per_cylinder=1, injector_type=AUXILIARY
)
_MAIN_PORT = CastEngine(
    designation="Main engine port, 8 cylinders", cylinders=8, injectors_per_cylinder=1, injector_type=FOUR_STROKE
)
_MAIN_STARBOARD = CastEngine(
    designation="Main engine starboard, 8 cylinders", cylinders=8, injectors_per_cylinder=1, injector_type=FOUR_STROKE
)

ALDER = CastOperator(
    name="Alder Carriers (invented)",
    contact="olga@alder.invalid",
    standing_order=frozenset({Disposition.REWORK, Disposition.REPLACE}),
    vessels=(
        CastVessel(name="Alder One", first_six="950001", engines=(_MAIN_TWO_STROKE, _AUXILIARY_1)),
        CastVessel(name="Alder Two", first_six="950012", engines=(_MAIN_TWO_STROKE, _AUXILIARY_1, _AUXILIARY_2)),
        CastVessel(name="Alder Three", first_six="950023", engines=(_MAIN_TWO_STROKE,)),
    ),
)
BIRCH = CastOperator(
    name="Birch Ferries (invented)",
    contact="ben@birch.invalid",
    standing_order=frozenset({Disposition.REWORK}),
    vessels=(
        CastVessel(name="Birch Dawn", first_six="950034", engines=(_MAIN_PORT, _MAIN_STARBOARD, _AUXILIARY_1)),
        CastVessel(name="Birch Noon", first_six="950045", engines=(_MAIN_PORT, _MAIN_STARBOARD)),
        CastVessel(name="Birch Dusk", first_six="950056", engines=(_MAIN_PORT, _AUXILIARY_1)),
    ),
)
CEDAR = CastOperator(
    name="Cedar Tankers (invented)",
    contact="fleet@cedar.invalid",
    standing_order=frozenset({Disposition.REWORK, Disposition.REPLACE, Disposition.REPLACE_ASSEMBLY}),
    vessels=(
        CastVessel(name="Cedar Spring", first_six="950067", engines=(_MAIN_TWO_STROKE, _AUXILIARY_1)),
        CastVessel(name="Cedar Autumn", first_six="950078", engines=(_MAIN_TWO_STROKE,)),
    ),
)
OPERATORS = (ALDER, BIRCH, CEDAR)

PETRA = CastPerson(login="petra", name="Petra Anvil", role=Role.TECHNICIAN, password="petra-at-the-bench")
TOM = CastPerson(login="tom", name="Tom Spindle", role=Role.TECHNICIAN, password="tom-at-the-test-rig")
MIRA = CastPerson(login="mira", name="Mira Ledger", role=Role.MANAGER, password="mira-signs-releases")
KARL = CastPerson(login="karl", name="Karl Gauge", role=Role.MANAGER, password="karl-keeps-the-sheets")
OLGA = CastPerson(
    login="olga", name="Olga Fairwater", role=Role.OFFICE, password="olga-of-the-alder-fleet", operator=ALDER.name
)
BEN = CastPerson(
    login="ben", name="Ben Harbour", role=Role.OFFICE, password="ben-of-the-birch-fleet", operator=BIRCH.name
)
PEOPLE = (PETRA, TOM, MIRA, KARL, OLGA, BEN)

"""The invented register of instruments: every kind, one overdue, one that failed its calibration, one withdrawn."""

from dataclasses import dataclass
from decimal import Decimal

from seed_demo.calibrations import INTERVAL_DAYS, record_history
from seed_demo.clock import Clock
from service.actions.instruments import save_instrument, withdraw_instrument
from service.actions.shop import Actor, Shop
from service.records.registers import instrument_by_code
from service.workshop.vocabulary import InstrumentKind

BENCH_ONE, BENCH_TWO, CABINET = "Bench 1", "Bench 2", "Cabinet in the measuring room"


@dataclass(frozen=True)
class Invented:
    """One instrument with the uncertainty of its calibrations, the last of which runs out so many days from now."""

    code: str
    kind: InstrumentKind
    description: str
    unit: str
    expanded_uncertainty: str
    due_in_days: int
    lower: str = ""
    upper: str = ""
    resolution: str = ""
    location: str = BENCH_ONE
    interval_days: int = INTERVAL_DAYS
    drifted: bool = False
    """Found out of limits at its last calibration."""
    withdrawn: str = ""
    """Why it is not used any more."""


_KIND = InstrumentKind
REGISTER = (
    Invented("MM-01", _KIND.MICROMETER, "Micrometer", "mm", "0.002", 120, "0", "25", "0.001"),
    Invented("BG-01", _KIND.BORE_GAUGE, "Bore gauge with setting rings", "mm", "0.0015", 95, "4", "14", "0.001"),
    Invented("BG-02", _KIND.BORE_GAUGE, "Small hole gauge", "mm", "0.002", 200, "0.3", "1.5", "0.001", BENCH_TWO),
    Invented("BG-03", _KIND.BORE_GAUGE, "Bore gauge, coarse", "mm", "0.006", 60, "4", "14", "0.002", BENCH_TWO),
    Invented("PS-01", _KIND.PIN_SET, "Gauge pins 0.20 to 1.20 mm in steps of 0.01", "mm", "0.001", 300),
    Invented("MS-01", _KIND.MICROSCOPE, "Stereo microscope 6 to 40 times", "mm", "0", 400, interval_days=730),
    Invented("SP-01", _KIND.SPRING_TESTER, "Spring tester to 5 kN", "N/mm", "1.5", 80, "1", "500", "0.1", BENCH_TWO),
    Invented("FT-01", _KIND.SPRING_TESTER, "Force tester of the rigs", "N", "12", 170, "0", "5000", "1", "Test rig 1"),
    Invented("HG-01", _KIND.HEIGHT_GAUGE, "Height gauge with plate", "mm", "0.005", 150, "0", "300", "0.001", CABINET),
    Invented("RI-01", _KIND.ROUNDNESS_INSTRUMENT, "Roundness instrument", "mm", "0.0004", 210, "0", "0.5", "", CABINET),
    Invented("TW-01", _KIND.TORQUE_WRENCH, "Torque wrench", "N·m", "6", 45, "40", "400", "1", CABINET),
    Invented(
        "PG-01", _KIND.PRESSURE_GAUGE, "Pressure gauge of test rig 1", "bar", "2", 30, "0", "600", "1", "Test rig 1"
    ),
    Invented(
        "PG-02", _KIND.PRESSURE_GAUGE, "Pressure gauge of test rig 2", "bar", "3", 12, "0", "600", "2", "Test rig 2"
    ),
    Invented(
        "MC-01",
        _KIND.MEASURING_CYLINDER,
        "Measuring cylinder, 25 ml",
        "ml",
        "0.15",
        220,
        "0",
        "25",
        "0.2",
        "Test rig 1",
    ),
    Invented("MM-02", _KIND.MICROMETER, "Micrometer, overdue", "mm", "0.003", -9, "0", "25", "0.001", CABINET),
    Invented("MM-03", _KIND.MICROMETER, "Micrometer", "mm", "0.002", 340, "0", "25", "0.001", CABINET, drifted=True),
    Invented(
        "BG-09", _KIND.BORE_GAUGE, "Bore gauge", "mm", "0.002", 40, "4", "14", "0.001", CABINET, withdrawn="Dropped"
    ),
)
REPEATS = {
    "MM-01": ("0.0004", 20),
    "BG-01": ("0.0005", 20),
    "BG-02": ("0.0004", 15),
    "BG-03": ("0.0015", 12),
    "SP-01": ("0.3", 12),
    "HG-01": ("0.0012", 15),
    "MM-02": ("0.0006", 10),
}
"""Standard deviation of so many repeats of one place; nobody has repeated readings with the others yet."""

USUAL = {
    InstrumentKind.MICROMETER: "MM-01",
    InstrumentKind.BORE_GAUGE: "BG-01",
    InstrumentKind.PIN_SET: "PS-01",
    InstrumentKind.MICROSCOPE: "MS-01",
    InstrumentKind.SPRING_TESTER: "SP-01",
    InstrumentKind.HEIGHT_GAUGE: "HG-01",
    InstrumentKind.ROUNDNESS_INSTRUMENT: "RI-01",
    InstrumentKind.TORQUE_WRENCH: "TW-01",
    InstrumentKind.PRESSURE_GAUGE: "PG-01",
    InstrumentKind.MEASURING_CYLINDER: "MC-01",
}
"""The instrument that the demonstration's people take for each kind."""
PINS = tuple(Decimal(hundredths) / 100 for hundredths in range(20, 121))
"""Nominal sizes (mm) of the one set of pins."""
FAILED = "MM-03"
"""It was found out of limits after it had measured needles that are at sea again: its recall has something to tell."""


def fill_register(shop: Shop, manager: Actor, clock: Clock, founded_days_ago: int) -> None:
    """Register every instrument when the shop was founded, and its calibrations from then to the clock's end."""
    for one in REGISTER:
        save_instrument(
            shop,
            manager,
            code=one.code,
            kind=one.kind,
            description=f"{one.description} (invented)",
            unit=one.unit,
            lower=_decimal(one.lower),
            upper=_decimal(one.upper),
            resolution=_decimal(one.resolution),
            repeatability=_decimal(REPEATS.get(one.code, ("", 0))[0]),
            repeatability_readings=REPEATS.get(one.code, ("", None))[1],
            location=one.location,
            pins=PINS if one.kind is InstrumentKind.PIN_SET else (),
        )
        record_history(shop, manager, clock, one, founded_days_ago, PINS)
        if one.withdrawn:
            withdraw_instrument(shop, manager, code=one.code, reason=one.withdrawn, version=version_of(shop, one.code))
        clock.at(founded_days_ago)


def version_of(shop: Shop, code: str) -> int:
    """The version of the instrument's entry now."""
    with shop.store.reading() as session:
        row = instrument_by_code(session, code)
    assert row is not None, f"{code} was registered a moment ago"
    return row.version


def _decimal(text: str) -> Decimal | None:
    return Decimal(text) if text else None

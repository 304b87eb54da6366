"""The invented register of instruments: every kind, one overdue for calibration, one withdrawn."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from service.actions.instruments import save_instrument
from service.actions.shop import Actor, Shop
from service.workshop.vocabulary import InstrumentKind


@dataclass(frozen=True)
class _Invented:
    code: str
    kind: InstrumentKind
    description: str
    unit: str
    expanded_uncertainty: str
    due_in_days: int
    active: bool = True


_REGISTER = (
    _Invented("MM-01", InstrumentKind.MICROMETER, "Micrometer 0 to 25 mm", "mm", "0.002", 120),
    _Invented("BG-01", InstrumentKind.BORE_GAUGE, "Bore gauge 4 to 14 mm with setting rings", "mm", "0.0015", 95),
    _Invented("BG-02", InstrumentKind.BORE_GAUGE, "Small hole gauge 0.3 to 1.5 mm", "mm", "0.002", 200),
    _Invented("BG-03", InstrumentKind.BORE_GAUGE, "Bore gauge 4 to 14 mm, coarse", "mm", "0.006", 60),
    _Invented("PS-01", InstrumentKind.PIN_SET, "Gauge pins 0.20 to 1.20 mm in steps of 0.01", "mm", "0.001", 300),
    _Invented("MS-01", InstrumentKind.MICROSCOPE, "Stereo microscope 6 to 40 times", "mm", "0", 400),
    _Invented("SP-01", InstrumentKind.SPRING_TESTER, "Spring tester to 5 kN", "N/mm", "1.5", 80),
    _Invented("HG-01", InstrumentKind.HEIGHT_GAUGE, "Height gauge with plate", "mm", "0.005", 150),
    _Invented("TW-01", InstrumentKind.TORQUE_WRENCH, "Torque wrench 40 to 400 N·m", "N·m", "6", 45),
    _Invented("PG-01", InstrumentKind.PRESSURE_GAUGE, "Pressure gauge of test rig 1, 0 to 600 bar", "bar", "2", 30),
    _Invented("PG-02", InstrumentKind.PRESSURE_GAUGE, "Pressure gauge of test rig 2, 0 to 600 bar", "bar", "3", 12),
    _Invented("MM-02", InstrumentKind.MICROMETER, "Micrometer 0 to 25 mm, overdue", "mm", "0.003", -9),
    _Invented("BG-09", InstrumentKind.BORE_GAUGE, "Bore gauge, dropped and withdrawn", "mm", "0.002", 40, active=False),
)

USUAL = {
    InstrumentKind.MICROMETER: "MM-01",
    InstrumentKind.BORE_GAUGE: "BG-01",
    InstrumentKind.PIN_SET: "PS-01",
    InstrumentKind.MICROSCOPE: "MS-01",
    InstrumentKind.SPRING_TESTER: "SP-01",
    InstrumentKind.HEIGHT_GAUGE: "HG-01",
    InstrumentKind.TORQUE_WRENCH: "TW-01",
    InstrumentKind.PRESSURE_GAUGE: "PG-01",
}
"""The instrument that the demonstration's people take for each kind."""


def fill_register(shop: Shop, manager: Actor, today: date) -> None:
    """Register every instrument, its calibration due so many days from `today`."""
    for one in _REGISTER:
        save_instrument(
            shop,
            manager,
            code=one.code,
            kind=one.kind,
            description=f"{one.description} (invented)",
            unit=one.unit,
            expanded_uncertainty=Decimal(one.expanded_uncertainty),
            calibration=f"INVENTED-{one.code}-{today.year}",
            due=today + timedelta(days=one.due_in_days),
            active=one.active,
        )

"""The two invented test rigs with their oil, and the check that somebody makes before the first run of a day."""

from datetime import timedelta
from decimal import Decimal

from seed_demo.clock import Clock
from service.actions.recording import Form
from service.actions.rig_duties import fill_test_oil, record_rig_check
from service.actions.shop import Actor, Shop
from service.actions.test_rigs import RigCard, save_test_rig
from service.records.rig_reads import known_rig, rig_row
from service.workshop.test_rig import BlankedLine, ClampSprings

USUAL_RIG, SECOND_RIG = "RIG-1", "RIG-2"
GAUGES = {USUAL_RIG: "PG-01", SECOND_RIG: "PG-02"}
FORCE_TESTER = "FT-01"
_OIL_DAYS = 180
_FORCES = (("1590", "1620"), ("1605", "1600"), ("1580", "1612"))
_DROPS = ("2", "3", "1", "4")
_WEEPING = Decimal(24)
"""What the second rig's blanked line lost (bar) on the morning of its bad check."""


def register_rigs(shop: Shop, manager: Actor, clock: Clock, founded_days_ago: int) -> None:
    """Both rigs when the shop was founded, and every filling of oil from then to the clock's end."""
    for code, unit, springs in (
        (USUAL_RIG, "bar", ClampSprings(count=2, lower_n=Decimal(1500), upper_n=Decimal(1700))),
        (SECOND_RIG, "kgf/cm²", None),
    ):
        clock.at(founded_days_ago)
        card = RigCard(
            code=code,
            description="Hand-pumped test rig (invented)",
            unit=unit,
            gauges=(GAUGES[code],),
            line=BlankedLine(pressure_bar=Decimal(400), hold_s=60, drop_max_bar=Decimal(12)),
            springs=springs,
            oil_days=_OIL_DAYS,
            volume_cm3=Decimal(60),
        )
        save_test_rig(shop, manager, card)
        for days_ago in range(founded_days_ago, -1, 20 - _OIL_DAYS):
            clock.at(days_ago, 6)
            fill_test_oil(
                shop,
                manager,
                Form(f"demo-oil-{code}-{days_ago:04d}", 0),
                code=code,
                name="Invented test oil 10",
                viscosity_mm2_s=Decimal("9.8"),
                bulk_modulus_gpa=Decimal("1.5"),
                changed_on=clock.today - timedelta(days=days_ago),
            )
    clock.at(founded_days_ago)


def check_before_the_first_run(shop: Shop, technician: Actor, code: str) -> None:
    """The check of the day where nobody has made it yet; on the second rig it is the one that fails."""
    today = shop.now().date()
    with shop.store.reading() as session:
        row = rig_row(session, code)
        if row is None or known_rig(session, row, today).check is not None:
            return
    start = Decimal(400)
    lost = _WEEPING if code == SECOND_RIG else Decimal(_DROPS[today.toordinal() % len(_DROPS)])
    forces = _FORCES[today.toordinal() % len(_FORCES)] if code == USUAL_RIG else ()
    record_rig_check(
        shop,
        technician,
        Form(f"demo-check-{code}-{today}", 0),
        code=code,
        gauge=GAUGES[code],
        start_bar=start,
        end_bar=start - lost,
        held_s=60,
        forces_n=tuple(Decimal(force) for force in forces),
        tester=FORCE_TESTER if forces else "",
        remark="The relief valve weeps: ordered a new seat." if code == SECOND_RIG else "",
    )

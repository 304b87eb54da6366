"""One entry of every kind, for the tests of narration and of storage."""

from datetime import date
from decimal import Decimal as D

from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    CertificateWithdrawn,
    ConcessionDecided,
    Condemned,
    Content,
    DiscsChanged,
    Examined,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartFitted,
    PartFound,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Returned,
    Stripped,
    Torqued,
)
from service.workshop.examination import examine
from service.workshop.test_rig import RigOil, RigUse
from service.workshop.torque import judge_torque
from service.workshop.vocabulary import Disposition, PartState, Phase, RunPurpose
from tests.small_findings import FAILING, PASSING, REJECTED, SOUND
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET
from tests.workshop.overhaul_by_hand import RULE, judge_step


def _examined(key: str, sound: bool, phase: Phase) -> Examined:
    item = SMALL_SHEET.characteristic_by_key[key]
    measured = (SOUND if sound else REJECTED)[key]
    return Examined(
        characteristic=key, part=item.part, phase=phase, measurement=measured, outcome=examine(item, measured, RULE)
    )


def _step(key: str, passing: bool) -> BenchStepRecorded:
    plan, result = SMALL_SHEET.test_plan, (PASSING if passing else FAILING)[key]
    outcome = judge_step(plan, plan.step_by_key[key], result, INSTRUMENTS["GAUGE-1"], RULE)
    return BenchStepRecorded(run=7, step=key, result=result, outcome=outcome)


_KEEP, _REPLACE = Disposition.KEEP, Disposition.REPLACE
_TORQUE = judge_torque(SMALL_SHEET.torques[0], D("100.50"), INSTRUMENTS["WRENCH-1"], RULE)

EVERY_ENTRY: tuple[Content, ...] = (
    Stripped(parts=(PartFound(part="body", state=PartState.STUCK),), seals_discarded=True, remark="Ölig, 80 °C."),
    *(_examined(key, sound, Phase.FOUND) for key in SOUND for sound in (True, False)),
    _examined("body-seat-width", True, Phase.AFTER_REWORK),
    PartSettled(part="body", proposed=_REPLACE, chosen=_KEEP, reason="Sound enough."),
    PartSettled(part="body", proposed=_KEEP, chosen=_KEEP),
    ConcessionDecided(part="body", chosen=_KEEP, granted=True, reason="Seen."),
    ConcessionDecided(part="body", chosen=_KEEP, granted=False, reason="No."),
    OfficeAnswered(part="body", disposition=_REPLACE, accepted=True, note="Go ahead."),
    OfficeAnswered(part="body", disposition=_REPLACE, accepted=False),
    PartReworked(part="body", method="Ground 0.05 mm."),
    PartFitted(item="nozzle-set", batch="N-1"),
    PartFitted(item="seal-ring", batch="S-1"),
    Torqued(point="nut", value=D("100.50"), wrench=INSTRUMENTS["WRENCH-1"], outcome=_TORQUE),
    DiscsChanged(added=(D("0.10"),), removed=(D("0.050"),), reason="Pressure low."),
    Reopened(reason="It drips."),
    BenchRunStarted(purpose=RunPurpose.AS_FOUND, gauge=INSTRUMENTS["GAUGE-1"]),
    BenchRunStarted(
        purpose=RunPurpose.PROVING,
        gauge=INSTRUMENTS["GAUGE-1"],
        rig=RigUse(
            code="R-1", unit="psi", oil=RigOil(name="Oil", viscosity_mm2_s=D("2.6"), changed_on=date(2026, 3, 1))
        ),
        indicative="Rig R-1 had not been checked on 2026-03-02.",
    ),
    *(_step(key, passing) for key in PASSING for passing in (True, False)),
    Held(reason="Arrears."),
    HoldLifted(reason="Paid."),
    Returned(reason="Owner asks."),
    Condemned(reason="Cracked."),
    Released(certificate="RC-2026-00001", signed_on=date(2026, 3, 3)),
    CertificateWithdrawn(certificate="RC-2026-00001", reason="The gauge of the proving run failed."),
)

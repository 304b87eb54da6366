"""An invented overhaul for the tests of documents. Type, limits, people, ship and results are all made up.

Practice that it follows (reject pin in any one hole, all seals renewed, parts of a matched assembly not replaced
singly, seat dry 50 bar below opening, at most five discs): common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D

from service.documents.certificate_header import CertificateHeader
from service.workshop.bench_judgement import judge_step
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    ConcessionDecided,
    Content,
    DiscsChanged,
    Entry,
    Examined,
    PartFitted,
    PartFound,
    PartReworked,
    PartSettled,
    Stripped,
    Torqued,
)
from service.workshop.examination import examine
from service.workshop.limit_sheet import (
    LimitSheet,
    SizeCharacteristic,
    SizeLimits,
)
from service.workshop.measurements import (
    InstrumentUse,
    Measurement,
    OvalityMeasurement,
    PinMeasurement,
    PinTried,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.step_results import (
    EmissionResult,
    ExternalTightnessResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepResult,
    StrokesResult,
    VentResult,
)
from service.workshop.torque import judge_torque
from service.workshop.vocabulary import Disposition, InstrumentKind, PartState, Phase, RunPurpose
from tests.documents.invented_sheet import SHEET

RULE = DecisionRule()
DUE = date(2026, 11, 30)
MICROMETER = InstrumentUse(
    code="MIC-04", kind=InstrumentKind.MICROMETER, expanded_uncertainty=D("0.002"), unit="mm",
    calibration="K-2026-0117", due=DUE,
)  # fmt: skip
BORE_GAUGE = InstrumentUse(
    code="BG-02", kind=InstrumentKind.BORE_GAUGE, expanded_uncertainty=D("0.0015"), unit="mm",
    calibration="K-2026-0121", due=DUE,
)  # fmt: skip
PINS = InstrumentUse(
    code="PIN-01", kind=InstrumentKind.PIN_SET, expanded_uncertainty=D("0.001"), unit="mm",
    calibration="K-2026-0098", due=DUE,
)  # fmt: skip
MICROSCOPE = InstrumentUse(
    code="SCOPE-1", kind=InstrumentKind.MICROSCOPE, expanded_uncertainty=D(0), unit="mm",
    calibration="K-2026-0033", due=DUE,
)  # fmt: skip
WRENCH = InstrumentUse(
    code="TW-07", kind=InstrumentKind.TORQUE_WRENCH, expanded_uncertainty=D(4), unit="N·m",
    calibration="K-2026-0140", due=DUE,
)  # fmt: skip
GAUGE = InstrumentUse(
    code="PG-03", kind=InstrumentKind.PRESSURE_GAUGE, expanded_uncertainty=D(2), unit="bar",
    calibration="K-2026-0151", due=DUE,
)  # fmt: skip

HEADER = CertificateHeader(
    number="RC-2026-0042", issued_at=datetime(2026, 3, 9, 14, 5, tzinfo=UTC), signed_by="Ines Invented",
    workshop_name="Invented Quay Injector Workshop", workshop_address="Quay 0, 00000 Nowhere",
    operator_name="Invented Shipping Company", vessel_name="Paper Boat", imo_number="9074729",
    engine="Main engine 1", cylinder=3, position="aft", injector_type="INV-60",
    injector_type_name="Invented injector for 60 cm bore", serial="SN-48213-B", overhaul_number="O-2026-0107",
    consignment_number="C-2026-0019", received_at=datetime(2026, 3, 2, 8, 30, tzinfo=UTC), running_hours=7850,
    fuel="Residual fuel", reason="Dribbling", packing="Packing sound, plugs in place", remark="Two plugs oily.",
    sheet_revision=4, check_url="https://workshop.example/check/3f9d0c71a2", decision_rule=RULE.text, demo=False,
)  # fmt: skip


def hole_pins(reject_in: tuple[int, ...] = ()) -> PinMeasurement:
    """Go pin enters all four holes; the reject pin enters those named."""
    passes = [PinTried(hole=n, pin=D("0.85"), enters=True) for n in range(1, 5)]
    passes += [PinTried(hole=n, pin=D("0.87"), enters=n in reject_in) for n in range(1, 5)]
    return PinMeasurement(passes=tuple(passes), instrument=PINS)


GOOD: dict[str, Measurement] = {
    "holes": hole_pins(),
    "oval": OvalityMeasurement(
        diameters=((D("0.851"), D("0.852"), D("0.851"), D("0.853")), (D("0.850"), D("0.851"), D("0.852"), D("0.851"))),
        instrument=BORE_GAUGE,
    ),
    "seat": VisualMeasurement(findings=("clean",), magnification=D(10), instrument=MICROSCOPE),
    "free-length": SizeMeasurement(readings=(D("62.02"),), instrument=MICROMETER),
    "guide-bore": SizeMeasurement(readings=(D("25.008"), D("25.011")), instrument=BORE_GAUGE),
    "face": VisualMeasurement(findings=("clean",), magnification=None, instrument=None),
    "pin": YesNoMeasurement(answer=True),
}
PASSING: dict[str, StepResult] = {
    "vent": VentResult(air_free=True),
    "strokes": StrokesResult(strokes=8),
    "dry": SeatTightnessResult(pressure_bar=D(300), held_s=20, dry=True),
    "opening": OpeningPressureResult(strokes_bar=(D(350), D(351), D("349.5"))),
    "emission": EmissionResult(spraying=(1, 2, 3, 4)),
    "drop": QuickDropResult(seen=True),
    "external": ExternalTightnessResult(pressure_bar=D(100), held_s=60, leaks=()),
}


class Diary:
    """Appends entries as the shop would, ten minutes apart."""

    def __init__(self, sheet: LimitSheet = SHEET) -> None:
        self.sheet = sheet
        self.entries: list[Entry] = []
        self.clock = datetime(2026, 3, 3, 7, 0, tzinfo=UTC)

    def add(self, content: Content, person: str = "Tom Testbench") -> int:
        """Record one fact; answers its sequence."""
        seq = len(self.entries) + 1
        self.clock += timedelta(minutes=10)
        self.entries.append(Entry(seq=seq, at=self.clock, person=person, content=content))
        return seq

    def examined(self, key: str, measurement: Measurement, phase: Phase = Phase.FOUND) -> None:
        """Measure and judge one characteristic."""
        item = self.sheet.characteristic_by_key[key]
        outcome = examine(item, measurement, RULE)
        self.add(Examined(characteristic=key, part=item.part, phase=phase, measurement=measurement, outcome=outcome))

    def settled(self, part: str, proposed: Disposition, chosen: Disposition | None = None, reason: str = "") -> None:
        """Settle one part, as proposed unless said otherwise."""
        self.add(PartSettled(part=part, proposed=proposed, chosen=chosen or proposed, reason=reason))

    def run(self, purpose: RunPurpose, **other: StepResult) -> int:
        """A bench run up to its first failing step."""
        number = self.add(BenchRunStarted(purpose=purpose, gauge=GAUGE))
        plan = self.sheet.test_plan
        for step in plan.steps:
            result = other.get(step.key, PASSING[step.key])
            outcome = judge_step(plan, step, result, GAUGE, RULE)
            self.add(BenchStepRecorded(run=number, step=step.key, result=result, outcome=outcome))
            if not outcome.passed:
                break
        return number

    def torqued(self) -> None:
        """Tighten the union nut."""
        outcome = judge_torque(self.sheet.torques[0], D(352), WRENCH, RULE)
        self.add(Torqued(point="nut", value=D(352), wrench=WRENCH, outcome=outcome))

    def record(self) -> OverhaulRecord:
        """The overhaul as recorded so far."""
        return OverhaulRecord(self.sheet, frozenset({Disposition.REWORK, Disposition.REPLACE}), tuple(self.entries))


def worn_injector() -> OverhaulRecord:
    """Reject pin in hole 3, a dull sealing face reworked, a spring conceded, a disc after a first run, then proved."""
    diary = Diary()
    diary.run(RunPurpose.AS_FOUND, dry=SeatTightnessResult(pressure_bar=D(210), held_s=4, dry=False))
    states = {"spindle": PartState.STUCK}
    found = tuple(PartFound(part=p.key, state=states.get(p.key, PartState.FREE)) for p in SHEET.parts)
    diary.add(Stripped(parts=found, seals_discarded=True))
    for key, measurement in _worn_measurements().items():
        diary.examined(key, measurement)
    diary.settled("nozzle", Disposition.REPLACE_ASSEMBLY)
    diary.settled("spindle", Disposition.REPLACE_ASSEMBLY)
    diary.settled("spring", Disposition.REPLACE, Disposition.KEEP, "Rate measured and good; length is at the limit.")
    diary.settled("body", Disposition.REWORK)
    diary.settled("ring", Disposition.REPLACE)
    diary.add(
        ConcessionDecided(
            part="spring", chosen=Disposition.KEEP, granted=True,
            reason="Accepted for one interval of 4000 h; measure again at the next overhaul.",
        ),
        "Ines Invented",
    )  # fmt: skip
    diary.add(PartReworked(part="body", method="Face lapped on the plate, grade 800, 0.01 mm removed."))
    diary.examined("face", GOOD["face"], Phase.AFTER_REWORK)
    diary.add(PartFitted(item="valve", batch="VA-77120"))
    diary.add(PartFitted(item="ring", batch="R-2211"))
    diary.torqued()
    diary.run(RunPurpose.PROVING, opening=OpeningPressureResult(strokes_bar=(D(331), D(332), D(331))))
    diary.add(DiscsChanged(added=(D("0.20"),), removed=(), reason="Opening pressure too low."))
    diary.torqued()
    diary.run(RunPurpose.PROVING)
    return diary.record()


def _worn_measurements() -> dict[str, Measurement]:
    return GOOD | {
        "holes": hole_pins(reject_in=(3,)),
        "face": VisualMeasurement(findings=("dull",), magnification=None, instrument=None, remark="Under the ring."),
        "free-length": SizeMeasurement(readings=(D("61.501"),), instrument=MICROMETER),
    }


def sixty_characteristics() -> OverhaulRecord:
    """A sheet long enough for several pages."""
    items = tuple(
        SizeCharacteristic(
            key=f"bore-{n}", part="body", title=f"Bore number {n}", how="Measure.", consequence=Disposition.REPLACE,
            unit="mm", limits=SizeLimits(lower=D("9.90"), upper=D("10.10")),
        )
        for n in range(1, 61)
    )  # fmt: skip
    diary = Diary(replace(SHEET, characteristics=items))
    for n in range(1, 61):
        reading = D("9.950") + D(n) / 1000
        diary.examined(f"bore-{n}", SizeMeasurement(readings=(reading,), instrument=BORE_GAUGE))
    diary.run(RunPurpose.PROVING)
    return diary.record()

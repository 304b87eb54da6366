"""A small limit sheet with every kind of characteristic. All its figures are invented and fit no maker's injector."""

from datetime import date
from decimal import Decimal as D

from service.workshop.limit_sheet import (
    Assembly,
    FindingChoice,
    LimitSheet,
    OvalityCharacteristic,
    Part,
    PinCharacteristic,
    SizeCharacteristic,
    SizeLimits,
    TorquePoint,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import InstrumentUse
from service.workshop.test_plan import (
    EmissionStep,
    ExternalTightnessStep,
    LeakPlace,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    StrokesStep,
    TestPlan,
    VentStep,
)
from service.workshop.vocabulary import Disposition, FindingOutcome, InstrumentKind

TYPE_CODE = "SMALL-1"
HOLES = 4

PARTS = (
    Part(key="body", name="Injector body"),
    Part(key="nozzle", name="Nozzle", assembly="nozzle-set", nox_relevant=True),
    Part(key="needle", name="Needle", assembly="nozzle-set"),
    Part(key="spring", name="Spring", assembly="nozzle-set", replaced_singly=True),
    Part(key="seal-ring", name="Sealing ring", seal=True),
)

_ACCEPTABLE, _REWORK, _REJECT = FindingOutcome.ACCEPTABLE, FindingOutcome.REWORK, FindingOutcome.REJECT

CHARACTERISTICS = (
    VisualCharacteristic(
        key="body-cracks",
        part="body",
        title="Cracks in the body",
        how="Clean and look all round.",
        consequence=Disposition.CONDEMN,
        findings=(
            FindingChoice(key="none", label="No crack", outcome=_ACCEPTABLE),
            FindingChoice(key="crack", label="Crack", outcome=_REJECT),
        ),
    ),
    SizeCharacteristic(
        key="body-seat-width",
        part="body",
        title="Width of the body's seat",
        how="Measure in one place.",
        consequence=Disposition.REWORK,
        recheck_after_rework=True,
        cautions=("grinding",),
        unit="mm",
        limits=SizeLimits(upper=D("1.20")),
        instruments=(InstrumentKind.MICROMETER,),
        rework_until=D("1.60"),
    ),
    YesNoCharacteristic(
        key="body-pin",
        part="body",
        title="Locating pin",
        how="Look and feel.",
        consequence=Disposition.REPLACE,
        question="Is the locating pin whole?",
        required=True,
    ),
    PinCharacteristic(
        key="nozzle-holes",
        part="nozzle",
        title="Spray holes by gauge pins",
        how="Try each pin in each hole.",
        consequence=Disposition.REPLACE,
        holes=HOLES,
        pins=(D("0.84"), D("0.85"), D("0.88")),
        go_pin=D("0.85"),
        reject_pin=D("0.88"),
    ),
    OvalityCharacteristic(
        key="nozzle-ovality",
        part="nozzle",
        title="Ovality of the spray holes",
        how="Measure each hole in two directions.",
        consequence=Disposition.REPLACE,
        sections=HOLES,
        section_name="hole",
        directions=2,
        limit=D("0.020"),
        instruments=(InstrumentKind.BORE_GAUGE,),
    ),
    VisualCharacteristic(
        key="nozzle-tip",
        part="nozzle",
        title="Outside of the nozzle's tip",
        how="Look without magnification.",
        consequence=Disposition.REPLACE,
        findings=(
            FindingChoice(key="clean", label="Clean", outcome=_ACCEPTABLE),
            FindingChoice(key="coked", label="Coked", outcome=_REWORK),
            FindingChoice(key="burnt", label="Burnt away", outcome=_REJECT),
        ),
    ),
    VisualCharacteristic(
        key="needle-seat",
        part="needle",
        title="Internal seat of the needle",
        how="Look under the microscope.",
        consequence=Disposition.REPLACE_ASSEMBLY,
        replace_only=True,
        findings=(
            FindingChoice(key="even", label="Even seat line", outcome=_ACCEPTABLE),
            FindingChoice(key="indentation", label="Indentation", outcome=_REJECT),
        ),
        magnification_min=D(8),
        magnification_max=D(10),
    ),
    SizeCharacteristic(
        key="needle-guide",
        part="needle",
        title="Diameter of the needle's guide",
        how="Measure in two places.",
        consequence=Disposition.REPLACE_ASSEMBLY,
        unit="mm",
        limits=SizeLimits(designation="6 h6"),
        readings=2,
        instruments=(InstrumentKind.MICROMETER,),
    ),
    SizeCharacteristic(
        key="spring-length",
        part="spring",
        title="Free length of the spring",
        how="Stand it on the plate.",
        consequence=Disposition.REPLACE,
        unit="mm",
        limits=SizeLimits(nominal=D(60), lower_deviation_um=D(-500)),
        instruments=(InstrumentKind.HEIGHT_GAUGE,),
    ),
    SizeCharacteristic(
        key="spring-rate",
        part="spring",
        title="Stiffness of the spring",
        how="Press it in the tester.",
        consequence=Disposition.REPLACE,
        cautions=("spring",),
        unit="N/mm",
        limits=SizeLimits(lower=D(95), upper=D(105)),
        instruments=(InstrumentKind.SPRING_TESTER,),
    ),
)

PLAN = TestPlan(
    opening_set_bar=D(350),
    opening_lower_bar=D(345),
    opening_upper_bar=D(360),
    steps=(
        VentStep(key="vent", title="Fill and vent", how="Pump until no air comes.", on_fail="Vent again."),
        StrokesStep(key="blow", title="Blow out dirt", how="Full strokes.", on_fail="Make more strokes."),
        SeatTightnessStep(
            key="seat",
            title="Seat tightness",
            how="Hold below the opening pressure.",
            on_fail="Open it and look at the seat.",
            margin_bar=D(50),
            hold_s=10,
        ),
        OpeningPressureStep(
            key="opening",
            title="Opening pressure",
            how="Read each stroke.",
            on_fail="Change the discs.",
            spread_max_bar=D(5),
        ),
        EmissionStep(key="emission", title="Emission", how="Look at each hole.", on_fail="Clean it.", holes=HOLES),
        QuickDropStep(key="drop", title="Quick drop", how="Watch the gauge.", on_fail="Look at slide and holes."),
        ExternalTightnessStep(
            key="external",
            title="External tightness",
            how="Block the return and hold.",
            on_fail="Renew the seal that leaks.",
            pressure_bar=D(100),
            hold_s=30,
            places=(
                LeakPlace(key="nut", label="the nut", points_to="the ring under the nut leaks"),
                LeakPlace(key="union", label="the return union", points_to="the ring of the union leaks"),
            ),
        ),
    ),
)

SMALL_SHEET = LimitSheet(
    injector_type=TYPE_CODE,
    title="Small injector for tests",
    document_reference="Invented instructions 1",
    document_revision="A",
    notice="Invented figures: fit no maker's injector.",
    parts=PARTS,
    assemblies=(Assembly(key="nozzle-set", name="Nozzle set"),),
    characteristics=CHARACTERISTICS,
    torques=(TorquePoint(key="nut", title="Nut of the nozzle", lower=D(90), upper=D(110)),),
    test_plan=PLAN,
)

CALIBRATED_ON, DUE = date(2026, 1, 31), date(2027, 1, 31)
INSTRUMENTS = {
    use.code: use
    for use in (
        InstrumentUse(
            code=code,
            kind=kind,
            expanded_uncertainty=D(u),
            unit=unit,
            calibration=f"CAL-{code}",
            due=DUE,
            calibrated_on=CALIBRATED_ON,
        )
        for code, kind, u, unit in (
            ("MIC-1", InstrumentKind.MICROMETER, "0.001", "mm"),
            ("BORE-1", InstrumentKind.BORE_GAUGE, "0.002", "mm"),
            ("PINS-1", InstrumentKind.PIN_SET, "0.001", "mm"),
            ("SCOPE-1", InstrumentKind.MICROSCOPE, "0.01", "mm"),
            ("RATE-1", InstrumentKind.SPRING_TESTER, "0.5", "N/mm"),
            ("HEIGHT-1", InstrumentKind.HEIGHT_GAUGE, "0.02", "mm"),
            ("WRENCH-1", InstrumentKind.TORQUE_WRENCH, "2", "N·m"),
            ("GAUGE-1", InstrumentKind.PRESSURE_GAUGE, "2", "bar"),
        )
    )
}
"""The register's instruments, in date at the tests' clock."""

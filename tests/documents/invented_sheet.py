"""An invented limit sheet for the tests of documents. Type, parts, limits and test plan are all made up.

Practice that it follows (seat examined at 8 to 10 times, seat dry 50 bar below opening, about 100 bar with the
return blocked): common practice, no source.
"""

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

SEAT_FINDINGS = (
    FindingChoice(key="clean", label="even, unbroken seat", outcome=FindingOutcome.ACCEPTABLE),
    FindingChoice(key="dull", label="dull ring", outcome=FindingOutcome.REWORK),
    FindingChoice(key="dent", label="indentation", outcome=FindingOutcome.REJECT),
)

SHEET = LimitSheet(
    injector_type="INV-60",
    title="Invented injector for 60 cm bore",
    document_reference="INV-DOC-118",
    document_revision="C",
    notice="All figures of this sheet are invented for tests. They belong to no maker and no engine.",
    parts=(
        Part(key="nozzle", name="Nozzle", assembly="valve", nox_relevant=True),
        Part(key="spindle", name="Spindle guide", assembly="valve"),
        Part(key="spring", name="Spring", assembly="valve", replaced_singly=True),
        Part(key="body", name="Valve body"),
        Part(key="ring", name="Sealing ring, cover side", seal=True),
    ),
    assemblies=(Assembly(key="valve", name="Spindle and nozzle assembly"),),
    characteristics=(
        PinCharacteristic(
            key="holes", part="nozzle", title="Spray holes", how="Try each pin.", consequence=Disposition.REPLACE,
            holes=4, pins=(D("0.84"), D("0.85"), D("0.87")), go_pin=D("0.85"), reject_pin=D("0.87"),
        ),
        OvalityCharacteristic(
            key="oval", part="nozzle", title="Ovality of the spray holes", how="Four directions.",
            consequence=Disposition.REPLACE, sections=2, section_name="hole", directions=4, limit=D("0.02"),
            instruments=(InstrumentKind.BORE_GAUGE,),
        ),
        VisualCharacteristic(
            key="seat", part="spindle", title="Internal seat of the spindle guide", how="Look at 8 to 10 times.",
            consequence=Disposition.REPLACE, replace_only=True, findings=SEAT_FINDINGS, magnification_min=D(8),
            magnification_max=D(10),
        ),
        SizeCharacteristic(
            key="free-length", part="spring", title="Free length of the spring", how="Measure unloaded.",
            consequence=Disposition.REPLACE, unit="mm", limits=SizeLimits(lower=D("61.50"), upper=D("62.50")),
        ),
        SizeCharacteristic(
            key="guide-bore", part="body", title="Guide bore of the body", how="Two readings.",
            consequence=Disposition.REPLACE, unit="mm", limits=SizeLimits(designation="25 H7"), readings=2,
        ),
        VisualCharacteristic(
            key="face", part="body", title="Sealing face of the body", how="Look at it.",
            consequence=Disposition.REWORK, recheck_after_rework=True, findings=SEAT_FINDINGS,
        ),
        YesNoCharacteristic(
            key="pin", part="body", title="Locating pin", how="Look.", consequence=Disposition.REPLACE,
            question="Is the locating pin straight and tight?", required=True,
        ),
    ),
    torques=(TorquePoint(key="nut", title="Union nut", lower=D(340), upper=D(360)),),
    test_plan=TestPlan(
        opening_set_bar=D(350), opening_lower_bar=D(340), opening_upper_bar=D(360),
        steps=(
            VentStep(key="vent", title="Fill and vent", how="Pump."),
            StrokesStep(key="strokes", title="Full strokes before reading", how="Pump."),
            SeatTightnessStep(key="dry", title="Seat tightness", how="Hold.", margin_bar=D(50), hold_s=15),
            OpeningPressureStep(key="opening", title="Opening pressure", how="Read.", spread_max_bar=D(5)),
            EmissionStep(key="emission", title="Emission from each hole", how="Look.", holes=4),
            QuickDropStep(key="drop", title="Quick pressure drop", how="Look."),
            ExternalTightnessStep(
                key="external", title="External tightness", how="Block the return.", pressure_bar=D(100), hold_s=60,
                places=(LeakPlace(key="nut", label="union nut", points_to="the sealing ring of the nut"),),
            ),
        ),
    ),
)  # fmt: skip

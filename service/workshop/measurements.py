"""What was measured or seen, with which instrument, and what was made of it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.nozzle_found import NozzleFound
from service.workshop.vocabulary import Disposition, InstrumentKind, ProfileColumns, VerdictKind


@dataclass(frozen=True, kw_only=True)
class InstrumentUse:
    """The instrument as its register entry stood at the moment of use; the certificate prints it so."""

    code: str
    kind: InstrumentKind
    expanded_uncertainty: Decimal
    unit: str
    calibration: str
    """Reference of the calibration certificate."""
    due: date
    k: Decimal = Decimal(2)
    """Coverage factor of the expanded uncertainty."""
    calibrated_on: date | None = None
    """Day of the calibration; None where only its due date was recorded."""
    resolution: Decimal | None = None
    lower: Decimal | None = None
    upper: Decimal | None = None
    """Smallest step and measuring range in `unit`, None where the register did not state them."""
    repeatability: Decimal | None = None
    repeatability_readings: int | None = None
    """Standard deviation of repeats with it, in `unit`, and from how many readings; None where nobody found it."""


@dataclass(frozen=True, kw_only=True)
class BenchTemperature:
    """At the bench in °C, within ± `half_width` K; `measured` on the spot, else the workshop's usual temperature."""

    celsius: Decimal
    half_width: Decimal
    measured: bool


@dataclass(frozen=True, kw_only=True)
class SizeMeasurement:
    """Readings in the characteristic's unit."""

    kind: Literal["size"] = "size"
    readings: tuple[Decimal, ...]
    instrument: InstrumentUse
    temperature: BenchTemperature | None = None
    """None where it plays no part, as for a force, or was not recorded."""


@dataclass(frozen=True, kw_only=True)
class PinTried:
    """One pin (mm) tried in one hole (numbered from 1)."""

    hole: int
    pin: Decimal
    enters: bool


@dataclass(frozen=True, kw_only=True)
class CalibratedPin:
    """A gauge pin by the size marked on it and the diameter (both mm) that its calibration found."""

    nominal: Decimal
    diameter: Decimal


@dataclass(frozen=True, kw_only=True)
class PinMeasurement:
    """Every pin tried in every hole; `calibrated` are the pins tried, empty where their diameters were not recorded."""

    kind: Literal["gauge-pins"] = "gauge-pins"
    passes: tuple[PinTried, ...]
    instrument: InstrumentUse
    calibrated: tuple[CalibratedPin, ...] = ()


@dataclass(frozen=True, kw_only=True)
class OvalityMeasurement:
    """Two-point diameters in mm, one tuple of directions a section."""

    kind: Literal["ovality"] = "ovality"
    diameters: tuple[tuple[Decimal, ...], ...]
    instrument: InstrumentUse


@dataclass(frozen=True, kw_only=True)
class RoundnessMeasurement:
    """The profile of one section as it was measured, before any filter: `section_profile` reads and writes `rows`."""

    kind: Literal["roundness"] = "roundness"
    columns: ProfileColumns
    rows: str
    """One pair to a line, `x;y` in mm or `direction;radius` in degrees and mm, every digit as it was given."""
    instrument: InstrumentUse


@dataclass(frozen=True, kw_only=True)
class VisualMeasurement:
    """Keys of what was seen, the magnification used, a remark."""

    kind: Literal["visual"] = "visual"
    findings: tuple[str, ...]
    magnification: Decimal | None
    instrument: InstrumentUse | None
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class YesNoMeasurement:
    """The answer to the characteristic's question."""

    kind: Literal["yes-no"] = "yes-no"
    answer: bool


Measurement = (
    SizeMeasurement | PinMeasurement | OvalityMeasurement | RoundnessMeasurement | VisualMeasurement | YesNoMeasurement
)


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A verdict with its reason, kept for ever with the measurement that it was made from."""

    verdict: VerdictKind
    value: str
    """What was found, as it is printed."""
    limit: str
    """The limit, as it is printed."""
    sentence: str
    """Why, in words for people."""
    rule: str
    """Decision rule and clause that it was judged by."""
    consequence: Disposition | None = None
    """What the sheet asks for, unless it conforms."""
    failed_holes: tuple[int, ...] = ()
    """Holes (or sections) that decided against it, for the drawing."""
    unproven_holes: tuple[int, ...] = ()
    """Those of the failed ones that neither conform nor fail for certain."""
    nozzle: NozzleFound | None = None
    """Brackets, spread and flow area, of spray holes tried with pins."""
    uncertainty: UncertaintyBudget | None = None
    """What it was judged with; None where nothing was measured, or before budgets were kept."""
    probability_of_conformity: Decimal | None = None
    """0 to 1, told beside the verdict; None where it has no meaning, or before it was kept."""

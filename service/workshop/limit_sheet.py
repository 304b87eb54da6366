"""A limit sheet: what one injector type's maker demands, as the workshop entered it from its licensed instructions."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from types import MappingProxyType
from typing import Literal

from service.metrology.designations import tolerance_class
from service.metrology.limits_and_fits import LimitsOfSize, limits_of_size
from service.metrology.typed_numbers import plain
from service.workshop.test_plan import TestPlan
from service.workshop.vocabulary import Disposition, FindingOutcome, InstrumentKind, RoundnessReference


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of the injector. `assembly` names the matched assembly that it belongs to."""

    key: str
    name: str
    assembly: str | None = None
    seal: bool = False
    nox_relevant: bool = False
    replaced_singly: bool = False
    """In a matched assembly: may be renewed alone (the spring may, by common practice)."""


@dataclass(frozen=True, kw_only=True)
class Assembly:
    """Parts matched to each other, renewed together."""

    key: str
    name: str


@dataclass(frozen=True, kw_only=True)
class SizeLimits:
    """Limits as an ISO 286 class, as deviations in µm from a nominal, or one- or two-sided."""

    designation: str | None = None
    nominal: Decimal | None = None
    lower_deviation_um: Decimal | None = None
    upper_deviation_um: Decimal | None = None
    lower: Decimal | None = None
    upper: Decimal | None = None

    @cached_property
    def bounds(self) -> tuple[Decimal | None, Decimal | None]:
        """(lower, upper) in the characteristic's unit; None is an open side."""
        if self.designation is not None:
            of_class = limits_of_size(tolerance_class(self.designation))
            return of_class.min_mm, of_class.max_mm
        if self.nominal is not None:
            low, high = self.lower_deviation_um, self.upper_deviation_um
            return (
                None if low is None else self.nominal + low / 1000,
                None if high is None else self.nominal + high / 1000,
            )
        return self.lower, self.upper

    def text(self, unit: str) -> str:
        """The limits as a technician reads them."""
        lower, upper = self.bounds
        if lower is not None and upper is not None:
            span = f"{lower} to {upper} {unit}"
        elif lower is not None:
            span = f"at least {lower} {unit}"
        else:
            span = f"at most {upper} {unit}"
        return f"{self.designation}: {span}" if self.designation else span


@dataclass(frozen=True, kw_only=True)
class Characteristic:
    """One thing to examine on one part; the subclass says how it is recorded and judged."""

    key: str
    part: str
    title: str
    how: str
    consequence: Disposition
    replace_only: bool = False
    """Never reworked, by nobody's leave: an internal seat is not lapped."""
    recheck_after_rework: bool = False
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SizeCharacteristic(Characteristic):
    """One or more readings against limits of size (or of stiffness, or of force)."""

    kind: Literal["size"] = "size"
    unit: str
    limits: SizeLimits
    readings: int = 1
    instruments: tuple[InstrumentKind, ...] = ()
    rework_until: Decimal | None = None
    """Where consequence is rework: the value past which no metal is left, and `beyond_rework` follows."""
    beyond_rework: Disposition = Disposition.REPLACE
    repeats: bool = False
    """The readings repeat one place: their mean is judged. Else each has a place of its own and is judged by itself."""


@dataclass(frozen=True, kw_only=True)
class PinCharacteristic(Characteristic):
    """Every spray hole tried with gauge pins, in mm."""

    kind: Literal["gauge-pins"] = "gauge-pins"
    holes: int
    pins: tuple[Decimal, ...]
    go_pin: Decimal
    reject_pin: Decimal
    undersize_consequence: Disposition = Disposition.REWORK
    """When the go pin does not enter: as a rule clean the hole and try again."""
    nominal: Decimal | None = None
    """Diameter of a hole when new, in mm; with a `designation` that has it."""
    designation: str | None = None
    """ISO 286 class of the holes: its limits of size then hold for the bracket of each hole."""
    wear_allowance: Decimal | None = None
    """By how much (mm) a new go pin for the class is larger than the least size."""
    spread_limit: Decimal | None = None
    """The most that the holes may differ, in mm."""
    area_least: Decimal | None = None
    area_most: Decimal | None = None
    """Limits of the flow area, in per cent of the nominal one."""

    @cached_property
    def hole_limits(self) -> LimitsOfSize | None:
        """Limits of size by the class of the holes; raises MetrologyError as `tolerance_class`, None without one."""
        return None if self.designation is None else limits_of_size(tolerance_class(self.designation))

    @property
    def nominal_diameter(self) -> Decimal | None:
        """Of a hole when new, in mm."""
        return self.nominal if self.hole_limits is None else self.hole_limits.nominal_mm


@dataclass(frozen=True, kw_only=True)
class OvalityCharacteristic(Characteristic):
    """Two-point diameters in several directions, section by section (a hole, a seat), in mm."""

    kind: Literal["ovality"] = "ovality"
    sections: int
    section_name: str
    directions: int
    limit: Decimal
    instruments: tuple[InstrumentKind, ...] = ()


@dataclass(frozen=True, kw_only=True)
class RoundnessCharacteristic(Characteristic):
    """The roundness deviation of one section in mm, from points or a radial trace (ISO 12181-1, RONt)."""

    kind: Literal["roundness"] = "roundness"
    limit: Decimal
    reference: RoundnessReference = RoundnessReference.MINIMUM_ZONE
    """The minimum zone is what a roundness tolerance means where nothing else is said (ISO 1101)."""
    cutoff_upr: int | None = None
    """Cut-off of the Gaussian filter in undulations per revolution (ISO 12181-2); None: no filter."""
    instruments: tuple[InstrumentKind, ...] = ()

    @property
    def evaluation(self) -> str:
        """About which circle, after which filter."""
        filtered = "no filter" if self.cutoff_upr is None else f"filter {self.cutoff_upr} undulations per revolution"
        return f"{self.reference.label.lower()}, {filtered}"

    @property
    def text(self) -> str:
        """The limit as a technician reads it."""
        return f"at most {plain(self.limit)} mm ({self.evaluation})"


@dataclass(frozen=True, kw_only=True)
class FindingChoice:
    """One visual finding that the sheet knows, and what it means."""

    key: str
    label: str
    outcome: FindingOutcome


@dataclass(frozen=True, kw_only=True)
class VisualCharacteristic(Characteristic):
    """Looked at under magnification; the findings come from the characteristic's own list."""

    kind: Literal["visual"] = "visual"
    findings: tuple[FindingChoice, ...]
    magnification_min: Decimal | None = None
    magnification_max: Decimal | None = None

    @property
    def by_key(self) -> Mapping[str, FindingChoice]:
        """The choices by their key."""
        return {choice.key: choice for choice in self.findings}


@dataclass(frozen=True, kw_only=True)
class YesNoCharacteristic(Characteristic):
    """A question with a required answer."""

    kind: Literal["yes-no"] = "yes-no"
    question: str
    required: bool


AnyCharacteristic = (
    SizeCharacteristic
    | PinCharacteristic
    | OvalityCharacteristic
    | RoundnessCharacteristic
    | VisualCharacteristic
    | YesNoCharacteristic
)


@dataclass(frozen=True, kw_only=True)
class TorquePoint:
    """A thread tightened at assembly, with its torque in N·m."""

    key: str
    title: str
    lower: Decimal
    upper: Decimal


@dataclass(frozen=True, kw_only=True)
class LimitSheet:
    """Parts, characteristics in examination order, torques and test plan of one injector type."""

    injector_type: str
    title: str
    document_reference: str
    document_revision: str
    notice: str
    """Printed on the sheet's face, for example that its figures are invented."""
    parts: tuple[Part, ...]
    assemblies: tuple[Assembly, ...]
    characteristics: tuple[AnyCharacteristic, ...]
    torques: tuple[TorquePoint, ...]
    test_plan: TestPlan
    discs_added_max: int = 5
    """Not more than this many extra discs adjust the opening pressure (five: common practice, no source)."""
    overhaul_hours: int | None = None
    """Running hours from one overhaul to the next, as the maker's instructions state them; None where they do not."""

    @cached_property
    def part_by_key(self) -> Mapping[str, Part]:
        """Parts by key."""
        return MappingProxyType({part.key: part for part in self.parts})

    @cached_property
    def assembly_by_key(self) -> Mapping[str, Assembly]:
        """Assemblies by key."""
        return MappingProxyType({assembly.key: assembly for assembly in self.assemblies})

    @cached_property
    def characteristic_by_key(self) -> Mapping[str, AnyCharacteristic]:
        """Characteristics by key."""
        return MappingProxyType({item.key: item for item in self.characteristics})

    def characteristics_of(self, part: str) -> tuple[AnyCharacteristic, ...]:
        """The part's characteristics in examination order."""
        return tuple(item for item in self.characteristics if item.part == part)

    def members(self, assembly: str) -> tuple[Part, ...]:
        """The parts matched in the assembly."""
        return tuple(part for part in self.parts if part.assembly == assembly)

"""Whether a limit sheet makes sense as a whole: every fault in words, so that a draft can be mended before approval."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from service.metrology.errors import DomainError
from service.metrology.typed_numbers import grouped
from service.workshop.cautions import CAUTIONS
from service.workshop.hole_limit_checks import hole_limit_faults
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    LimitSheet,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
)
from service.workshop.setting_checks import setting_faults
from service.workshop.step_checks import step_faults
from service.workshop.test_plan import (
    EmissionStep,
    ExternalTightnessStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    VentStep,
)
from service.workshop.test_rig import HIGHEST_BAR
from service.workshop.vocabulary import Disposition, FindingOutcome

LARGEST_MM = 500
HIGHEST_CUTOFF_UPR = 500
"""Seven readings to an undulation, of the 3,600 that are kept with a finding."""
UNITS = ("mm", "N/mm", "N")
LEAST_HOURS, MOST_HOURS = 100, 100_000
"""Running hours between overhauls outside of which the wrong figure was typed."""


@dataclass(frozen=True)
class SheetFault:
    """Where on the sheet, and what is wrong with it."""

    place: str
    sentence: str


def sheet_faults(sheet: LimitSheet) -> tuple[SheetFault, ...]:
    """Every fault that stands between this draft and approval."""
    return tuple(_faults(sheet))


def _faults(sheet: LimitSheet) -> Iterator[SheetFault]:
    for name, value in (
        ("title", sheet.title),
        ("document_reference", sheet.document_reference),
        ("document_revision", sheet.document_revision),
    ):
        if not value.strip():
            yield SheetFault(
                name,
                "Give the maker's document that these limits come from." if "doc" in name else "Give a title.",
            )
    yield from _keys(sheet)
    if not any(part.seal for part in sheet.parts):
        yield SheetFault("parts", "No seal is listed: all sealing rings are renewed at each overhaul.")
    for part in sheet.parts:
        if part.assembly is not None and part.assembly not in sheet.assembly_by_key:
            yield SheetFault(f"parts.{part.key}", f"The matched assembly “{part.assembly}” is not listed.")
    for assembly in sheet.assemblies:
        if len(sheet.members(assembly.key)) < 2:
            yield SheetFault(f"assemblies.{assembly.key}", "A matched assembly has at least two parts.")
    for characteristic in sheet.characteristics:
        for sentence in _characteristic(sheet, characteristic):
            yield SheetFault(f"characteristics.{characteristic.key}", sentence)
    for point in sheet.torques:
        if not 0 < point.lower <= point.upper:
            yield SheetFault(f"torques.{point.key}", "The torque needs 0 < lower ≤ upper, in N·m.")
    yield from _test_plan(sheet)
    if not 0 <= sheet.discs_added_max <= 20:
        yield SheetFault("discs_added_max", "The number of added discs allowed is 0 to 20.")
    if sheet.overhaul_hours is not None and not LEAST_HOURS <= sheet.overhaul_hours <= MOST_HOURS:
        words = f"The hours to the next overhaul are {LEAST_HOURS} to {grouped(MOST_HOURS)}."
        yield SheetFault("overhaul_hours", words)


def _keys(sheet: LimitSheet) -> Iterator[SheetFault]:
    # Parts and assemblies share one space of keys: a new part and a new assembly are both fitted by key.
    groups = {
        "parts": [part.key for part in sheet.parts] + [assembly.key for assembly in sheet.assemblies],
        "characteristics": [item.key for item in sheet.characteristics],
        "torques": [point.key for point in sheet.torques],
        "test_plan.steps": [step.key for step in sheet.test_plan.steps],
    }
    for place, keys in groups.items():
        for key, count in Counter(keys).items():
            if count > 1:
                yield SheetFault(f"{place}.{key}", f"The key “{key}” is used {count} times.")
    if not sheet.parts:
        yield SheetFault("parts", "List the parts.")
    if not sheet.characteristics:
        yield SheetFault("characteristics", "List the characteristics to examine.")


def _characteristic(sheet: LimitSheet, item: AnyCharacteristic) -> Iterator[str]:
    part = sheet.part_by_key.get(item.part)
    if part is None:
        yield f"The part “{item.part}” is not listed."
    elif part.seal:
        yield "A seal is renewed, not examined."
    elif item.consequence is Disposition.REPLACE_ASSEMBLY and part.assembly is None:
        yield f"{part.name} belongs to no matched assembly."
    if item.consequence is Disposition.KEEP:
        yield "A rejected characteristic needs a consequence: rework, replace, replace the assembly or condemn."
    if item.replace_only and item.consequence is Disposition.REWORK:
        yield "A replace-only characteristic cannot ask for rework."
    for caution in item.cautions:
        if caution not in CAUTIONS:
            yield f"The caution “{caution}” is not known."
    match item:
        case SizeCharacteristic():
            yield from _size(item)
        case PinCharacteristic():
            yield from _pins(item)
        case OvalityCharacteristic():
            if not 1 <= item.sections <= 40 or item.directions < 2 or not 0 < item.limit < LARGEST_MM:
                yield "Ovality needs 1 to 40 sections, two directions or more, and a limit above 0 mm."
        case RoundnessCharacteristic():
            yield from _roundness(item)
        case VisualCharacteristic():
            yield from _visual(item)
        case _:
            pass


def _size(item: SizeCharacteristic) -> Iterator[str]:
    if item.unit not in UNITS:
        yield f"The unit is one of {', '.join(UNITS)}."
    if item.readings < 1:
        yield "At least one reading is needed."
    if item.repeats and item.readings < 2:
        yield "Repeats of one place are two readings or more: one reading repeats nothing."
    if not item.instruments:
        yield "Name the kinds of instrument that may measure this."
    try:
        lower, upper = item.limits.bounds
    except DomainError as error:
        yield error.sentence
        return
    if lower is None and upper is None:
        yield "Give at least one limit."
    elif lower is not None and upper is not None and lower > upper:
        yield f"The lower limit {lower} is above the upper limit {upper}."


def _pins(item: PinCharacteristic) -> Iterator[str]:
    if not 1 <= item.holes <= 40:
        yield "A nozzle has 1 to 40 spray holes."
    if list(item.pins) != sorted(set(item.pins)) or not item.pins or item.pins[0] <= 0 or item.pins[-1] > 10:
        yield "List the pins from the smallest to the largest, each once, above 0 and up to 10 mm."
    if item.go_pin not in item.pins or item.reject_pin not in item.pins or item.go_pin >= item.reject_pin:
        yield "The go pin and the larger reject pin must both be among the pins."
    yield from hole_limit_faults(item)


def _roundness(item: RoundnessCharacteristic) -> Iterator[str]:
    if not 0 < item.limit < LARGEST_MM:
        yield "Roundness needs a limit above 0 mm."
    if item.cutoff_upr is not None and not 2 <= item.cutoff_upr <= HIGHEST_CUTOFF_UPR:
        yield f"The filter's cut-off lies between 2 and {HIGHEST_CUTOFF_UPR} undulations per revolution."
    if not item.instruments:
        yield "Name the kinds of instrument that may measure this."


def _visual(item: VisualCharacteristic) -> Iterator[str]:
    keys = [choice.key for choice in item.findings]
    if len(set(keys)) != len(keys):
        yield "Each finding needs a key of its own."
    if not any(choice.outcome is FindingOutcome.ACCEPTABLE for choice in item.findings):
        yield "At least one finding must be acceptable."
    if item.replace_only and any(choice.outcome is FindingOutcome.REWORK for choice in item.findings):
        yield "A replace-only characteristic cannot have a finding that asks for rework."
    low, high = item.magnification_min, item.magnification_max
    if low is not None and high is not None and low > high:
        yield "The least magnification is above the greatest."


def _test_plan(sheet: LimitSheet) -> Iterator[SheetFault]:
    plan = sheet.test_plan
    if not 0 < plan.opening_lower_bar <= plan.opening_set_bar <= plan.opening_upper_bar <= HIGHEST_BAR:
        yield SheetFault("test_plan", f"The opening pressure needs 0 < lower ≤ set ≤ upper ≤ {HIGHEST_BAR} bar.")
    yield from (SheetFault("test_plan", sentence) for sentence in setting_faults(plan))
    for kind, name in (
        (VentStep, "fill and vent"),
        (SeatTightnessStep, "seat tightness"),
        (OpeningPressureStep, "opening pressure"),
        (EmissionStep, "emission from each hole"),
        (QuickDropStep, "quick pressure drop"),
        (ExternalTightnessStep, "external tightness"),
    ):
        if not any(isinstance(step, kind) for step in plan.steps):
            yield SheetFault("test_plan.steps", f"The test plan has no step for {name}.")
    for step in plan.steps:
        yield from (SheetFault(f"test_plan.{step.key}", sentence) for sentence in step_faults(plan, step))

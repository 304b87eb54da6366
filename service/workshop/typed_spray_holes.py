"""The spray holes of a nozzle as somebody types their pin passes, for brackets, spread and flow area without a record.

Millimetres throughout. Every hole is judged by its whole bracket, the pins' uncertainty included.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.conformity import standard_uncertainty
from service.metrology.designations import tolerance_class
from service.metrology.errors import MetrologyError
from service.metrology.gauge_pins import CalibratedPin, pin_sizes
from service.metrology.gauging import PinPass
from service.metrology.hole_brackets import CalibratedPass, HoleSize, hole_size
from service.metrology.hole_verdicts import judge_hole
from service.metrology.limits_and_fits import LimitsOfSize, limits_of_size
from service.metrology.typed_numbers import parse_decimal, plain
from service.workshop.examination.nozzle_sizes import nozzle_found
from service.workshop.nozzle_found import NozzleFound
from service.workshop.vocabulary import VerdictKind

MOST_HOLES, MOST_PASSES = 40, 2000
_LEAST_MM, _MOST_MM = Decimal("0.01"), Decimal(100)
_LEAST_K, _MOST_K = Decimal("0.1"), Decimal(10)
_ANSWERS = {"yes": True, "no": False}
_OTHER_UNIT = re.compile(r"(?<!\w)(?:[µμu]m|nm|microns?|inch(?:es)?|mil)(?!\w)", re.IGNORECASE)


@dataclass(frozen=True)
class TypedPass:
    """One pin tried in one hole: the number of the hole, the pin in mm, and whether it entered."""

    hole: int
    tried: PinPass


@dataclass(frozen=True)
class TypedNew:
    """The nozzle when new, as typed: how many holes, their diameter in mm and their limits where given."""

    holes: int
    nominal_diameter: Decimal | None
    hole_limits: LimitsOfSize | None


@dataclass(frozen=True)
class TypedNozzle:
    """What was found, against what the nozzle is when new."""

    found: NozzleFound
    new: TypedNew
    pins_uncertainty: Decimal
    """U of each pin in mm."""

    @property
    def judged(self) -> bool:
        """Whether the holes have verdicts: without a class there is no limit to judge by."""
        return self.new.hole_limits is not None


def passes_of_text(text: str) -> tuple[TypedPass, ...]:
    """Passes from lines of hole, pin in mm, yes or no, with `;`, a tab or `,` between them; a header may stand first.

    With `;` or a tab a decimal comma is read. Raises MetrologyError, field `passes`, with code `passes-missing`,
    `passes-unreadable` (the sentence names the line), `passes-unit` or `passes-too-many`.
    """
    lines = text.removeprefix("\ufeff").splitlines()
    numbered = [(number, line) for number, line in enumerate(lines, start=1) if line.strip()]
    separator = next((sign for sign in (";", "\t") if numbered and sign in numbered[0][1]), ",")
    if numbered and _is_header(numbered[0][1], separator):
        other = _OTHER_UNIT.search(numbered[0][1])
        if other is not None:
            raise _refused("passes-unit", f"The header names {other[0]}: pins are read in mm, so give them in mm.")
        numbered = numbered[1:]
    if not numbered:
        raise _refused("passes-missing", "No pin is tried yet: give lines of hole, pin in mm, yes or no.")
    if len(numbered) > MOST_PASSES:
        raise _refused("passes-too-many", f"There are more than {MOST_PASSES} lines: give one nozzle at a time.")
    return tuple(_pass(line, separator, number) for number, line in numbered)


def gauged_of_typed(
    passes: Sequence[TypedPass],
    expanded_uncertainty: Decimal,
    k: Decimal,
    nominal: Decimal | None,
    designation: str | None,
) -> TypedNozzle:
    """Brackets, spread and flow area of the holes; `expanded_uncertainty` of each pin in mm with its k.

    With a `designation`, as 0.85 H9, each hole is judged against it and its size is the nominal one. Holes are
    numbered from 1 without a gap. Raises MetrologyError as `hole_size`, `pin_sizes` and `tolerance_class` do, and
    `hole-number`, `pin-size-absurd`, `uncertainty-out-of-range`, `coverage-factor-out-of-range`,
    `nominal-out-of-range`, `nominal-twice`.
    """
    _check_pins(passes, expanded_uncertainty, k)
    if nominal is not None and designation:
        raise MetrologyError("nominal-twice", "Give the nominal size or the class, not both.", "nominal")
    if nominal is not None and not _LEAST_MM <= nominal <= _MOST_MM:
        raise MetrologyError(
            "nominal-out-of-range", f"The nominal size is {plain(nominal)} mm: give {_within()}.", "nominal"
        )
    limits = limits_of_size(tolerance_class(designation)) if designation else None
    if limits is not None:
        pin_sizes(limits)  # a class of shafts has no holes
        nominal = limits.nominal_mm
    tried: dict[int, list[CalibratedPass]] = {number: [] for number in range(1, max(one.hole for one in passes) + 1)}
    for one in passes:
        size = one.tried.pin_mm
        pin = CalibratedPin(f"{plain(size)} mm", size, size, expanded_uncertainty, k)
        tried[one.hole].append(CalibratedPass(pin, one.tried.enters))
    sizes = {number: _sized(number, ones) for number, ones in tried.items()}
    verdicts = {number: _verdict(size, limits) for number, size in sizes.items()}
    new = TypedNew(len(sizes), nominal, limits)
    return TypedNozzle(nozzle_found(new, sizes, verdicts, calibrated=True), new, expanded_uncertainty)


def _sized(hole: int, passes: Sequence[CalibratedPass]) -> HoleSize:
    try:
        return hole_size(str(hole), passes)
    except MetrologyError as error:
        raise _refused(error.code, error.sentence) from error


def _verdict(size: HoleSize, limits: LimitsOfSize | None) -> VerdictKind:
    if limits is None:
        return VerdictKind.NOT_MEASURED
    return VerdictKind(judge_hole(size, limits.min_mm, limits.max_mm).name)


def _check_pins(passes: Sequence[TypedPass], expanded_uncertainty: Decimal, k: Decimal) -> None:
    if not passes:
        raise _refused("passes-missing", "No pin is tried yet: give at least one pass.")
    for one in passes:
        if not 1 <= one.hole <= MOST_HOLES:
            raise _refused("hole-number", f"There is a hole {one.hole}: number the holes from 1 to {MOST_HOLES}.")
        if not _LEAST_MM <= one.tried.pin_mm <= _MOST_MM:
            pin = plain(one.tried.pin_mm)
            raise _refused("pin-size-absurd", f"Hole {one.hole} has a pin of {pin} mm: give {_within()}.")
    least = min(one.tried.pin_mm for one in passes)
    if not 0 <= expanded_uncertainty < least:
        raise MetrologyError(
            "uncertainty-out-of-range",
            f"U of a pin is {plain(expanded_uncertainty)} mm: give zero or more, and less than the pin itself.",
            "expanded_uncertainty",
        )
    standard_uncertainty(expanded_uncertainty, k)
    if not _LEAST_K <= k <= _MOST_K:
        raise MetrologyError(
            "coverage-factor-out-of-range",
            f"The coverage factor k is {plain(k)}: give {plain(_LEAST_K)} to {plain(_MOST_K)}, usually 2.",
            "k",
        )


def _is_header(line: str, separator: str) -> bool:
    """Words in every column and no answer among them: a first pass with a slip is no header."""
    cells = [cell.strip().lower() for cell in line.split(separator)]
    return not any(cell[:1].isdigit() or cell in _ANSWERS for cell in cells)


def _pass(line: str, separator: str, number: int) -> TypedPass:
    cells = [cell.strip() for cell in line.split(separator)]
    if len(cells) != 3:
        raise _unreadable(
            number, f"has {len(cells)} values where hole, pin and yes or no are three; put “;” between decimal commas"
        )
    hole, pin, answer = cells
    if not (hole.isascii() and hole.isdigit() and len(hole) <= 4):
        raise _unreadable(number, f"reads “{hole[:20]}” as the hole: give its number")
    try:
        size = parse_decimal(pin, "pin")
    except MetrologyError as error:
        raise _unreadable(number, f"reads “{pin[:20]}” as the pin: give its size in mm, such as 0.85") from error
    if answer.lower() not in _ANSWERS:
        raise _unreadable(number, f"reads “{answer[:20]}”: give yes where the pin enters, else no")
    return TypedPass(int(hole), PinPass(size, _ANSWERS[answer.lower()]))


def _within() -> str:
    return f"{plain(_LEAST_MM)} to {plain(_MOST_MM)} mm"


def _unreadable(number: int, what: str) -> MetrologyError:
    return _refused("passes-unreadable", f"Line {number} {what}.")


def _refused(code: str, sentence: str) -> MetrologyError:
    return MetrologyError(code, sentence, "passes")

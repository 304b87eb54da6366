"""Limits of size and fits: ISO 286-1:2010 for nominal sizes over 0 to 500 mm, in whole nanometres."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.metrology.designations import HoleOrShaft, ToleranceClass, fit_classes
from service.metrology.errors import MetrologyError
from service.metrology.hole_deviations import hole_lower_nm, hole_upper_nm
from service.metrology.shaft_deviations import letter_fixes_upper, shaft_lower_nm, shaft_upper_nm
from service.metrology.tolerance_grades import NM_PER_MM, grade_rank, standard_tolerance_nm

FitKind = Literal["clearance", "transition", "interference"]

_ONE_MM_NM = NM_PER_MM


@dataclass(frozen=True, slots=True)
class LimitsOfSize:
    """The two limits of one toleranced size; deviations and sizes in nanometres, exact in millimetres too."""

    nominal_nm: int
    kind: HoleOrShaft
    upper_nm: int
    lower_nm: int

    @property
    def max_nm(self) -> int:
        """Upper limit of size, nanometres."""
        return self.nominal_nm + self.upper_nm

    @property
    def min_nm(self) -> int:
        """Lower limit of size, nanometres."""
        return self.nominal_nm + self.lower_nm

    @property
    def tolerance_nm(self) -> int:
        """Upper limit minus lower limit, nanometres."""
        return self.upper_nm - self.lower_nm

    @property
    def nominal_mm(self) -> Decimal:
        """Nominal size, millimetres."""
        return _mm(self.nominal_nm)

    @property
    def upper_mm(self) -> Decimal:
        """Upper limit deviation (ES or es), millimetres."""
        return _mm(self.upper_nm)

    @property
    def lower_mm(self) -> Decimal:
        """Lower limit deviation (EI or ei), millimetres."""
        return _mm(self.lower_nm)

    @property
    def max_mm(self) -> Decimal:
        """Upper limit of size, millimetres."""
        return _mm(self.max_nm)

    @property
    def min_mm(self) -> Decimal:
        """Lower limit of size, millimetres."""
        return _mm(self.min_nm)

    @property
    def tolerance_mm(self) -> Decimal:
        """Tolerance, millimetres."""
        return _mm(self.tolerance_nm)


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft of one nominal size. A negative clearance is an interference."""

    hole: LimitsOfSize
    shaft: LimitsOfSize

    @property
    def clearance_max_nm(self) -> int:
        """Largest hole less smallest shaft, nanometres."""
        return self.hole.max_nm - self.shaft.min_nm

    @property
    def clearance_min_nm(self) -> int:
        """Smallest hole less largest shaft, nanometres."""
        return self.hole.min_nm - self.shaft.max_nm

    @property
    def kind(self) -> FitKind:
        """ISO 286-1:2010, 3.3: least clearance zero is a clearance fit, greatest zero an interference fit."""
        if self.clearance_min_nm >= 0:
            return "clearance"
        return "interference" if self.clearance_max_nm <= 0 else "transition"


def limits_of_size(tolerance_class: ToleranceClass) -> LimitsOfSize:
    """The limits that ISO 286-1 gives to a tolerance class, in nanometres.

    JS and js keep their half micrometres. Raises MetrologyError (`class-not-defined`,
    `grade-not-for-small-sizes`) where the standard defines nothing, saying why.
    """
    nominal, letter, grade = tolerance_class.nominal_nm, tolerance_class.letter, tolerance_class.grade
    tolerance = standard_tolerance_nm(nominal, grade)
    _refuse_up_to_one_mm(tolerance_class)
    if letter.lower() == "js":
        return LimitsOfSize(nominal, tolerance_class.kind, tolerance // 2, -(tolerance // 2))
    upper: int | None
    lower: int | None
    if tolerance_class.kind == "shaft":
        if letter_fixes_upper(letter):
            upper, lower = shaft_upper_nm(letter, nominal), None
        else:
            upper, lower = None, shaft_lower_nm(letter, nominal, grade)
    elif letter_fixes_upper(letter.lower()):
        upper, lower = None, hole_lower_nm(letter, nominal)
    else:
        upper, lower = hole_upper_nm(letter, nominal, grade), None
    if upper is not None:
        return LimitsOfSize(nominal, tolerance_class.kind, upper, upper - tolerance)
    if lower is not None:
        return LimitsOfSize(nominal, tolerance_class.kind, lower + tolerance, lower)
    raise MetrologyError(
        "class-not-defined",
        f"ISO 286-1 does not define {tolerance_class}: {_where(tolerance_class)}.",
        "designation",
    )


def fit(text: str) -> Fit:
    """The fit that a designation such as `25 H7/g6` names; raises as `fit_classes` and `limits_of_size`."""
    hole, shaft = fit_classes(text)
    return Fit(limits_of_size(hole), limits_of_size(shaft))


def _refuse_up_to_one_mm(wanted: ToleranceClass) -> None:
    if wanted.nominal_nm > _ONE_MM_NM:
        return
    never = wanted.letter.lower() in ("a", "b")
    if never or (wanted.letter == "N" and grade_rank(wanted.grade) > grade_rank("8")):
        what = wanted.letter if never else f"{wanted.letter} above IT8"
        raise MetrologyError(
            "class-not-defined",
            f"ISO 286-1 does not use {what} for nominal sizes up to 1 mm ({wanted}): choose another class.",
            "designation",
        )


def _where(wanted: ToleranceClass) -> str:
    """For which sizes and grades the standard has the letter, for the sentence of a refusal."""
    letter = wanted.letter
    whole_letter = {
        "cd": "it ends at 50 mm",
        "ef": "it ends at 50 mm",
        "fg": "it ends at 50 mm",
        "t": "it starts over 24 mm",
        "v": "it starts over 14 mm",
        "y": "it starts over 18 mm",
        "j": "it is there for j5 to j7, and for j8 up to 3 mm",
        "J": "it is there for J6, J7 and J8",
    }
    reason = whole_letter.get(letter) or whole_letter.get(letter.lower())
    needs_delta = wanted.kind == "hole" and letter != "J" and not letter_fixes_upper(letter.lower())
    defined_but_for_delta = needs_delta and shaft_lower_nm(letter.lower(), wanted.nominal_nm, "7") is not None
    if wanted.grade == "01" and defined_but_for_delta:
        return f"over 3 mm the Delta of {letter} needs a grade finer than its own, and IT01 has none"
    return reason or f"{letter} above IT8 ends at 3 mm"


def _mm(nanometres: int) -> Decimal:
    return Decimal(nanometres) / NM_PER_MM

"""Reading tolerance designations as they stand on drawings: `0.85 H9`, `Ø12,5 JS8`, `25 H7/g6`."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.metrology.errors import MetrologyError
from service.metrology.shaft_deviations import SHAFT_LETTERS
from service.metrology.tolerance_grades import GRADES, LARGEST_NOMINAL_NM, NM_PER_MM
from service.metrology.typed_numbers import parse_decimal, plain

HoleOrShaft = Literal["hole", "shaft"]

_ONE_CLASS = re.compile(r"[Ø⌀∅ø]?\s*(?P<size>[\d.,]+)\s*(?P<letter>[A-Za-z]+)\s*(?P<grade>\d{1,2})", re.ASCII)
_CLASS_ALONE = re.compile(r"\s*(?P<letter>[A-Za-z]+)\s*(?P<grade>\d{1,2})", re.ASCII)
_LONGEST_DESIGNATION = 40


@dataclass(frozen=True, slots=True)
class ToleranceClass:
    """One toleranced size: nominal size in nanometres, class letter, grade (`01`, `0`, `1` ... `18`)."""

    nominal_nm: int
    letter: str
    grade: str

    @property
    def kind(self) -> HoleOrShaft:
        """Capital letters are holes (internal sizes), small letters are shafts: ISO 286-1:2010, 4.1."""
        return "hole" if self.letter.isupper() else "shaft"

    @property
    def nominal_mm(self) -> Decimal:
        """The nominal size in millimetres, exact."""
        return Decimal(self.nominal_nm) / NM_PER_MM

    @property
    def class_name(self) -> str:
        """Letter and grade as written after the size, such as `H7`."""
        return f"{self.letter}{self.grade}"

    def __str__(self) -> str:
        return f"{plain(self.nominal_mm)} {self.class_name}"


def tolerance_class(text: str) -> ToleranceClass:
    """Read one designation: size in millimetres, letter, grade; spaces, Ø and the decimal comma are free.

    Raises MetrologyError with code `designation-unreadable`, `class-letter-not-defined`,
    `grade-not-defined` or `nominal-size-outside-table`.
    """
    typed = text.strip()
    match = _ONE_CLASS.fullmatch(typed) if len(typed) <= _LONGEST_DESIGNATION else None
    if match is None:
        raise _unreadable(typed, "write a size in mm, a letter and a grade, such as 0.85 H9")
    return _checked(_nominal_nm(match["size"]), match["letter"], match["grade"])


def fit_classes(text: str) -> tuple[ToleranceClass, ToleranceClass]:
    """Read the designation of a fit, hole first: `25 H7/g6`. The nominal size stands once.

    Raises MetrologyError as `tolerance_class` does, and `fit-order` when the two are not hole and shaft.
    """
    first, slash, second = text.partition("/")
    match = _CLASS_ALONE.fullmatch(second.rstrip())
    if not slash or match is None or len(text) > _LONGEST_DESIGNATION:
        raise _unreadable(text.strip(), "write size, hole class, slash, shaft class, such as 25 H7/g6")
    hole = tolerance_class(first)
    shaft = _checked(hole.nominal_nm, match["letter"], match["grade"])
    if hole.kind != "hole" or shaft.kind != "shaft":
        raise MetrologyError(
            "fit-order",
            f"“{text.strip()}” is not a hole and a shaft: the hole's capital letter stands before the slash, "
            "the shaft's small letter after it, such as 25 H7/g6.",
            "designation",
        )
    return hole, shaft


def _nominal_nm(size: str) -> int:
    nominal_mm = parse_decimal(size, "designation")
    nominal_nm = nominal_mm * NM_PER_MM
    if not 0 < nominal_nm <= LARGEST_NOMINAL_NM:
        raise MetrologyError(
            "nominal-size-outside-table",
            f"A nominal size of {plain(nominal_mm)} mm is outside the tables kept here: "
            "ISO 286-1 starts over 0 mm, and this service carries it up to 500 mm.",
            "designation",
        )
    if nominal_nm != int(nominal_nm):
        raise MetrologyError(
            "nominal-size-too-fine",
            f"A nominal size of {plain(nominal_mm)} mm has more than six decimals: give it to the nanometre.",
            "designation",
        )
    return int(nominal_nm)


def _checked(nominal_nm: int, letter: str, grade: str) -> ToleranceClass:
    if not (letter.isupper() or letter.islower()):
        raise MetrologyError(
            "class-letter-not-defined",
            f"“{letter}” mixes capital and small letters: capitals are a hole, small letters are a shaft.",
            "designation",
        )
    if letter.lower() not in SHAFT_LETTERS:
        raise MetrologyError(
            "class-letter-not-defined",
            f"ISO 286-1 has no tolerance class {letter}: its letters are A to ZC for holes and a to zc for "
            "shafts, without I, L, O, Q and W.",
            "designation",
        )
    if grade not in GRADES:
        raise MetrologyError(
            "grade-not-defined", f"ISO 286-1 has no grade {grade}: use 01, 0 or 1 to 18.", "designation"
        )
    return ToleranceClass(nominal_nm, letter, grade)


def _unreadable(typed: str, remedy: str) -> MetrologyError:
    shown = typed if len(typed) <= _LONGEST_DESIGNATION else typed[:_LONGEST_DESIGNATION] + "…"
    return MetrologyError(
        "designation-unreadable", f"“{shown}” is not a tolerance designation: {remedy}.", "designation"
    )

"""Limits of size as a row of words, for the calculators that show them."""

from dataclasses import dataclass
from decimal import Decimal

from service.metrology.limits_and_fits import LimitsOfSize
from service.metrology.typed_numbers import plain

_UM_PER_MM = 1000


@dataclass(frozen=True)
class SizeRow:
    """One toleranced size: sizes in mm, deviations and tolerance in µm."""

    designation: str
    kind: str
    smallest: str
    largest: str
    lower: str
    upper: str
    tolerance: str


def size_row(designation: str, limits: LimitsOfSize) -> SizeRow:
    """The row of one size."""
    return SizeRow(
        designation,
        limits.kind.capitalize(),
        plain(limits.min_mm),
        plain(limits.max_mm),
        signed_um(limits.lower_mm),
        signed_um(limits.upper_mm),
        plain(limits.tolerance_mm * _UM_PER_MM),
    )


def signed_um(deviation_mm: Decimal) -> str:
    """A deviation in µm with its sign, as on a drawing: +21, −7, 0."""
    um = deviation_mm * _UM_PER_MM
    return f"{'+' if um > 0 else '−' if um < 0 else ''}{plain(abs(um))}"

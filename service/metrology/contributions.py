"""One line of an uncertainty budget: what is known of an input and what it does to the result (JCGM 100, the GUM).

Every constructor refuses what has no meaning with a MetrologyError that names the field at fault.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean, stdev

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import field_in_words

INFINITE = math.inf
"""Degrees of freedom of a standard uncertainty that is taken as exactly known: JCGM 100, G.4.3."""


class Distribution(StrEnum):
    """How the possible values of an input are spread."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    U_SHAPED = "u-shaped"

    @property
    def half_width_divisor(self) -> float:
        """Half-width ÷ this is the standard uncertainty; JCGM 100, 4.3.7, 4.3.9 and H.1.3.4 (arcsine).

        A normal distribution has no half-width: it is given by its U and k.
        """
        return {"rectangular": math.sqrt(3.0), "triangular": math.sqrt(6.0), "u-shaped": math.sqrt(2.0)}[self.value]


@dataclass(frozen=True, slots=True)
class Contribution:
    """An input with its standard uncertainty u (in the input's unit), its sensitivity c (unit of the result over
    unit of the input) and its degrees of freedom, `INFINITE` where u is taken as known."""

    name: str
    estimate: float
    standard_uncertainty: float
    sensitivity: float = 1.0
    degrees_of_freedom: float = INFINITE
    distribution: Distribution = Distribution.NORMAL

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise MetrologyError("contribution-unnamed", "A contribution has no name: say what it is.", "name")
        self._finite("estimate", self.estimate)
        self._finite("sensitivity", self.sensitivity)
        self._finite("standard_uncertainty", self.standard_uncertainty, least=0.0)
        if math.isnan(self.degrees_of_freedom) or self.degrees_of_freedom < 1:
            raise MetrologyError(
                "degrees-of-freedom-too-few",
                f"{self.name}: {self.degrees_of_freedom:g} degrees of freedom are too few: give at least 1.",
                "degrees_of_freedom",
            )

    def _finite(self, field: str, number: float, least: float = -INFINITE) -> None:
        if not math.isfinite(number) or number < least:
            wanted = "zero or a positive number" if least == 0.0 else "a plain number"
            raise MetrologyError(
                "contribution-not-a-number",
                f"{self.name}: {field_in_words(field).lower()} is {number:g}: give {wanted}.",
                field,
            )

    @property
    def effect(self) -> float:
        """c·u, signed, in the unit of the result: JCGM 100, 5.1.3."""
        return self.sensitivity * self.standard_uncertainty


def from_expanded(
    name: str,
    expanded_uncertainty: float,
    k: float,
    *,
    estimate: float = 0.0,
    sensitivity: float = 1.0,
    degrees_of_freedom: float = INFINITE,
) -> Contribution:
    """A calibration certificate's U with its k: u = U ÷ k, JCGM 100, 4.3.3.

    Raises MetrologyError on the field `k` or `expanded_uncertainty`, or as `Contribution` does.
    """
    if not math.isfinite(k) or k <= 0:
        raise MetrologyError("coverage-factor-not-positive", f"{name}: k is {k:g}: give the k of U, usually 2.", "k")
    _not_negative(name, "expanded_uncertainty", expanded_uncertainty)
    return Contribution(name, estimate, expanded_uncertainty / k, sensitivity, degrees_of_freedom)


def from_half_width(
    name: str,
    half_width: float,
    distribution: Distribution,
    *,
    estimate: float = 0.0,
    sensitivity: float = 1.0,
    degrees_of_freedom: float = INFINITE,
) -> Contribution:
    """An input known to lie within ± the half-width: JCGM 100, 4.3.7 (rectangular: a ÷ √3), 4.3.9 (triangular:
    a ÷ √6), H.1.3.4 (U-shaped, a cyclic change: a ÷ √2).

    Raises MetrologyError on the field `half_width` or `distribution`, or as `Contribution` does.
    """
    if distribution is Distribution.NORMAL:
        raise MetrologyError(
            "half-width-of-a-normal",
            f"{name}: a normal distribution has no half-width: give U with its k, or the standard uncertainty.",
            "distribution",
        )
    _not_negative(name, "half_width", half_width)
    uncertainty = half_width / distribution.half_width_divisor
    return Contribution(name, estimate, uncertainty, sensitivity, degrees_of_freedom, distribution)


def from_resolution(name: str, step: float, *, estimate: float = 0.0, sensitivity: float = 1.0) -> Contribution:
    """An indication that moves in steps of q: a rectangle of ± q ÷ 2, u = q ÷ (2·√3); JCGM 100, F.2.2.1.

    Raises MetrologyError on the field `resolution`.
    """
    _not_negative(name, "resolution", step)
    return from_half_width(name, step / 2.0, Distribution.RECTANGULAR, estimate=estimate, sensitivity=sensitivity)


def from_readings(name: str, readings: Sequence[float], *, sensitivity: float = 1.0) -> Contribution:
    """The mean of n repeats: u = s ÷ √n with n − 1 degrees of freedom; JCGM 100, 4.2.3 and 4.2.6.

    Raises MetrologyError `too-few-readings` on the field `readings` for fewer than two.
    """
    if len(readings) < 2:
        raise MetrologyError(
            "too-few-readings", f"{name}: one reading shows no scatter: take at least two.", "readings"
        )
    if not all(math.isfinite(reading) for reading in readings):
        raise MetrologyError(
            "reading-not-finite", f"{name}: a reading is not a plain number: read it again.", "readings"
        )
    count = len(readings)
    return Contribution(name, fmean(readings), stdev(readings) / math.sqrt(count), sensitivity, count - 1)


def from_history(
    name: str, pooled_deviation: float, degrees_of_freedom: float, readings: int = 1, *, estimate: float = 0.0
) -> Contribution:
    """Few readings now, many before: u = s_p ÷ √n with the degrees of freedom of the pooled s_p; JCGM 100, 4.2.4.

    `readings` is how many were taken now. Raises MetrologyError on `pooled_deviation`, `readings`, or as
    `Contribution` does.
    """
    _not_negative(name, "pooled_deviation", pooled_deviation)
    if readings < 1:
        raise MetrologyError("too-few-readings", f"{name}: there is no reading: take at least one.", "readings")
    return Contribution(name, estimate, pooled_deviation / math.sqrt(readings), 1.0, degrees_of_freedom)


def pooled_deviation(series: Sequence[Sequence[float]]) -> tuple[float, float]:
    """s_p and its degrees of freedom from earlier series of repeats: s_p² = Σ ν_i·s_i² ÷ Σ ν_i; JCGM 100, 4.2.4, H.3.6.

    A series of one reading says nothing and is passed over. Raises MetrologyError `too-few-readings` when no
    series has two.
    """
    repeated = [readings for readings in series if len(readings) >= 2]
    freedom = sum(len(readings) - 1 for readings in repeated)
    if not freedom:
        raise MetrologyError(
            "too-few-readings", "No earlier series has two readings: repeat a measurement first.", "history"
        )
    squares = math.fsum((len(readings) - 1) * stdev(readings) ** 2 for readings in repeated)
    return math.sqrt(squares / freedom), float(freedom)


def _not_negative(name: str, field: str, number: float) -> None:
    if not math.isfinite(number) or number < 0:
        raise MetrologyError(
            "uncertainty-negative",
            f"{name}: {field_in_words(field).lower()} is {number:g}: give zero or a positive number.",
            field,
        )

"""The budget of one result as it is kept with its verdict: exact decimals, contribution by contribution.

It is worked out once, when the result is judged, and never again: what is shown later is what was judged with.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from service.metrology.contributions import Contribution, Distribution
from service.metrology.typed_numbers import plain
from service.metrology.uncertainty_budget import BudgetLine, expand


class Evaluation(StrEnum):
    """How a contribution was evaluated: JCGM 100, 4.2 (from repeated readings) and 4.3 (from other knowledge)."""

    A = "A"
    B = "B"

    @property
    def label(self) -> str:
        """Words for people."""
        return "A, from repeated readings" if self is Evaluation.A else "B, from other knowledge"


class UncertaintyLine(NamedTuple):  # kept with every reading: as a list it takes half the room of named fields
    """One contribution. `stated` (U, half-width or standard deviation, in `stated_unit`) ÷ `divisor` is u.

    `sensitivity` is the unit of the result over `stated_unit`; `effect` is |c·u| in the unit of the result;
    `degrees_of_freedom` None is infinite; `share_percent` is its part of the variance of the result.
    """

    name: str
    evaluation: Evaluation
    distribution: Distribution
    stated: Decimal
    stated_unit: str
    divisor: Decimal
    standard_uncertainty: Decimal
    sensitivity: Decimal
    effect: Decimal
    degrees_of_freedom: Decimal | None
    share_percent: Decimal
    source: str


@dataclass(frozen=True, kw_only=True)
class UncertaintyBudget:
    """What a result is judged with: `expanded` = U and `k`, in `unit`; JCGM 100, 6 and annex G.

    `expanded` is k · `combined` rounded up to two significant digits, and never less than the calibration's own U.
    """

    unit: str
    lines: tuple[UncertaintyLine, ...]
    combined: Decimal
    effective_dof: Decimal | None
    """By Welch-Satterthwaite; None is infinite."""
    k: Decimal
    expanded: Decimal
    coverage_percent: Decimal = Decimal("95.45")
    unknown: tuple[str, ...] = ()
    """What no line stands for, each in a sentence."""
    by_calibration: bool = False
    """Whether U is that of the instrument's calibration, which was the larger one; k is then U ÷ `combined`."""

    @property
    def u_text(self) -> str:
        """U with its unit: `0.0021 mm`."""
        return f"{self.expanded:f} {self.unit}"

    @property
    def k_text(self) -> str:
        """k to two decimals: `2.05`, `2`."""
        return plain(self.k.quantize(Decimal("0.01")))


@dataclass(frozen=True, slots=True)
class BudgetRow:
    """A contribution with what was stated of it: `stated` ÷ `divisor` is its standard uncertainty, in `stated_unit`."""

    contribution: Contribution
    evaluation: Evaluation
    stated: float
    stated_unit: str
    divisor: float
    source: str


def kept_budget(rows: Sequence[BudgetRow], unit: str, least: Decimal, unknown: Sequence[str] = ()) -> UncertaintyBudget:
    """Combine the rows at a coverage of 95.45 % (`expand`), to be kept; U is at least `least`, in `unit`.

    Raises MetrologyError as `expand` does.
    """
    result = expand([row.contribution for row in rows])
    combined, k, expanded = figure(result.combined), figure(result.k), result.reported
    raised = expanded < least
    if raised:
        expanded = least
        k = figure(float(least) / result.combined) if result.combined else k
    return UncertaintyBudget(
        unit=unit,
        lines=tuple(_line(row, line) for row, line in zip(rows, result.lines, strict=True)),
        combined=combined,
        effective_dof=_freedom(result.effective_dof),
        k=k,
        expanded=expanded,
        unknown=tuple(unknown),
        by_calibration=raised,
    )


def figure(number: float) -> Decimal:
    """A float to five significant digits, which is more than any uncertainty is known to."""
    return Decimal(plain(Decimal(f"{number:.5g}")))


def _line(row: BudgetRow, line: BudgetLine) -> UncertaintyLine:
    one = row.contribution
    return UncertaintyLine(
        name=one.name,
        evaluation=row.evaluation,
        distribution=one.distribution,
        stated=figure(row.stated),
        stated_unit=row.stated_unit,
        divisor=figure(row.divisor),
        standard_uncertainty=figure(one.standard_uncertainty),
        sensitivity=figure(one.sensitivity),
        effect=figure(line.effect),
        degrees_of_freedom=_freedom(one.degrees_of_freedom),
        share_percent=Decimal(f"{100 * line.share:.1f}"),
        source=row.source,
    )


def _freedom(freedom: float) -> Decimal | None:
    return None if math.isinf(freedom) else figure(freedom)

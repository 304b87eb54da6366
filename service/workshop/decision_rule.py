"""The workshop's decision rule: how wide the guard band is, and how it is printed."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class DecisionRule:
    """Guard band as a multiple of the expanded uncertainty (1: w = U, the default of ISO 14253-1)."""

    guard_factor: Decimal = Decimal(1)

    @property
    def text(self) -> str:
        """As the certificate prints it."""
        if self.guard_factor == 0:
            return "Simple acceptance, JCGM 106:2012 8.2"
        return f"ISO 14253-1, guard band {self.guard_factor.normalize():f} × U (k = 2)"

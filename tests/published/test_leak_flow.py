"""Back leakage q = V ÷ t: its units against Pint, its uncertainty against JCGM 100 and JCGM 101.

Sources: JCGM 100:2008 (the GUM), 5.1.6, equation (12): where y = c·x1^p1·x2^p2 …, [u_c(y)/y]² = Σ [p_i·u(x_i)/x_i]²;
4.3.7 (a ÷ √3) and F.2.2.1 (the step of an indication) for the inputs; equation and clauses from memory. JCGM 101:2008,
5 and 7, for the draws. The litre is a cubic decimetre: SI Brochure, table 8 (number from memory).
"""

import math
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction

import numpy as np
import pint
import pytest

from service.hydraulics.leak_flow import leak_flow_ml_per_min
from service.metrology.units import convert, parse_quantity
from service.workshop.leak_budget import leak_budget
from tests.longer_plan import CYLINDER

pytestmark = pytest.mark.published

UNITS = pint.UnitRegistry()
CATCHES = [("6", 60), ("2.4", 30), ("24.8", 600), ("1.2", 7)]
DRAWS = 400_000


def relative_variance(volume: float, seconds: float) -> float:
    """Equation (12) with p = 1 for the volume and p = −1 for the time."""
    calibration = float(CYLINDER.expanded_uncertainty / CYLINDER.k)
    step = float(CYLINDER.resolution or 0) / 2 / math.sqrt(3)
    of_volume = (calibration**2 + step**2) / volume**2
    return of_volume + (0.3 / math.sqrt(3) / seconds) ** 2


@pytest.mark.parametrize(("volume", "seconds"), CATCHES)
def test_the_flow_of_a_catch_is_what_pint_makes_of_it(volume: str, seconds: int) -> None:
    wanted = UNITS.Quantity(float(volume), "milliliter") / UNITS.Quantity(seconds, "second")
    found = float(leak_flow_ml_per_min(D(volume), seconds))
    assert found == pytest.approx(wanted.to("milliliter/minute").magnitude, rel=1e-12)


@pytest.mark.parametrize("spelling", ["ml", "mL", "cm³", "cm3", "cc"])
def test_a_millilitre_is_a_cubic_centimetre(spelling: str) -> None:
    # SI Brochure, table 8: 1 L = 1 dm³ = 10⁻³ m³, exactly.
    assert Fraction(parse_quantity(f"12,5 {spelling}", "ml", "volume")) == Fraction("12.5")
    assert UNITS.Quantity(1, "milliliter").to("cm**3").magnitude == pytest.approx(1, rel=1e-15)
    assert convert(D(1), "cc/min", "ml/min") == 1


@pytest.mark.parametrize(("volume", "seconds"), CATCHES)
def test_the_uncertainty_of_the_flow_is_that_of_a_quotient(volume: str, seconds: int) -> None:
    budget = leak_budget(D(volume), seconds, CYLINDER)
    flow = float(leak_flow_ml_per_min(D(volume), seconds))
    # `combined` is kept to five significant digits.
    assert float(budget.combined) == pytest.approx(
        flow * math.sqrt(relative_variance(float(volume), seconds)), rel=1e-4
    )


def test_the_flow_lies_within_u_as_often_as_stated() -> None:
    # Short and small, so that the quotient is as far from a straight line as a bench brings it.
    volume, seconds = D("6"), 10
    cylinder = replace(CYLINDER, resolution=D("0.02"))
    budget = leak_budget(volume, seconds, cylinder)
    random = np.random.default_rng(20_7)
    volumes = float(volume) + random.normal(0, 0.05, DRAWS) + random.uniform(-0.01, 0.01, DRAWS)
    flows = 60 * volumes / (seconds + random.uniform(-0.3, 0.3, DRAWS))
    true = float(leak_flow_ml_per_min(volume, seconds))
    inside = float(np.mean(np.abs(flows - true) <= float(budget.k * budget.combined)))
    assert inside >= 0.9545 - 5 * math.sqrt(0.9545 * 0.0455 / DRAWS)

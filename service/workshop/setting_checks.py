"""Whether a test plan gives what the opening pressure is set by in a way that can be reckoned with."""

from collections.abc import Iterator

from service.hydraulics.disc_stock import StockedDisc, micrometres, stock_of
from service.metrology.errors import DomainError
from service.workshop.pressure_setting import plan_geometry
from service.workshop.test_plan import TestPlan


def setting_faults(plan: TestPlan) -> Iterator[str]:
    """What is wrong: spring and diameters come all three or not at all, and each disc is one that can be searched."""
    given = [value for value in (plan.spring_rate_n_per_mm, plan.guide_mm, plan.seat_mm) if value is not None]
    if given and len(given) < 3:
        yield "Give the spring rate, the guide and the seat diameter together, or none of the three."
    try:
        plan_geometry(plan)
        stock = stock_of(StockedDisc(micrometres(disc, "discs_mm")) for disc in plan.discs_mm)
    except DomainError as error:
        yield error.sentence
    else:
        if len(stock) < len(plan.discs_mm):
            yield "A thickness of disc is listed twice: list each once."

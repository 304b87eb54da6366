"""The verdict on one spray hole from the interval that calibrated pins leave for its size. Millimetres."""

from decimal import Decimal

from service.metrology.conformity import NEITHER_PROVEN, Conforms, DoesNotConform, NotProven, judge
from service.metrology.hole_brackets import HoleSize


def judge_hole(
    hole: HoleSize, lower_mm: Decimal | None, upper_mm: Decimal | None
) -> Conforms | NotProven | DoesNotConform:
    """Judge a hole against its limits of size: the whole interval of the pins has to lie inside, or outside.

    Of a closed bracket the value is the middle of the interval and the guard band is half of it, so that the
    verdict is that of ISO 14253-1 with the interval as the uncertainty: exact, without a distribution. Where only
    pins of one kind were tried, the known side alone can prove that a hole is too large (the reject pin entered)
    or too small; it never proves that it conforms.
    Raises MetrologyError as `conformity.judge`: `limits-missing`, `limits-crossed`.
    """
    if hole.lower_mm is not None and hole.upper_mm is not None:
        half = (hole.upper_mm - hole.lower_mm) / 2
        return judge(hole.lower_mm + half, lower_mm, upper_mm, half, Decimal(1))
    known = hole.lower_mm if hole.lower_mm is not None else hole.upper_mm
    if known is None:
        raise ValueError("a HoleSize has at least one pass")
    by_its_side = judge(known, lower_mm, upper_mm, Decimal(0), Decimal(0))
    proves_too_large = hole.lower_mm is not None and upper_mm is not None and known > upper_mm
    proves_too_small = hole.upper_mm is not None and lower_mm is not None and known < lower_mm
    if isinstance(by_its_side, DoesNotConform) and (proves_too_large or proves_too_small):
        return by_its_side
    return NotProven(known, lower_mm, upper_mm, Decimal(0), NEITHER_PROVEN)

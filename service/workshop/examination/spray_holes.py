"""Every spray hole tried with gauge pins: the reject pin in any one hole rejects the nozzle.

The pins count by their calibrated diameters. Without a class on the sheet its two pins are the limits, and a pin
that differs from its mark by no more than its uncertainty is what its mark says; with a class the whole bracket of
a hole, widened by the pins' uncertainty, has to lie inside the limits of size (ISO 14253-1). Spread and flow area
are judged by all that the brackets leave possible: no distribution and no guard band of the workshop enters.
"""

from dataclasses import dataclass
from decimal import Decimal

from service.metrology.conformity import Conforms, DoesNotConform
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import HoleSize, hole_size
from service.metrology.hole_verdicts import judge_hole
from service.workshop.examination.nozzle_sizes import nozzle_found
from service.workshop.examination.nozzle_words import NozzleJudged, limit_text, rule_text, sentence_of, value_text
from service.workshop.examination.pins_tried import pins_tried
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import Outcome, PinMeasurement
from service.workshop.nozzle_found import Bounded
from service.workshop.vocabulary import Disposition, VerdictKind

_CONFORMS, _OPEN, _FAILS = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM


@dataclass(frozen=True)
class _Hole:
    """One hole with its verdict; `too_large` says on which side it fails, or may fail."""

    size: HoleSize
    verdict: VerdictKind
    too_large: bool


def judge_pins(item: PinCharacteristic, measured: PinMeasurement) -> Outcome:
    """Go and no-go gauging, hole by hole, then spread and flow area; raises as `examine` does."""
    tried = pins_tried(item, measured)
    holes = {number: _judge(item, hole_size(str(number), passes)) for number, passes in tried.items()}
    sizes, verdicts = {n: one.size for n, one in holes.items()}, {n: one.verdict for n, one in holes.items()}
    found = nozzle_found(item, sizes, verdicts, calibrated=bool(measured.calibrated))
    judged = NozzleJudged(
        item=item,
        found=found,
        rejected=tuple(n for n, one in holes.items() if one.verdict is _FAILS and one.too_large),
        blocked=tuple(n for n, one in holes.items() if one.verdict is _FAILS and not one.too_large),
        open_above=tuple(n for n, one in holes.items() if one.verdict is _OPEN and one.too_large),
        open_below=tuple(n for n, one in holes.items() if one.verdict is _OPEN and not one.too_large),
        spread=_within(found.spread, None, item.spread_limit),
        area=_within(found.of_nominal, item.area_least, item.area_most),
        go_enters=tuple(n for n, size in sizes.items() if _answer(size, item.go_pin)[1]),
        reject_enters=tuple(n for n, size in sizes.items() if _answer(size, item.reject_pin)[1]),
    )
    return Outcome(
        verdict=_worst(judged),
        value=value_text(judged, sizes),
        limit=limit_text(item),
        sentence=sentence_of(judged),
        rule=rule_text(item, found),
        consequence=_consequence(judged),
        failed_holes=tuple(n for n, one in holes.items() if one.verdict is not _CONFORMS),
        unproven_holes=tuple(n for n, one in holes.items() if one.verdict is _OPEN),
        nozzle=found,
    )


def _judge(item: PinCharacteristic, size: HoleSize) -> _Hole:
    """The verdict on one hole: by its bracket where that proves something, else by the go and the reject pin."""
    limits = item.hole_limits
    lower, upper = (item.go_pin, item.reject_pin) if limits is None else (limits.min_mm, limits.max_mm)
    by_bracket = judge_hole(size, lower, upper)
    if isinstance(by_bracket, DoesNotConform):
        return _Hole(size, _FAILS, by_bracket.above_upper)
    go, go_enters = _answer(size, item.go_pin)
    reject, reject_enters = _answer(size, item.reject_pin)
    if reject_enters:
        # A reject pin worn under its mark also enters holes that the sheet would keep.
        return _Hole(size, _OPEN if _worn(reject) else _FAILS, True)
    if not go_enters:
        # A go pin over its mark, as a new one with its wear allowance, is also kept out by holes that are large enough.
        over = go.diameter_mm - go.expanded_uncertainty_mm > go.marked_mm
        return _Hole(size, _OPEN if over else _FAILS, False)
    if isinstance(by_bracket, Conforms):
        return _Hole(size, _CONFORMS, False)
    above = size.upper_mm is None or size.upper_mm > upper
    if limits is None:
        enough = not _worn(go) or not (size.lower_mm is None or size.lower_mm < lower)
        above = above and reject.diameter_mm - reject.expanded_uncertainty_mm > reject.marked_mm
        return _Hole(size, _CONFORMS if enough and not above else _OPEN, above)
    return _Hole(size, _OPEN, above)


def _answer(size: HoleSize, marked: Decimal) -> tuple[CalibratedPin, bool]:
    return next((one.pin, one.enters) for one in size.passes if one.pin.marked_mm == marked)


def _worn(pin: CalibratedPin) -> bool:
    """Whether the pin is under its mark by more than the uncertainty of its calibration."""
    return pin.diameter_mm + pin.expanded_uncertainty_mm < pin.marked_mm


def _within(value: Bounded | None, lower: Decimal | None, upper: Decimal | None) -> VerdictKind | None:
    """All that is possible lies inside, or outside, or neither is proven; None without a limit."""
    if lower is None and upper is None:
        return None
    if value is None:
        return _OPEN
    if (lower is not None and value.most < lower) or (upper is not None and value.least > upper):
        return _FAILS
    inside = (lower is None or value.least >= lower) and (upper is None or value.most <= upper)
    return _CONFORMS if inside else _OPEN


def _worst(judged: NozzleJudged) -> VerdictKind:
    if judged.rejected or judged.blocked or _FAILS in (judged.spread, judged.area):
        return _FAILS
    unproven = judged.open_above or judged.open_below or _OPEN in (judged.spread, judged.area)
    return _OPEN if unproven else _CONFORMS


def _consequence(judged: NozzleJudged) -> Disposition | None:
    """Too large outweighs too small: a hole can be cleaned, not filled."""
    item = judged.item
    if judged.rejected or judged.spread is _FAILS or (judged.area is _FAILS and not judged.area_too_small):
        return item.consequence
    if judged.blocked or judged.area is _FAILS:
        return item.undersize_consequence
    if judged.open_above or judged.spread is _OPEN or judged.area is _OPEN:
        return item.consequence
    return item.undersize_consequence if judged.open_below else None

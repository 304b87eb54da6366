"""Every spray hole tried with gauge pins: the reject pin in any one hole rejects the nozzle."""

from decimal import Decimal

from service.metrology.gauging import PinPass, bracket_hole
from service.metrology.typed_numbers import plain
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import Outcome, PinMeasurement
from service.workshop.vocabulary import VerdictKind


def judge_pins(item: PinCharacteristic, measured: PinMeasurement) -> Outcome:
    """Go and no-go gauging, hole by hole; raises as `examine` does."""
    tried: dict[int, list[PinPass]] = {hole: [] for hole in range(1, item.holes + 1)}
    for one in measured.passes:
        if one.hole not in tried:
            raise ExaminationRefused("hole", f"The nozzle has holes 1 to {item.holes}.", "passes")
        if one.pin not in item.pins:
            raise ExaminationRefused("pin", f"The sheet has no pin of {plain(one.pin)} mm.", "passes")
        tried[one.hole].append(PinPass(one.pin, one.enters))
    for hole, passes in tried.items():
        answered = {one.pin_mm for one in passes}
        missing = [pin for pin in (item.go_pin, item.reject_pin) if pin not in answered]
        if missing:
            pins = " and ".join(f"{plain(pin)} mm" for pin in missing)
            raise ExaminationRefused("pin-not-tried", f"Hole {hole}: the {pins} pin is not answered.", f"hole-{hole}")
        bracket_hole(str(hole), passes)
    rejected = _holes_where(tried, item.reject_pin, enters=True)
    blocked = _holes_where(tried, item.go_pin, enters=False)
    go, reject = plain(item.go_pin), plain(item.reject_pin)
    if rejected:
        sentence = (
            f"The {reject} mm reject pin enters hole {_listed(rejected)}: one hole is enough to reject the nozzle."
        )
        consequence = item.consequence
    elif blocked:
        sentence = f"The {go} mm go pin does not enter hole {_listed(blocked)}: clean it and gauge again."
        consequence = item.undersize_consequence
    else:
        sentence, consequence = f"The {go} mm pin enters every hole, the {reject} mm pin none.", None
    return Outcome(
        verdict=VerdictKind.DOES_NOT_CONFORM if rejected or blocked else VerdictKind.CONFORMS,
        value=_bracket_text(tried),
        limit=f"{go} mm enters, {reject} mm does not, in every one of {item.holes} holes",
        sentence=sentence,
        rule="Go and no-go gauging; the reject pin in any one hole rejects",
        consequence=consequence,
        failed_holes=tuple(sorted({*rejected, *blocked})),
    )


def _holes_where(tried: dict[int, list[PinPass]], pin: Decimal, *, enters: bool) -> list[int]:
    return [hole for hole, passes in tried.items() if any(p.pin_mm == pin and p.enters is enters for p in passes)]


def _listed(holes: list[int]) -> str:
    return ", ".join(str(hole) for hole in holes)


def _bracket_text(tried: dict[int, list[PinPass]]) -> str:
    """Each hole with the largest pin that entered and the smallest that did not, holes alike taken together."""
    groups: dict[str, list[int]] = {}
    for hole, passes in tried.items():
        bracket = bracket_hole(str(hole), passes)
        low = "no pin" if bracket.largest_entering_mm is None else plain(bracket.largest_entering_mm)
        high = "open" if bracket.smallest_refused_mm is None else plain(bracket.smallest_refused_mm)
        groups.setdefault(f"{low} enters, {high} does not" if high != "open" else f"{low} enters", []).append(hole)
    return "; ".join(f"hole {_listed(holes)}: {text}" for text, holes in groups.items())

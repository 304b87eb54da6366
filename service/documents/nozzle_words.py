"""What is kept of a nozzle tried with gauge pins, in the words of page and certificate."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.nozzle_found import Bounded, HoleFound, NozzleFound
from service.workshop.vocabulary import VerdictKind

HOLE_COLUMNS = ("Hole", "Bracket mm", "Bracket with U mm", "Middle ± U (k = 2) mm", "Verdict")


@dataclass(frozen=True)
class HoleLine:
    """One hole: the diameters that enter and do not, both widened by their uncertainty, the middle, the verdict."""

    hole: str
    bracket: str
    widened: str
    middle: str
    verdict: VerdictKind


def hole_lines(found: NozzleFound) -> tuple[HoleLine, ...]:
    """Every hole in its order."""
    return tuple(
        HoleLine(
            hole=str(one.hole),
            bracket=_between(one.entering, one.refused),
            widened=_between(one.lower, one.upper),
            middle=_middle(one),
            verdict=one.verdict,
        )
        for one in found.holes
    )


def nozzle_facts(item: PinCharacteristic, found: NozzleFound) -> Iterator[tuple[str, str]]:
    """Label and value of what the holes make together; what is not known says why."""
    yield "Pins count by", "their calibrated diameters" if found.calibrated else "the sizes marked on them"
    if found.open_holes:
        holes = ", ".join(str(hole) for hole in found.open_holes)
        yield "Spread, flow area", f"not known: the size of hole {holes} is open to one side"
        return
    if found.spread is not None:
        yield "Hole to hole", f"{in_words(found.spread, 'mm')}{_limit(None, item.spread_limit, 'mm')}"
    if found.area is not None:
        yield "Flow area", in_words(found.area, "mm²")
    if found.nominal_area is None or found.of_nominal is None or found.since_new is None:
        yield "Against nominal", "not known: the limit sheet gives no nominal diameter"
        return
    yield (
        "Nominal area",
        f"{plain(found.nominal_area)} mm², {item.holes} × {plain(item.nominal_diameter or Decimal(0))} mm",
    )
    yield "Against nominal", f"{in_words(found.of_nominal, '%')}{_limit(item.area_least, item.area_most, '%')}"
    new = f"within {item.designation}" if item.designation else "of nominal size"
    yield "Change since new", f"{in_words(found.since_new, '%', signed=True)}; new is taken as {new}"


def in_words(value: Bounded, unit: str, *, signed: bool = False) -> str:
    """Value, U and the two ends that the brackets leave possible."""
    ends = f"{_signed(value.least, signed)} to {_signed(value.most, signed)} {unit}"
    return f"{_signed(value.value, signed)} {unit} (U = {plain(value.uncertainty)} {unit}), possible {ends}"


def _signed(value: Decimal, signed: bool) -> str:
    return f"+{plain(value)}" if signed and value > 0 else plain(value).replace("-", "−")


def _limit(least: Decimal | None, most: Decimal | None, unit: str) -> str:
    if least is not None and most is not None:
        return f"; allowed {plain(least)} to {plain(most)} {unit}"
    if least is not None:
        return f"; allowed at least {plain(least)} {unit}"
    return f"; allowed at most {plain(most)} {unit}" if most is not None else ""


def _between(low: Decimal | None, high: Decimal | None) -> str:
    if low is not None and high is not None:
        return f"{plain(low)} to {plain(high)}"
    if low is not None:
        return f"{plain(low)} or more"
    return f"under {plain(high)}" if high is not None else "–"


def _middle(one: HoleFound) -> str:
    if one.best is None or one.uncertainty is None:
        return "open"
    return f"{plain(one.best.quantize(Decimal('0.0001')))} ± {plain(one.uncertainty)}"

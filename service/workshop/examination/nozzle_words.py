"""What is said of a nozzle tried with gauge pins: found, asked for, decided and why."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.metrology.hole_brackets import HoleSize
from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.nozzle_found import Bounded, NozzleFound
from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True, kw_only=True)
class NozzleJudged:
    """The holes by what became of them, and the verdicts on spread and flow area (None without a limit)."""

    item: PinCharacteristic
    found: NozzleFound
    rejected: tuple[int, ...]
    blocked: tuple[int, ...]
    open_above: tuple[int, ...]
    open_below: tuple[int, ...]
    spread: VerdictKind | None
    area: VerdictKind | None
    go_enters: tuple[int, ...]
    reject_enters: tuple[int, ...]

    @property
    def area_too_small(self) -> bool:
        """Whether it is the least area that the nozzle fails."""
        least, found = self.item.area_least, self.found.of_nominal
        return least is not None and found is not None and found.most < least


def sentence_of(judged: NozzleJudged) -> str:
    """Why it came out so: the holes first, then spread and flow area where the sheet has a limit for them."""
    if judged.found.open_holes:
        return " ".join(filter(None, (_holes_sentence(judged), _unknown_sentence(judged))))
    return " ".join(filter(None, (_holes_sentence(judged), _spread_sentence(judged), _area_sentence(judged))))


def _holes_sentence(judged: NozzleJudged) -> str:
    go, reject = plain(judged.item.go_pin), plain(judged.item.reject_pin)
    lower, upper = _limits(judged.item)
    if judged.rejected:
        entered = tuple(hole for hole in judged.rejected if hole in judged.reject_enters)
        if not entered:
            return (
                f"Hole {_listed(judged.rejected)} is larger than {upper} mm: one hole is enough to reject the nozzle."
            )
        return f"The {reject} mm reject pin enters hole {_listed(entered)}: one hole is enough to reject the nozzle."
    if judged.blocked:
        kept_out = tuple(hole for hole in judged.blocked if hole not in judged.go_enters)
        if not kept_out:
            return f"Hole {_listed(judged.blocked)} is smaller than {lower} mm: clean it and gauge again."
        return f"The {go} mm go pin does not enter hole {_listed(kept_out)}: clean it and gauge again."
    if worn := tuple(hole for hole in judged.open_above if hole in judged.reject_enters):
        return (
            f"Hole {_listed(worn)}: the {reject} mm reject pin enters, but it is worn under its mark and enters "
            "good holes too: gauge again with a sound one."
        )
    if unproven := tuple(sorted({*judged.open_above, *judged.open_below})):
        said = f"Hole {_listed(unproven)}: the pins do not prove a size from {lower} to {upper} mm, nor one outside."
        return f"{said} Try pins that lie inside these limits by more than their uncertainty."
    return f"The {go} mm pin enters every hole, the {reject} mm pin none."


def _unknown_sentence(judged: NozzleJudged) -> str:
    """Which of the nozzle's limits cannot be judged, and for want of which hole; '' where there is none."""
    asked = [name for name, verdict in (("spread", judged.spread), ("flow area", judged.area)) if verdict is not None]
    if not asked:
        return ""
    be = "is" if len(asked) == 1 else "are"
    said = f"{' and '.join(asked).capitalize()} {be} not known"
    return f"{said}, since the size of hole {_listed(judged.found.open_holes)} is open to one side."


def _spread_sentence(judged: NozzleJudged) -> str:
    limit, found = judged.item.spread_limit, judged.found.spread
    if judged.spread is None or limit is None or found is None:
        return ""
    said = f"The holes differ by {plain(found.least)} to {plain(found.most)} mm; allowed are {plain(limit)} mm"
    return f"{said}{_ENDS[judged.spread]}"


def _area_sentence(judged: NozzleJudged) -> str:
    found = judged.found.of_nominal
    if judged.area is None or found is None:
        return ""
    return f"The flow area is {_per_cent(found)}; allowed {_allowed_area(judged.item)}{_ENDS[judged.area]}"


_ONE_IS_ENOUGH = "one hole is enough to reject the nozzle."
_ENDS = {
    VerdictKind.CONFORMS: ".",
    VerdictKind.NOT_PROVEN: ": not proven. Try pins between those tried.",
    VerdictKind.DOES_NOT_CONFORM: ": too far off.",
}


def limit_text(item: PinCharacteristic) -> str:
    """All that the sheet asks for."""
    pins, *others = limit_parts(item)
    return "; ".join((pins[1], *(f"{label[0].lower()}{label[1:]} {limit}" for label, limit in others)))


def limit_parts(item: PinCharacteristic) -> tuple[tuple[str, str], ...]:
    """The same one by one, each with its label; the pins come first."""
    pins = f"{plain(item.go_pin)} mm enters, {plain(item.reject_pin)} mm does not, in every one of {item.holes} holes"
    said = [("Limit", pins)]
    if item.designation is not None:
        lower, upper = _limits(item)
        said.append(("Each bracket", f"inside {lower} to {upper} mm ({item.designation})"))
    if item.spread_limit is not None:
        said.append(("Spread", f"at most {plain(item.spread_limit)} mm"))
    if item.area_least is not None or item.area_most is not None:
        said.append(("Flow area", _allowed_area(item)))
    return tuple(said)


def value_text(judged: NozzleJudged, sizes: Mapping[int, HoleSize]) -> str:
    """Each hole with the marks of the largest pin that entered and the smallest that did not, holes alike together."""
    groups: dict[str, list[int]] = {}
    for hole, size in sizes.items():
        entered = [one.pin.marked_mm for one in size.passes if one.enters]
        refused = [one.pin.marked_mm for one in size.passes if not one.enters]
        low = "no pin" if not entered else plain(max(entered))
        text = f"{low} enters, {plain(min(refused))} does not" if refused else f"{low} enters"
        groups.setdefault(text, []).append(hole)
    said = [f"hole {_listed(tuple(holes))}: {text}" for text, holes in groups.items()]
    if judged.found.spread is not None and judged.item.spread_limit is not None:
        said.append(f"spread {plain(judged.found.spread.least)} to {plain(judged.found.spread.most)} mm")
    if judged.found.of_nominal is not None:
        said.append(f"flow area {_per_cent(judged.found.of_nominal)}")
    return "; ".join(said)


def rule_text(item: PinCharacteristic, found: NozzleFound) -> str:
    """How it was decided, as it is printed."""
    pins = "by calibrated diameters" if found.calibrated else "by the marks on the pins"
    limits = item.designation or item.spread_limit or item.area_least or item.area_most
    said = "Go and no-go gauging" if not found.calibrated and not limits else f"Go and no-go gauging {pins}"
    by_bracket = "; limits by the whole bracket with U, ISO 14253-1" if limits else ""
    return f"{said}; the reject pin in any one hole rejects{by_bracket}"


def _limits(item: PinCharacteristic) -> tuple[str, str]:
    of_class = item.hole_limits
    lower, upper = (item.go_pin, item.reject_pin) if of_class is None else (of_class.min_mm, of_class.max_mm)
    return plain(lower), plain(upper)


def _allowed_area(item: PinCharacteristic) -> str:
    least, most = item.area_least, item.area_most
    if least is not None and most is not None:
        return f"{plain(least)} % to {plain(most)} % of nominal"
    if least is not None:
        return f"at least {plain(least)} % of nominal"
    return f"at most {plain(most)} % of nominal" if most is not None else ""


def _per_cent(found: Bounded) -> str:
    return f"{plain(found.least)} % to {plain(found.most)} % of nominal"


def _listed(holes: tuple[int, ...]) -> str:
    return ", ".join(str(hole) for hole in holes)

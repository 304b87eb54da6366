"""A verdict of the metrology in words, for the calculators that give one."""

from dataclasses import dataclass

from service.metrology.conformity import Conforms, DoesNotConform, NotProven, Verdict
from service.metrology.typed_numbers import plain
from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True)
class VerdictWords:
    """For the panel: the mark, the label, the reason; and the rule with its clause."""

    mark: str
    label: str
    sentence: str
    rule: str


def verdict_words(verdict: Verdict, unit: str) -> VerdictWords:
    """What the verdict is and why."""
    kind = VerdictKind(verdict.name)
    return VerdictWords(kind.value, kind.label, _reason(verdict, unit), f"{verdict.clause}.")


def _reason(verdict: Verdict, unit: str) -> str:
    band = f"{plain(verdict.guard_band)} {unit}"
    beyond = f"{plain(abs(verdict.excess))} {unit}"
    match verdict:
        case Conforms() if verdict.guard_band:
            return f"It lies {beyond} inside the nearer limit, and the guard band is {band}."
        case Conforms():
            return f"It lies {beyond} inside the nearer limit; no uncertainty is counted."
        case DoesNotConform() if verdict.guard_band:
            return f"It lies {beyond} outside, and the guard band is {band}."
        case DoesNotConform():
            return f"It lies {beyond} outside; no uncertainty is counted."
        case NotProven() if verdict.zone_too_narrow:
            return f"The limits are closer than two guard bands of {band}: no value can conform at this uncertainty."
        case NotProven():
            side = "outside" if verdict.excess > 0 else "inside"
            less = f"It lies {beyond} {side}, less than the guard band of {band}."
            return f"{less} Not proven is not a pass: measure better."

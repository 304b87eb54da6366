"""The daily check of a test rig: blanked line, clamp springs, oil. Runs rest on it: what is not proven is not good.

The checks themselves are common practice, no source; their limits are the workshop's own, kept with the rig.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.metrology.budget_rows import resolution_row
from service.metrology.conformity import Conforms, DoesNotConform, NotProven
from service.metrology.errors import DomainError
from service.metrology.kept_budget import UncertaintyBudget, kept_budget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.decision_rule import DecisionRule
from service.workshop.measurements import InstrumentUse
from service.workshop.reading_budget import TWO_READINGS, difference_budget
from service.workshop.test_rig import HIGHEST_BAR, LONGEST_S, BlankedLine, ClampSprings, TestRig
from service.workshop.vocabulary import VerdictKind

_LARGEST_N = Decimal(1_000_000)


class CheckRefused(DomainError):
    """A check that cannot be recorded as it stands."""


@dataclass(frozen=True, kw_only=True)
class LineHeld:
    """Pressure (bar) at which the blanked line was shut off, the pressure after so many seconds, and the gauge."""

    start_bar: Decimal
    end_bar: Decimal
    held_s: int
    gauge: InstrumentUse


@dataclass(frozen=True, kw_only=True)
class SpringsTried:
    """Force (N) of each clamp spring at its working length, and what it was measured with."""

    forces_n: tuple[Decimal, ...]
    tester: InstrumentUse


@dataclass(frozen=True, kw_only=True)
class CheckLine:
    """One thing that was checked, with its verdict and reason."""

    what: str
    verdict: VerdictKind
    sentence: str


@dataclass(frozen=True, kw_only=True)
class RigCheck:
    """A check as it was recorded and judged; the rig as it stood is in its lines."""

    line: LineHeld
    springs: SpringsTried | None
    found: tuple[CheckLine, ...]
    rule: str
    remark: str = ""

    @property
    def good(self) -> bool:
        """Everything conforms for certain."""
        return all(one.verdict is VerdictKind.CONFORMS for one in self.found)


def check_rig(
    rig: TestRig, line: LineHeld, springs: SpringsTried | None, on: date, rule: DecisionRule, remark: str = ""
) -> RigCheck:
    """Judge a check made on that day.

    Raises CheckRefused: a pressure that rises, a time without meaning, springs that are missing or too many;
    MetrologyError for a pressure or force that nobody can have read.
    """
    found = [_line(rig.line, line, rule), _oil(rig, on)]
    if rig.springs is not None:
        found += _springs(rig.springs, springs, rule)
    elif springs is not None:
        raise CheckRefused("springs", f"Rig {rig.code} has no clamp springs on its card.", "forces_n")
    return RigCheck(line=line, springs=springs, found=tuple(found), rule=rule.text, remark=remark.strip())


def drop_budget(gauge: InstrumentUse) -> UncertaintyBudget:
    """Of a drop read on one gauge at nearly one pressure, in bar: JCGM 100, 5.2.2.

    Both readings share what the calibration leaves open, which cancels; each has the resolution to itself, which
    therefore counts √2 times. Where the register does not state it the calibration's U stands in, since whoever
    calibrated the gauge read the same dial.
    """
    if gauge.resolution is None:
        return difference_budget(gauge)
    row = resolution_row(gauge.resolution, "bar", f"{gauge.code} by the register, two readings", TWO_READINGS)
    shared = "What the calibration of the gauge leaves open is the same in both readings and cancels."
    return kept_budget([row], "bar", Decimal(0), [shared])


def _line(asked: BlankedLine, held: LineHeld, rule: DecisionRule) -> CheckLine:
    check_magnitude(held.start_bar, Decimal(0), HIGHEST_BAR, "start_bar", "bar")
    check_magnitude(held.end_bar, Decimal(0), HIGHEST_BAR, "end_bar", "bar")
    if not 0 <= held.held_s <= LONGEST_S:
        raise CheckRefused("held", f"Enter the time held in seconds, 0 to {LONGEST_S}.", "held_s")
    drop = held.start_bar - held.end_bar
    if drop < 0:
        raise CheckRefused(
            "rising",
            "The pressure rose while the line was blanked: pump, shut off, let it settle, try again.",
            "end_bar",
        )
    budget = drop_budget(held.gauge)
    u, k = budget.expanded, budget.k
    doubt = f"U = {plain(u)} bar"
    if held.gauge.resolution is None:
        doubt += f", from its calibration: the register does not state the resolution of {held.gauge.code}"
    shown, most = f"{plain(drop)} bar in {held.held_s} s", f"{plain(asked.drop_max_bar)} bar in {asked.hold_s} s"
    certain = rule.judge(_least_in_time(drop, held.held_s, asked.hold_s), None, asked.drop_max_bar, u, k)
    verdict = rule.judge(drop, None, asked.drop_max_bar, u, k)
    if isinstance(certain, DoesNotConform):
        return _said("Blanked line", certain, f"It lost {shown}, more than {most}: find the leak of the rig.")
    if held.start_bar < asked.pressure_bar or held.held_s < asked.hold_s:
        sentence = (
            f"It was tried at {plain(held.start_bar)} bar for {held.held_s} s; "
            f"{plain(asked.pressure_bar)} bar for {asked.hold_s} s are asked: hold it again."
        )
    elif isinstance(verdict, Conforms):
        return _said("Blanked line", verdict, f"It lost {shown}; {most} are allowed, {doubt}.")
    elif held.held_s > asked.hold_s:
        sentence = f"It lost {shown}; {most} are allowed, {doubt}: hold it again and read it after {asked.hold_s} s."
    else:
        near = f"It lost {shown}, too near {most} to be proven on this gauge, {doubt}"
        sentence = f"{near}: find what it loses, or read a finer gauge."
    return CheckLine(what="Blanked line", verdict=VerdictKind.NOT_PROVEN, sentence=sentence)


def _least_in_time(drop_bar: Decimal, held_s: int, asked_s: int) -> Decimal:
    """What was lost at the least in the time asked: a leak slows as the pressure falls, so its even share, bar."""
    return drop_bar if held_s <= asked_s else drop_bar * asked_s / held_s


def _springs(asked: ClampSprings, tried: SpringsTried | None, rule: DecisionRule) -> list[CheckLine]:
    forces = () if tried is None else tried.forces_n
    if tried is None or len(forces) != asked.count:
        raise CheckRefused("springs", f"Enter the force of each of the {asked.count} clamp springs.", "forces_n")
    lines = []
    for place, force in enumerate(forces, start=1):
        check_magnitude(force, Decimal(0), _LARGEST_N, f"forces_n-{place}", "N")
        use = tried.tester
        verdict = rule.judge(force, asked.lower_n, asked.upper_n, use.expanded_uncertainty, use.k)
        band = f"{plain(asked.lower_n)} to {plain(asked.upper_n)} N"
        words = {Conforms: "inside", NotProven: "too near a limit of", DoesNotConform: "outside"}[type(verdict)]
        mend = "." if isinstance(verdict, Conforms) else ": replace the spring before anything is clamped."
        sentence = f"{plain(force)} N, {words} {band}, U = {plain(use.expanded_uncertainty)} N{mend}"
        lines.append(_said(f"Clamp spring {place}", verdict, sentence))
    return lines


def _oil(rig: TestRig, on: date) -> CheckLine:
    if rig.oil is None:
        sentence = "Nobody has recorded which oil is in the rig: record the filling first."
        return CheckLine(what="Test oil", verdict=VerdictKind.NOT_PROVEN, sentence=sentence)
    stated = f"{rig.oil.name}, {plain(rig.oil.viscosity_mm2_s)} mm²/s at 40 °C, changed on {rig.oil.changed_on}"
    if rig.oil_due is not None and rig.oil_due < on:
        sentence = f"{stated}, was due on {rig.oil_due}: change the oil, then check the rig."
        return CheckLine(what="Test oil", verdict=VerdictKind.DOES_NOT_CONFORM, sentence=sentence)
    return CheckLine(what="Test oil", verdict=VerdictKind.CONFORMS, sentence=f"{stated}.")


def _said(what: str, verdict: Conforms | NotProven | DoesNotConform, sentence: str) -> CheckLine:
    return CheckLine(what=what, verdict=VerdictKind(verdict.name), sentence=sentence)

"""The workshop's decision rule: how wide the guard band is, and how it is printed."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from service.metrology.conformity import Conforms, DoesNotConform, NotProven
from service.metrology.guard_band import FactorOfU, GuardBand, NoGuardBand, TargetProbability, judge_by
from service.metrology.typed_numbers import plain

_SIMPLE = "Simple acceptance, JCGM 106:2012 8.2"


class RuleKind(StrEnum):
    """The kinds of rule that hold for a whole workshop.

    A fixed width is not among them: it has a unit, so it belongs to one characteristic.
    """

    SIMPLE_ACCEPTANCE = "simple-acceptance"
    GUARD_BAND_BY_UNCERTAINTY = "guard-band-by-uncertainty"
    GUARD_BAND_BY_PROBABILITY = "guard-band-by-probability"

    @property
    def label(self) -> str:
        """The words on screen."""
        return _LABELS[self]


_LABELS = {
    RuleKind.SIMPLE_ACCEPTANCE: "Simple acceptance",
    RuleKind.GUARD_BAND_BY_UNCERTAINTY: "Guard band as a factor of U",
    RuleKind.GUARD_BAND_BY_PROBABILITY: "Guard band by probability",
}


@dataclass(frozen=True)
class DecisionRule:
    """Guard band as a multiple of the expanded uncertainty (1: w = U, the default of ISO 14253-1).

    With a `probability` (over 0.5, under 1) the guard band is as wide as that probability of conformity asks for,
    and the factor is not used. `version` is the number of the workshop's setting; a verdict keeps it in the text.
    """

    guard_factor: Decimal = Decimal(1)
    probability: Decimal | None = None
    version: int | None = None

    @property
    def kind(self) -> RuleKind:
        """Which kind of rule it is."""
        if self.probability is not None:
            return RuleKind.GUARD_BAND_BY_PROBABILITY
        return RuleKind.SIMPLE_ACCEPTANCE if self.guard_factor == 0 else RuleKind.GUARD_BAND_BY_UNCERTAINTY

    @property
    def guard_band(self) -> GuardBand:
        """The rule as the metrology room takes it."""
        if self.probability is not None:
            return TargetProbability(self.probability)
        return NoGuardBand() if self.guard_factor == 0 else FactorOfU(self.guard_factor)

    @property
    def text(self) -> str:
        """As the certificate prints it."""
        version = "" if self.version is None else f"Rule {self.version}: "
        if self.probability is not None:
            return f"{version}JCGM 106:2012 8.3, guard band for {plain(100 * self.probability)} % probability"
        if self.guard_factor == 0:
            return f"{version}{_SIMPLE}"
        return f"{version}ISO 14253-1, guard band {plain(self.guard_factor)} × U"

    @property
    def in_words(self) -> str:
        """What it says of a value, for people."""
        if self.probability is not None:
            percent = plain(100 * self.probability)
            inside = f"with a probability of at least {percent} %, the true value lies inside the limits"
            return f"A value conforms where, {inside}. Beyond a limit by as much it fails; in between it is not proven."
        if self.guard_factor == 0:
            return "A value on or inside its limits conforms, beyond them it fails: near a limit the risk is shared."
        band = "" if self.guard_factor == 1 else f"{plain(self.guard_factor)} times "
        inside = f"A value conforms where it lies inside its limits by at least {band}its expanded uncertainty U."
        return f"{inside} Beyond a limit by as much it fails; in between it is not proven."

    @property
    def torque_text(self) -> str:
        """What a torque is judged by under every rule: its wrench's own uncertainty is inside the maker's band."""
        return f"{_SIMPLE} (torque)" if self.version is None else f"Rule {self.version}, torque: {_SIMPLE}"

    def judge(
        self,
        value: Decimal,
        lower: Decimal | None,
        upper: Decimal | None,
        expanded_uncertainty: Decimal,
        k: Decimal = Decimal(2),
    ) -> Conforms | NotProven | DoesNotConform:
        """Judge a value by this rule, all in one unit; raises MetrologyError as `guard_band.judge_by` does."""
        return judge_by(self.guard_band, value, lower, upper, expanded_uncertainty, k)

"""What is recorded of one overhaul: an ordered list of entries that is only ever appended to.

Everything else (verdicts in force, dispositions, stage, what blocks the release) follows from these by rule.
"""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from service.workshop.measurements import InstrumentUse, Measurement, Outcome
from service.workshop.step_results import StepOutcome, StepResult
from service.workshop.test_rig import RigUse
from service.workshop.vocabulary import Disposition, PartState, Phase, RunPurpose, VerdictKind


@dataclass(frozen=True, kw_only=True)
class PartFound:
    """How one part came out."""

    part: str
    state: PartState


@dataclass(frozen=True, kw_only=True)
class Stripped:
    """The injector was taken apart and cleaned, all seals discarded."""

    kind: Literal["stripped"] = "stripped"
    parts: tuple[PartFound, ...]
    seals_discarded: bool
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class Examined:
    """One characteristic was measured or looked at, and judged."""

    kind: Literal["examined"] = "examined"
    characteristic: str
    part: str
    phase: Phase
    measurement: Measurement
    outcome: Outcome
    rejudged_from: int | None = None
    """Sequence of the entry that this one replaces, its measurement judged again; None where it was measured."""

    @property
    def conforms(self) -> bool:
        """True only where conformity is proven."""
        return self.outcome.verdict is VerdictKind.CONFORMS


@dataclass(frozen=True, kw_only=True)
class PartSettled:
    """The technician settled what happens to a part; milder than proposed asks for a concession."""

    kind: Literal["settled"] = "settled"
    part: str
    proposed: Disposition
    chosen: Disposition
    reason: str = ""

    @property
    def milder(self) -> bool:
        """True where the choice goes against the rule and needs a concession."""
        return self.chosen.severity < self.proposed.severity


@dataclass(frozen=True, kw_only=True)
class ConcessionDecided:
    """A manager granted or refused a concession for one settled part."""

    kind: Literal["concession"] = "concession"
    part: str
    chosen: Disposition
    granted: bool
    reason: str


@dataclass(frozen=True, kw_only=True)
class OfficeAnswered:
    """The ship's office accepted or declined work beyond its standing order."""

    kind: Literal["office-answer"] = "office-answer"
    part: str
    disposition: Disposition
    accepted: bool
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class PartReworked:
    """Grinding, milling or cleaning of one part; sizes before and after are examined on their own."""

    kind: Literal["reworked"] = "reworked"
    part: str
    method: str


@dataclass(frozen=True, kw_only=True)
class PartFitted:
    """A new part, a new matched assembly or a new seal, with its batch or serial."""

    kind: Literal["fitted"] = "fitted"
    item: str
    """Key of the part or of the assembly."""
    batch: str


@dataclass(frozen=True, kw_only=True)
class Torqued:
    """A thread tightened with a named wrench, in N·m."""

    kind: Literal["torqued"] = "torqued"
    point: str
    value: Decimal
    wrench: InstrumentUse
    outcome: Outcome


@dataclass(frozen=True, kw_only=True)
class DiscsChanged:
    """Adjusting discs added or taken out, in mm; this opens the injector."""

    kind: Literal["discs-changed"] = "discs-changed"
    added: tuple[Decimal, ...]
    removed: tuple[Decimal, ...]
    reason: str


@dataclass(frozen=True, kw_only=True)
class Reopened:
    """The injector was opened again after assembly."""

    kind: Literal["reopened"] = "reopened"
    reason: str


@dataclass(frozen=True, kw_only=True)
class BenchRunStarted:
    """A run on the test rig began; its number is the sequence of this entry."""

    kind: Literal["bench-run"] = "bench-run"
    purpose: RunPurpose
    gauge: InstrumentUse
    rig: RigUse | None = None
    """None where no rig was named, or before rigs were registered."""
    indicative: str = ""
    """Why the run supports no release; '' where it may."""

    @property
    def shown_unit(self) -> str:
        """The unit of the rig's dial: bar where no rig is known."""
        return "bar" if self.rig is None else self.rig.unit


@dataclass(frozen=True, kw_only=True)
class BenchStepRecorded:
    """One step of a run."""

    kind: Literal["bench-step"] = "bench-step"
    run: int
    step: str
    result: StepResult
    outcome: StepOutcome


@dataclass(frozen=True, kw_only=True)
class Held:
    """Nothing goes on until a manager lifts this."""

    kind: Literal["held"] = "held"
    reason: str


@dataclass(frozen=True, kw_only=True)
class HoldLifted:
    """A manager lifted the hold."""

    kind: Literal["hold-lifted"] = "hold-lifted"
    reason: str


@dataclass(frozen=True, kw_only=True)
class Returned:
    """Sent back unrepaired."""

    kind: Literal["returned"] = "returned"
    reason: str


@dataclass(frozen=True, kw_only=True)
class Condemned:
    """Scrapped."""

    kind: Literal["condemned"] = "condemned"
    reason: str


@dataclass(frozen=True, kw_only=True)
class Released:
    """A manager signed and a certificate was issued."""

    kind: Literal["released"] = "released"
    certificate: str
    signed_on: date
    replaces: str = ""
    """Number of the certificate of this overhaul that this one is issued instead of, "" for the first."""
    reason: str = ""
    """Why it was replaced while it was in force."""


@dataclass(frozen=True, kw_only=True)
class CertificateWithdrawn:
    """A manager took the certificate back: the injector is held until a manager lets it go on."""

    kind: Literal["withdrawn"] = "withdrawn"
    certificate: str
    reason: str


Content = (
    Stripped
    | Examined
    | PartSettled
    | ConcessionDecided
    | OfficeAnswered
    | PartReworked
    | PartFitted
    | Torqued
    | DiscsChanged
    | Reopened
    | BenchRunStarted
    | BenchStepRecorded
    | Held
    | HoldLifted
    | Returned
    | Condemned
    | Released
    | CertificateWithdrawn
)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One recorded fact: its place in the overhaul's order, when (UTC), by whom as the name was, and what."""

    seq: int
    at: datetime
    person: str
    content: Content

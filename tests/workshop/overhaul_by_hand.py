"""An overhaul recorded entry by entry on plain values, each entry asked of the rules before it is appended."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from decimal import Decimal as D

from service.workshop.agreement import AgreementLine, agreement_lines
from service.workshop.bench_judgement import judge_step
from service.workshop.decision_rule import DecisionRule
from service.workshop.disposition import Proposal, check_settlement, propose
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    ConcessionDecided,
    Content,
    DiscsChanged,
    Entry,
    Examined,
    OfficeAnswered,
    PartFitted,
    PartFound,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Stripped,
    Torqued,
)
from service.workshop.examination import examine
from service.workshop.limit_sheet import LimitSheet
from service.workshop.measurements import Measurement, Outcome
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import check_permitted
from service.workshop.proving import BenchRun, bench_run
from service.workshop.rebuild import rebuild_gaps
from service.workshop.release_gate import Blocker, release_blockers
from service.workshop.stages import stage_of
from service.workshop.step_results import StepOutcome, StepResult
from service.workshop.torque import judge_torque
from service.workshop.vocabulary import Disposition, PartState, Phase, RunPurpose, Stage
from tests.small_findings import PASSING, SOUND
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

RULE = DecisionRule()
AT = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
EVERYTHING = frozenset({Disposition.REWORK, Disposition.REPLACE, Disposition.REPLACE_ASSEMBLY})


class ByHand:
    """The record as it grows; a refusal leaves it as it was."""

    def __init__(self, sheet: LimitSheet = SMALL_SHEET, standing_order: Iterable[Disposition] = EVERYTHING) -> None:
        self.sheet = sheet
        self.record = OverhaulRecord(sheet=sheet, standing_order=frozenset(standing_order), entries=())

    def put(self, content: Content) -> int:
        """Append what the rules permit; gives its sequence."""
        check_permitted(self.record, content)
        seq = self.record.last_seq + 1
        entry = Entry(seq=seq, at=AT, person="Tove Technician", content=content)
        self.record = OverhaulRecord(
            sheet=self.sheet, standing_order=self.record.standing_order, entries=(*self.record.entries, entry)
        )
        return seq

    @property
    def stage(self) -> Stage:
        """Where it stands."""
        return stage_of(self.record)

    @property
    def blockers(self) -> tuple[Blocker, ...]:
        """What is missing."""
        return release_blockers(self.record)

    @property
    def lines(self) -> tuple[AgreementLine, ...]:
        """What the office is asked."""
        return agreement_lines(self.record, propose(self.record))

    def proposal(self, part: str) -> Proposal:
        """What the rules propose for the part."""
        return propose(self.record)[part]

    def strip(self, **states: PartState) -> int:
        """Take it apart; parts not named come out freely."""
        parts = tuple(
            PartFound(part=part.key, state=states.get(part.key, PartState.FREE))
            for part in self.sheet.parts
            if not part.seal
        )
        return self.put(Stripped(parts=parts, seals_discarded=True))

    def examine(self, key: str, measurement: Measurement, phase: Phase = Phase.FOUND) -> Outcome:
        """Measure, judge and record."""
        item = self.sheet.characteristic_by_key[key]
        outcome = examine(item, measurement, RULE)
        self.put(Examined(characteristic=key, part=item.part, phase=phase, measurement=measurement, outcome=outcome))
        return outcome

    def examine_all(self, found: dict[str, Measurement] | None = None, but: Iterable[str] = ()) -> None:
        """Examine everything on the sheet but those; sound unless found otherwise."""
        for item in self.sheet.characteristics:
            if item.key not in but:
                self.examine(item.key, {**SOUND, **(found or {})}[item.key])

    def settle(self, part: str, chosen: Disposition | None = None, reason: str = "") -> PartSettled:
        """Settle as proposed, or otherwise with a reason."""
        proposal = self.proposal(part)
        wanted = chosen or proposal.disposition or Disposition.KEEP
        settled = check_settlement(self.sheet, proposal, wanted, reason)
        self.put(settled)
        return settled

    def settle_all(self) -> None:
        """Settle every part as proposed."""
        for part in self.sheet.parts:
            self.settle(part.key)

    def concede(self, part: str, granted: bool = True) -> int:
        """The manager decides on the milder choice."""
        chosen = self.record.settled[part][1].chosen
        return self.put(ConcessionDecided(part=part, chosen=chosen, granted=granted, reason="Seen and weighed."))

    def answer(self, part: str, accepted: bool = True) -> int:
        """The office answers the line."""
        chosen = self.record.settled[part][1].chosen
        return self.put(OfficeAnswered(part=part, disposition=chosen, accepted=accepted))

    def torque(self, value: str = "100", point: str = "nut") -> int:
        """Tighten with the wrench."""
        found = next(one for one in self.sheet.torques if one.key == point)
        wrench = INSTRUMENTS["WRENCH-1"]
        outcome = judge_torque(found, D(value), wrench, RULE)
        return self.put(Torqued(point=point, value=D(value), wrench=wrench, outcome=outcome))

    def rebuild(self) -> None:
        """Do every task that is left, in order."""
        while gaps := rebuild_gaps(self.record, propose(self.record)):
            task = gaps[0]
            match task.kind:
                case "fit":
                    self.put(PartFitted(item=task.key, batch="B-1"))
                case "rework":
                    self.put(PartReworked(part=task.key, method="Ground by hand."))
                case "recheck":
                    self.examine(task.key, SOUND[task.key], Phase.AFTER_REWORK)
                case _:
                    self.torque(point=task.key)

    def start_run(self, purpose: RunPurpose = RunPurpose.PROVING, indicative: str = "") -> int:
        """Begin a run; gives its number."""
        return self.put(BenchRunStarted(purpose=purpose, gauge=INSTRUMENTS["GAUGE-1"], indicative=indicative))

    def step(self, run: int, key: str, result: StepResult) -> StepOutcome:
        """Judge and record one step."""
        plan = self.sheet.test_plan
        outcome = judge_step(plan, plan.step_by_key[key], result, INSTRUMENTS["GAUGE-1"], RULE)
        self.put(BenchStepRecorded(run=run, step=key, result=result, outcome=outcome))
        return outcome

    def prove(self, indicative: str = "") -> int:
        """A whole passing run; gives its number."""
        run = self.start_run(indicative=indicative)
        for step in self.sheet.test_plan.steps:
            self.step(run, step.key, PASSING[step.key])
        return run

    def run(self, number: int) -> BenchRun:
        """How that run stands."""
        return bench_run(self.record, number)

    def reopen(self) -> int:
        """Open it again."""
        return self.put(Reopened(reason="It drips."))

    def discs(self, added: int = 1, removed: int = 0) -> int:
        """Change adjusting discs of 0.10 mm."""
        return self.put(
            DiscsChanged(added=(D("0.10"),) * added, removed=(D("0.10"),) * removed, reason="Pressure low.")
        )

    def release(self) -> int:
        """Sign."""
        return self.put(Released(certificate="RC-2026-00001", signed_on=date(2026, 3, 3)))


def at_stage(stage: Stage, found: dict[str, Measurement] | None = None) -> ByHand:
    """An overhaul brought to that stage the shortest way."""
    hand = ByHand()
    if stage is Stage.RECEIVED:
        return hand
    hand.strip()
    if stage is Stage.STRIPPED:
        return hand
    hand.examine_all(found)
    if stage is Stage.EXAMINED:
        return hand
    hand.settle_all()
    if stage is Stage.AGREED:
        return hand
    hand.rebuild()
    if stage is Stage.REBUILT:
        return hand
    hand.prove()
    if stage is Stage.RELEASED:
        hand.release()
    return hand

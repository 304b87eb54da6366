"""What is answered on one overhaul: plain models, filled by asking the rules."""

from collections.abc import Iterable
from datetime import date, datetime

from service.api.bodies import Answer
from service.api.overhauls.recorded import StepOutcomeAnswer, VerdictAnswer, step_answer, verdict_answer
from service.api.registers.rig_answers import RigUseAnswer, rig_use_answer
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.agreement import agreement_lines
from service.workshop.disposition import Proposal, possible_choices, propose, settlement_in_force
from service.workshop.entries import BenchStepRecorded
from service.workshop.limit_sheet import AnyCharacteristic, Part
from service.workshop.narration import narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, bench_runs
from service.workshop.rebuild import rebuild_tasks
from service.workshop.release_gate import release_blockers
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Disposition, Fuel, Packing, Phase, RunPurpose, SendReason, Stage


class OverhaulLineAnswer(Answer):
    """One overhaul in a list."""

    number: str
    consignment: str
    serial: str
    injector_type: str
    vessel: str
    imo_number: str
    stage: Stage
    held: bool
    opened_at: datetime
    due_on: date
    closed_at: datetime | None


class OverhaulPage(Answer):
    """One page."""

    items: list[OverhaulLineAnswer]
    next_after: int | None


class BlockerAnswer(Answer):
    """One thing missing before the release; `place` and `key` say where it is mended."""

    code: str
    sentence: str
    place: str
    key: str


class PartAnswer(Answer):
    """What the rules propose for a part, what may be chosen, what was settled and conceded."""

    part: str
    name: str
    assembly: str | None
    seal: bool
    proposed: Disposition | None
    reasons: list[str]
    choices: list[Disposition]
    settled: Disposition | None
    settled_reason: str
    concession: bool | None


class AgreementAnswer(Answer):
    """One line of work beyond the standing order; `accepted` is null while the office has not answered."""

    part: str
    part_name: str
    disposition: Disposition
    reasons: list[str]
    accepted: bool | None
    note: str


class CharacteristicAnswer(Answer):
    """One characteristic in examination order, with the verdicts in force; null where not examined."""

    key: str
    part: str
    title: str
    kind: str
    found: VerdictAnswer | None
    after_rework: VerdictAnswer | None


class TaskAnswer(Answer):
    """One thing to do at the rebuild: fit, rework, recheck or torque `key`."""

    kind: str
    key: str
    sentence: str
    done: bool


class BenchStepAnswer(Answer):
    """One recorded step."""

    step: str
    title: str
    outcome: StepOutcomeAnswer


class BenchRunAnswer(Answer):
    """One run; it counts unless `void_reason` says why not, and supports no release where `indicative` says why.

    `earlier` are the steps of which nobody could tell, and that were recorded again.
    """

    run: int
    purpose: RunPurpose
    gauge: str
    rig: RigUseAnswer | None
    steps: list[BenchStepAnswer]
    earlier: list[BenchStepAnswer]
    next_step: str | None
    passed: bool
    void_reason: str
    indicative: str


class EntryAnswer(Answer):
    """One record in words."""

    seq: int
    at: datetime
    person: str
    kind: str
    title: str
    sentence: str


class OverhaulAnswer(Answer):
    """One overhaul. Send `seen` with every form."""

    number: str
    consignment: str
    serial: str
    injector_type: str
    sheet_revision: int
    vessel: str
    imo_number: str
    cylinder: int
    position: str
    running_hours: int | None
    fuel: Fuel
    reason: SendReason
    packing: Packing
    remark: str
    opened_at: datetime
    due_on: date
    stage: Stage
    held: str | None
    seen: int
    blockers: list[BlockerAnswer]
    parts: list[PartAnswer]
    agreement: list[AgreementAnswer]
    characteristics: list[CharacteristicAnswer]
    tasks: list[TaskAnswer]
    bench_runs: list[BenchRunAnswer]
    entries: list[EntryAnswer]
    certificate: str | None


def overhaul_answer(loaded: LoadedOverhaul, certificate: str | None) -> OverhaulAnswer:
    """Everything on one overhaul."""
    row, record = loaded.row, loaded.record
    proposals = propose(record)
    return OverhaulAnswer(
        number=row.number,
        consignment=loaded.consignment.number,
        serial=loaded.unit.serial,
        injector_type=loaded.injector_type.code,
        sheet_revision=loaded.sheet.revision,
        vessel=loaded.vessel.name,
        imo_number=loaded.vessel.imo_number,
        cylinder=row.cylinder,
        position=row.position,
        running_hours=row.running_hours,
        fuel=Fuel(row.fuel),
        reason=SendReason(row.reason),
        packing=Packing(row.packing),
        remark=row.remark,
        opened_at=row.opened_at,
        due_on=loaded.consignment.due_on,
        stage=stage_of(record),
        held=record.held.reason if record.held else None,
        seen=record.last_seq,
        blockers=[BlockerAnswer.model_validate(blocker) for blocker in release_blockers(record)],
        parts=[_part(record, part, proposals[part.key]) for part in record.sheet.parts],
        agreement=[AgreementAnswer.model_validate(line) for line in agreement_lines(record, proposals)],
        characteristics=[_characteristic(record, item) for item in record.sheet.characteristics],
        tasks=[TaskAnswer.model_validate(task) for task in rebuild_tasks(record, proposals)],
        bench_runs=[_run(record, run) for purpose in RunPurpose for run in bench_runs(record, purpose)],
        entries=_entries(record),
        certificate=certificate,
    )


def _part(record: OverhaulRecord, part: Part, proposal: Proposal) -> PartAnswer:
    settled = settlement_in_force(record, proposal)
    conceded = record.concession(part.key) if settled else None
    return PartAnswer(
        part=part.key,
        name=part.name,
        assembly=part.assembly,
        seal=part.seal,
        proposed=proposal.disposition,
        reasons=list(proposal.reasons),
        choices=[choice for choice in possible_choices(part) if choice not in proposal.forbidden],
        settled=settled.chosen if settled else None,
        settled_reason=settled.reason if settled else "",
        concession=conceded.granted if conceded else None,
    )


def _characteristic(record: OverhaulRecord, item: AnyCharacteristic) -> CharacteristicAnswer:
    found, again = record.finding(item.key), record.finding(item.key, Phase.AFTER_REWORK)
    return CharacteristicAnswer(
        key=item.key,
        part=item.part,
        title=item.title,
        kind=item.kind,
        found=verdict_answer(found.outcome) if found else None,
        after_rework=verdict_answer(again.outcome) if again else None,
    )


def _run(record: OverhaulRecord, run: BenchRun) -> BenchRunAnswer:
    titles = record.sheet.test_plan.step_by_key

    def told(items: Iterable[BenchStepRecorded]) -> list[BenchStepAnswer]:
        return [
            BenchStepAnswer(step=item.step, title=titles[item.step].title, outcome=step_answer(item.outcome))
            for item in items
        ]

    return BenchRunAnswer(
        run=run.number,
        purpose=run.started.purpose,
        gauge=run.started.gauge.code,
        rig=rig_use_answer(run.started.rig),
        steps=told(run.results.values()),
        earlier=told(run.earlier),
        next_step=run.next_step.key if run.next_step else None,
        passed=run.passed,
        void_reason=run.void_reason,
        indicative=run.started.indicative,
    )


def _entries(record: OverhaulRecord) -> list[EntryAnswer]:
    told = ((entry, narrate(entry.content, record.sheet)) for entry in record.entries)
    return [
        EntryAnswer(
            seq=entry.seq,
            at=entry.at,
            person=entry.person,
            kind=entry.content.kind,
            title=words.title,
            sentence=words.sentence,
        )
        for entry, words in told
    ]

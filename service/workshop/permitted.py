"""What may be recorded when: the one table of transitions. Whatever it does not list is refused."""

from service.hydraulics.discs import added_discs
from service.metrology.errors import DomainError
from service.workshop.agreement import agreement_lines
from service.workshop.disposition import propose, settlement_in_force
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    CertificateWithdrawn,
    ConcessionDecided,
    Condemned,
    Content,
    DiscsChanged,
    Examined,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartFitted,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Returned,
    Stripped,
    Torqued,
)
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import bench_run
from service.workshop.rebuild import rebuild_tasks
from service.workshop.release_gate import release_blockers
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Phase, RunPurpose, Stage
from service.workshop.wording import as_sentence

R, S, E, A, B, P = (
    Stage.RECEIVED,
    Stage.STRIPPED,
    Stage.EXAMINED,
    Stage.AGREED,
    Stage.REBUILT,
    Stage.PROVED,
)
_OPEN = frozenset({R, S, E, A, B, P})
_REBUILDING = frozenset({A, B, P})

STAGES_FOR: dict[type, frozenset[Stage]] = {
    Stripped: frozenset({R}),
    Examined: frozenset({S, E, A, B, P}),
    PartSettled: frozenset({S, E, A, B, P}),
    ConcessionDecided: frozenset({S, E}),
    OfficeAnswered: frozenset({S, E}),
    PartReworked: _REBUILDING,
    PartFitted: _REBUILDING,
    Torqued: _REBUILDING,
    DiscsChanged: _REBUILDING,
    Reopened: frozenset({B, P}),
    BenchRunStarted: frozenset({R, B, P}),
    BenchStepRecorded: frozenset({R, B, P}),
    Held: _OPEN,
    HoldLifted: _OPEN,
    Returned: _OPEN,
    Condemned: _OPEN,
    Released: frozenset({P, Stage.RELEASED}),
    CertificateWithdrawn: frozenset({Stage.RELEASED}),
}
"""In which stages each kind of entry may be recorded."""

_REMEDIES = {
    R: "Strip the injector first.",
    S: "Finish the examination first.",
    E: "Settle and agree every part first.",
    A: "Finish the rebuild first.",
    B: "The injector is rebuilt: reopen it before you change anything.",
    P: "The injector is proved: reopen it before you change anything.",
}


class NotPermitted(DomainError):
    """An entry that has no place at this stage of this overhaul."""


def check_permitted(record: OverhaulRecord, content: Content) -> None:
    """Raise NotPermitted, with the remedy, where the content cannot be recorded now."""
    stage = stage_of(record)
    if stage.is_exit and stage not in STAGES_FOR[type(content)]:
        raise NotPermitted("over", f"This overhaul is over ({stage.value}): receive the injector again.")
    if record.held is not None and not isinstance(content, HoldLifted | Held):
        raise NotPermitted("held", f"Held: {as_sentence(record.held.reason)} A manager must lift the hold first.")
    if isinstance(content, Released) and not stage.is_exit and (blockers := release_blockers(record)):
        raise NotPermitted("blocked", " ".join(blocker.sentence for blocker in blockers))
    if stage not in STAGES_FOR[type(content)]:
        raise NotPermitted("stage", f"Not possible while the injector is {stage.value}. {_REMEDIES[stage]}")
    _check_content(record, content, stage)


def _check_content(record: OverhaulRecord, content: Content, stage: Stage) -> None:
    match content:
        case Stripped():
            _check_strip(record, content)
        case Examined(phase=Phase.AFTER_REWORK, part=part):
            if part not in record.reworked:
                raise NotPermitted("not-reworked", "Record the rework first, then measure again.")
        case ConcessionDecided(part=part, chosen=chosen):
            proposal = propose(record)[part]
            settled = settlement_in_force(record, proposal)
            if settled is None or not settled.milder or settled.chosen is not chosen:
                raise NotPermitted("no-request", "Nobody asks for a concession on this part as it stands.")
        case OfficeAnswered(part=part, disposition=disposition):
            lines = agreement_lines(record, propose(record))
            if not any(line.part == part and line.disposition is disposition for line in lines):
                raise NotPermitted("no-line", "Nobody asks the office about this work as it stands.")
        case PartFitted(item=item):
            _check_task(record, "fit", item, "Nothing new is to be fitted there: settle the part first.")
        case PartReworked(part=part):
            _check_task(record, "rework", part, "This part is not settled as rework.")
        case Torqued(point=point):
            _check_torque(record, point)
        case DiscsChanged(added=added, removed=removed):
            _check_discs(record, len(added), len(removed))
        case BenchRunStarted(purpose=purpose):
            if (purpose is RunPurpose.AS_FOUND) is not (stage is R):
                raise NotPermitted(
                    "purpose", "An as-found test comes before stripping, a proving run after rebuilding."
                )
        case BenchStepRecorded():
            _check_bench_step(record, content)
        case HoldLifted():
            if record.held is None:
                raise NotPermitted("not-held", "This injector is not held.")
        case Held():
            if record.held is not None:
                raise NotPermitted("held-already", "This injector is held already.")
        case Released() if stage is Stage.RELEASED:
            _check_replacement(record, content)
        case CertificateWithdrawn(certificate=number):
            if number != record.last_certificate:
                raise NotPermitted("not-in-force", f"Certificate {number} is not the one in force.")
        case _:
            pass


def _check_replacement(record: OverhaulRecord, content: Released) -> None:
    """What is released already is released again only in place of the certificate in force, and with a reason."""
    if not content.replaces:
        raise NotPermitted("over", f"This overhaul is over ({Stage.RELEASED.value}): receive the injector again.")
    if content.replaces != record.last_certificate:
        raise NotPermitted("not-in-force", f"Certificate {content.replaces} is not the one in force.")


def _check_discs(record: OverhaulRecord, added: int, removed: int) -> None:
    if added == 0 and removed == 0:
        raise NotPermitted("no-disc", "Enter the discs added or taken out.", "added")
    # More may come out than went in here: the injector arrived with discs of its own.
    fitted = max(0, record.discs_added - removed)
    allowance = added_discs(fitted, added, record.sheet.discs_added_max)
    if not allowance.allowed:
        raise NotPermitted("too-many-discs", allowance.sentence, "added")


def _check_strip(record: OverhaulRecord, content: Stripped) -> None:
    listed: set[str] = set()
    for found in content.parts:
        if found.part not in record.sheet.part_by_key:
            raise NotPermitted("no-part", f"The limit sheet has no such part: {found.part}.", f"state-{found.part}")
        if found.part in listed:
            name = record.sheet.part_by_key[found.part].name
            raise NotPermitted(
                "part-twice", f"{name} is listed twice: say once how it came out.", f"state-{found.part}"
            )
        listed.add(found.part)
    for part in record.sheet.parts:
        if not part.seal and part.key not in listed:
            raise NotPermitted("part-missing", f"Say how it came out: {part.name}.", f"state-{part.key}")
    if not content.seals_discarded:
        raise NotPermitted(
            "seals", "Discard every seal: all sealing rings are renewed at each overhaul.", "seals_discarded"
        )


def _check_task(record: OverhaulRecord, kind: str, key: str, sentence: str) -> None:
    tasks = rebuild_tasks(record, propose(record))
    if not any(task.kind == kind and task.key == key for task in tasks):
        raise NotPermitted("no-task", sentence)


def _check_torque(record: OverhaulRecord, point: str) -> None:
    missing = [t for t in rebuild_tasks(record, propose(record)) if t.kind != "torque" and not t.done]
    if missing:
        raise NotPermitted("not-assembled", f"Tighten last. Still to do: {missing[0].sentence}.")


def _check_bench_step(record: OverhaulRecord, content: BenchStepRecorded) -> None:
    numbers = {seq for seq, _ in record.all_of(BenchRunStarted)}
    if content.run not in numbers:
        raise NotPermitted("no-run", "There is no such bench run: start one.")
    run = bench_run(record, content.run)
    if (run.started.purpose is RunPurpose.AS_FOUND) is not (record.stripped is None):
        raise NotPermitted("as-found-over", "An as-found test ends with stripping: start a proving run.")
    if run.void_reason:
        raise NotPermitted("run-void", f"This run is void. {run.void_reason} Start a new run.")
    if run.failed_step is not None:
        raise NotPermitted("run-failed", "This run has failed: mend the cause and repeat the whole test.")
    if run.next_step is None or run.next_step.key != content.step:
        wanted = run.next_step.title if run.next_step else "nothing more"
        raise NotPermitted("step-order", f"The plan's order counts: {wanted} comes next.")

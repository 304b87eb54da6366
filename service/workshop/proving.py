"""Which bench results count: only those of the last undisturbed run, in the order of the test plan."""

from dataclasses import dataclass

from service.workshop.entries import BenchRunStarted, BenchStepRecorded, DiscsChanged, Reopened, Torqued
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.test_plan import AnyStep
from service.workshop.vocabulary import RunPurpose
from service.workshop.wording import as_sentence


@dataclass(frozen=True, kw_only=True)
class BenchRun:
    """One run with its results by step key, the newest of each. `void_reason` says why it no longer counts, else ''.

    `earlier` are the results that a later one of the same step took the place of, oldest first.
    """

    number: int
    started: BenchRunStarted
    results: dict[str, BenchStepRecorded]
    next_step: AnyStep | None
    """None once every step is decided or one has failed; a step of which nobody can tell comes next again."""
    void_reason: str
    earlier: tuple[BenchStepRecorded, ...] = ()

    @property
    def failed_step(self) -> str | None:
        """Key of the step that failed, which one that nobody can tell of did not."""
        return next((key for key, item in self.results.items() if item.outcome.failed), None)

    @property
    def undecided_step(self) -> str | None:
        """Key of the step of which nobody can tell yet."""
        return next((key for key, item in self.results.items() if item.outcome.undecided), None)

    @property
    def passed(self) -> bool:
        """Every step recorded and decided, none failed, nothing disturbed since."""
        return self.next_step is None and self.failed_step is None and not self.void_reason

    @property
    def proves(self) -> bool:
        """Passed, and on a rig that had been found good that day."""
        return self.passed and not self.started.indicative


def bench_runs(record: OverhaulRecord, purpose: RunPurpose) -> tuple[BenchRun, ...]:
    """All runs of that purpose, oldest first; the void ones stay visible with their reason."""
    numbers = [seq for seq, run in record.all_of(BenchRunStarted) if run.purpose is purpose]
    return tuple(bench_run(record, number) for number in numbers)


def bench_run(record: OverhaulRecord, number: int) -> BenchRun:
    """The run with that number. Raises StopIteration for a number that is no run."""
    started = next(run for seq, run in record.all_of(BenchRunStarted) if seq == number)
    made = [item for _, item in record.all_of(BenchStepRecorded) if item.run == number]
    results = {item.step: item for item in made}
    failed = any(item.outcome.failed for item in results.values())
    decided = {key for key, item in results.items() if not item.outcome.undecided}
    pending = [step for step in record.sheet.test_plan.steps if step.key not in decided]
    return BenchRun(
        number=number,
        started=started,
        results=results,
        next_step=pending[0] if pending and not failed else None,
        void_reason=_void_reason(record, number, started.purpose),
        earlier=tuple(item for item in made if results[item.step] is not item),
    )


def _void_reason(record: OverhaulRecord, number: int, purpose: RunPurpose) -> str:
    if purpose is RunPurpose.AS_FOUND:
        return ""  # what the owner sent is a fact that no later work undoes
    for entry in record.entries:
        if entry.seq <= number:
            continue
        content = entry.content
        if isinstance(content, DiscsChanged):
            return f"Adjusting discs were changed afterwards: {as_sentence(content.reason)}"
        if isinstance(content, Reopened):
            return f"The injector was reopened afterwards: {as_sentence(content.reason)}"
        if isinstance(content, Torqued):
            return "A thread was tightened afterwards."
        if isinstance(content, BenchRunStarted) and content.purpose is RunPurpose.PROVING:
            return "A newer run was started: the whole test is repeated."
    if record.opened_seq > number:
        return "A part was fitted or reworked afterwards."
    return ""


def proving_run(record: OverhaulRecord) -> BenchRun | None:
    """The newest proving run, void or not."""
    newest = record.newest_run(RunPurpose.PROVING)
    return bench_run(record, newest[0]) if newest else None


def is_proved(record: OverhaulRecord) -> bool:
    """The last undisturbed run passed every step of the plan, on a rig that was fit for it."""
    run = proving_run(record)
    return run is not None and run.proves

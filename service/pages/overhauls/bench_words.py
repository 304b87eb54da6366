"""The bench in words: how a run stands, what a change to the injector would cost, which instruments serve."""

from collections.abc import Iterable

from service.pages.choices import Option
from service.pages.rendering import day, minute
from service.records.examination_reads import ListedInstrument
from service.workshop.entries import BenchRunStarted
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, proving_run
from service.workshop.step_results import StepOutcome
from service.workshop.test_rig import RigUse


def at_stake(record: OverhaulRecord) -> str:
    """Which proving run becomes void when the injector is touched now; empty where nothing would be lost."""
    run = proving_run(record)
    if run is None or run.void_reason or run.failed_step or not run.results:
        return ""
    when = day(next(entry.at for entry in record.entries if entry.seq == run.number))
    how = "has passed" if run.passed else "is under way"
    return f"The proving run of {when} {how}. It becomes void, and the whole test is repeated from its first step."


def run_state(run: BenchRun) -> tuple[str, str]:
    """The mark of a run and the word for it."""
    if run.void_reason:
        return "not-measured", "Void: does not count"
    if run.failed_step is not None:
        return "does-not-conform", "Failed"
    if run.undecided_step is not None:
        return "not-proven", "Cannot tell yet"
    if run.next_step is not None:
        return "not-proven", "Not complete"
    return ("not-proven", "Passed, indicative only") if run.started.indicative else ("conforms", "Passed")


def gauge_and_rig(started: BenchRunStarted) -> str:
    """What a run was made with: `PG-01 on rig R-1`."""
    return started.gauge.code if started.rig is None else f"{started.gauge.code} on rig {started.rig.code}"


def rig_in_words(rig: RigUse | None) -> str:
    """The rig of a run with its check as it stood then."""
    if rig is None:
        return "not recorded"
    if rig.checked_at is None:
        return f"{rig.code}, not checked that day"
    return (
        f"{rig.code}, checked {minute(rig.checked_at)} by {rig.checked_by}, {'good' if rig.check_good else 'not good'}"
    )


def step_state(outcome: StepOutcome) -> tuple[str, str]:
    """The mark of a step that was recorded and the word for it."""
    return outcome.verdict.as_finding.value, outcome.verdict.label


def causes_in_words(outcome: StepOutcome) -> tuple[str, ...]:
    """The likely causes of a fail as lines of a list."""
    return tuple(cause[:1].upper() + cause[1:] for cause in outcome.likely_causes)


def in_date(instruments: Iterable[ListedInstrument]) -> tuple[Option, ...]:
    """Those whose calibration has not run out, to choose from."""
    return tuple(
        Option(one.code, " · ".join(word for word in (one.code, one.description, one.uncertainty) if word))
        for one in instruments
        if not one.overdue
    )

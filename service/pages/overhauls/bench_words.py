"""A bench run in words: how it stands, and what a change to the injector would cost."""

from service.pages.rendering import day
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, proving_run


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
    if run.next_step is not None:
        return "not-proven", "Not complete"
    return "conforms", "Passed"

"""Assembly and bench tests on a certificate: torques, adjusting discs, as-found and proving results."""

from typing import Any

from service.documents.budget_facts import budget_text
from service.documents.printed_values import (
    Block,
    cell,
    day,
    instrument_text,
    notice,
    row,
    statements,
    table,
    text,
    uncertainty_text,
)
from service.documents.rig_words import rig_sentences
from service.metrology.typed_numbers import plain
from service.workshop.entries import DiscsChanged
from service.workshop.measurements import InstrumentUse
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, bench_runs
from service.workshop.step_results import BackLeakageResult, OpeningPressureResult, StepResult
from service.workshop.vocabulary import RunPurpose, VerdictKind

_STEP_COLUMNS = ("No.", "Step", "Value", "Limit", "Result")
_TORQUE_COLUMNS = ("Thread", "Value", "Limit", "Verdict", "U (k = 2), wrench, calibration")


def torque_block(record: OverhaulRecord) -> Block:
    """The torque in force for each point of the sheet, with the wrench."""
    rows = []
    for point in record.sheet.torques:
        done = record.torqued.get(point.key)
        if done is None:
            limit = f"{plain(point.lower)} to {plain(point.upper)} N·m"
            rows.append(row(cell(point.title), cell("–"), cell(limit), cell("Not recorded", strong=True), cell("–")))
            continue
        outcome, wrench = done[1].outcome, done[1].wrench
        verdict = cell(outcome.verdict.label, strong=outcome.verdict is not VerdictKind.CONFORMS)
        instrument = cell(uncertainty_text(wrench), instrument_text(wrench))
        rows.append(row(cell(point.title), cell(outcome.value), cell(outcome.limit), verdict, instrument))
    return table("torques", _TORQUE_COLUMNS, rows) if rows else text("The limit sheet names no torque.")


def disc_block(record: OverhaulRecord) -> Block:
    """Every change of adjusting discs, and the net number against the sheet's limit."""
    lines = []
    for entry in record.entries:
        if isinstance(entry.content, DiscsChanged):
            changes = [f"{plain(disc)} mm added" for disc in entry.content.added]
            changes += [f"{plain(disc)} mm taken out" for disc in entry.content.removed]
            lines.append(f"{day(entry.at)}, {entry.person}: {', '.join(changes)}. {entry.content.reason}")
    most = record.sheet.discs_added_max
    if not lines:
        return text("No adjusting disc was added or taken out.")
    return statements([*lines, f"Net number of discs added: {record.discs_added}; the sheet allows at most {most}."])


def as_found_blocks(record: OverhaulRecord) -> list[Block]:
    """The results as the injector came in, or one sentence where it was not tried."""
    runs = bench_runs(record, RunPurpose.AS_FOUND)
    if not runs:
        return [text("Not tested as found.")]
    return [block for run in runs for block in _run_blocks(record, run, "As found")]


def proving_blocks(record: OverhaulRecord) -> list[Block]:
    """The run that counts step by step; each void or failed earlier run in one line with its reason."""
    runs = bench_runs(record, RunPurpose.PROVING)
    if not runs:
        return [text("Not proved on the test rig.")]
    *earlier, last = runs
    blocks = _run_blocks(record, last, "Proving run that counts" if last.passed else "Last proving run, not passed")
    if last.void_reason:
        blocks.append(text(f"This run is void. {last.void_reason}"))
    if earlier:
        blocks.append(statements([_void_line(record, run) for run in earlier]))
    return blocks


def _void_line(record: OverhaulRecord, run: BenchRun) -> str:
    failed = run.failed_step
    told = ""
    if failed is not None:
        title = record.sheet.test_plan.step_by_key[failed].title
        told = f" It failed at: {title}. {run.results[failed].outcome.sentence}"
    return f"Earlier run {run.number} of {_run_day(record, run)} is void. {run.void_reason}{told}"


def _run_day(record: OverhaulRecord, run: BenchRun) -> str:
    return next(day(entry.at) for entry in record.entries if entry.seq == run.number)


def _run_blocks(record: OverhaulRecord, run: BenchRun, title: str) -> list[Block]:
    gauge = run.started.gauge
    person = next(entry.person for entry in record.entries if entry.seq == run.number)
    head = f"{title}: run {run.number}, {_run_day(record, run)}, by {person}. "
    head += f"Gauge {instrument_text(gauge)}, {uncertainty_text(gauge)}. {rig_sentences(run.started.rig)}"
    blocks = [text(head.rstrip())]
    if run.started.indicative:
        blocks.append(notice("Indicative", f"{run.started.indicative} Nothing of this release rests on this test."))
    blocks.append(table("steps", _STEP_COLUMNS, _step_rows(record, run)))
    titles = record.sheet.test_plan.step_by_key
    before = [f"Recorded before, {titles[one.step].title}: {one.outcome.sentence}" for one in run.earlier]
    return [*blocks, statements(before)] if before else blocks


def _step_rows(record: OverhaulRecord, run: BenchRun) -> list[dict[str, Any]]:
    rows = []
    for number, step in enumerate(record.sheet.test_plan.steps, start=1):
        recorded = run.results.get(step.key)
        if recorded is None:
            verdict = cell("Not carried out", strong=True)
            rows.append(row(cell(str(number)), cell(step.title), cell("–"), cell("–"), verdict))
            continue
        outcome = recorded.outcome
        u = f"{budget_text(outcome.uncertainty)}." if outcome.uncertainty is not None else ""
        note = " ".join(filter(None, (_read(recorded.result), u, "" if outcome.passed else outcome.sentence)))
        result = cell(outcome.verdict.label, strong=not outcome.passed)
        value = cell(outcome.value, note)
        rows.append(row(cell(str(number)), cell(step.title), value, cell(outcome.limit), result))
    return rows


def _read(result: StepResult) -> str:
    """Each stroke, or what caught the oil; '' where the value says it all."""
    match result:
        case OpeningPressureResult(strokes_bar=strokes):
            return "Strokes: " + ", ".join(plain(stroke) for stroke in strokes) + " bar."
        case BackLeakageResult(cylinder=InstrumentUse() as cylinder):
            return f"Measuring cylinder {instrument_text(cylinder)}, {uncertainty_text(cylinder)}."
        case _:
            return ""

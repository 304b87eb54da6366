"""What the proving page shows: the runs, newest first, and the form that starts another."""

from dataclasses import dataclass
from urllib.parse import quote

from service.pages.choices import Option
from service.pages.overhauls.bench_words import at_stake, causes_in_words, gauge_and_rig, run_state, step_state
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.recordable import refusal_of, run_asked
from service.pages.overhauls.setting_view import SettingCard
from service.pages.overhauls.small_forms import Link, PageForms, SmallForm
from service.pages.overhauls.start_choices import IndicativeNotice, StartChoice
from service.pages.overhauls.step_expected import limit_on_dial, recorded_on_dial
from service.pages.rendering import FormState, Frame, minute
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import ON_THE_RIG, Caution, cautions
from service.workshop.entries import BenchRunStarted
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, bench_run
from service.workshop.test_plan import AnyStep, TestPlan
from service.workshop.vocabulary import RunPurpose, Stage

PURPOSE_WORDS = {RunPurpose.AS_FOUND: "As-found test", RunPurpose.PROVING: "Proving run"}


@dataclass(frozen=True)
class StepLine:
    """One step of a run with its newest result; `href` where it may be looked at.

    `value_on_dial` and `limit_on_dial` are the pressures in the unit of the rig's dial, '' where that is bar.
    """

    title: str
    mark: str
    state: str
    value: str = ""
    value_on_dial: str = ""
    limit: str = ""
    limit_on_dial: str = ""
    sentence: str = ""
    attempts: str = ""
    """How often nobody could tell before, in words."""
    href: str = ""


@dataclass(frozen=True)
class RunCard:
    """One run. A void or indicative one says why; `go_on` leads to the next step of the one under way."""

    number: int
    title: str
    started: str
    gauge: str
    mark: str
    state: str
    void_reason: str
    indicative: str
    causes: tuple[str, ...]
    next_action: str
    steps: tuple[StepLine, ...]
    go_on: Link | None


@dataclass(frozen=True)
class StartCard:
    """The form that starts a run of the purpose that this stage allows."""

    title: str
    purpose: str
    voids: str
    form: SmallForm
    is_open: bool


@dataclass(frozen=True)
class ProvingPage:
    """The whole page. `waiting` says why no run can be started."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    cautions: tuple[Caution, ...]
    waiting: str
    start: StartCard | None
    gauges: tuple[Option, ...]
    notices: tuple[IndicativeNotice, ...]
    setting: SettingCard | None
    runs: tuple[RunCard, ...]
    next_step: Link | None


def proving_page(
    frame: Frame,
    head: OverhaulHead,
    loaded: LoadedOverhaul,
    choices: tuple[StartChoice, ...],
    notices: tuple[IndicativeNotice, ...],
    setting: SettingCard | None,
    forms: PageForms,
) -> ProvingPage:
    """The page of one overhaul; `setting` where an opening pressure is off."""
    record = loaded.record
    purpose = startable(record)
    waiting = "" if purpose else refusal_of(record, run_asked(RunPurpose.PROVING))
    numbers = sorted((seq for seq, _ in record.all_of(BenchRunStarted)), reverse=True)
    start = None if purpose is None else _start(record, head, purpose, bool(numbers), forms)
    proved = head.stage is Stage.PROVED
    return ProvingPage(
        page=frame,
        head=head,
        unplaced=forms.unplaced,
        cautions=cautions(*ON_THE_RIG),
        waiting=waiting,
        start=start,
        gauges=tuple(one.option for one in choices),
        notices=notices,
        setting=setting,
        runs=tuple(_run(record, head, bench_run(record, number), purpose) for number in numbers),
        next_step=Link(f"{head.address}/release", "Go on to the release") if proved else None,
    )


def startable(record: OverhaulRecord) -> RunPurpose | None:
    """The purpose of a run that could be started now, None where none could."""
    return next((one for one in RunPurpose if not refusal_of(record, run_asked(one))), None)


def step_address(address: str, run: int, step: str) -> str:
    """Where one step of one run is done and looked at."""
    return f"{address}/bench-runs/{run}/steps/{quote(step)}"


def _start(record: OverhaulRecord, head: OverhaulHead, purpose: RunPurpose, again: bool, forms: PageForms) -> StartCard:
    words = PURPOSE_WORDS[purpose].lower()
    voids = at_stake(record) if purpose is RunPurpose.PROVING else ""
    form = forms.form("start", f"{head.address}/bench-runs")
    return StartCard(
        title=f"Start {'another' if again else 'the'} {words}",
        purpose=purpose.value,
        voids=voids,
        form=form,
        is_open=form.refused or not voids,
    )


def _run(record: OverhaulRecord, head: OverhaulHead, run: BenchRun, startable_now: RunPurpose | None) -> RunCard:
    entry = next(entry for entry in record.entries if entry.seq == run.number)
    mark, state = run_state(run)
    under_way = run.next_step is not None and not run.void_reason and run.started.purpose is startable_now
    failed = run.results[run.failed_step].outcome if run.failed_step else None
    go_on = None
    if under_way and run.next_step is not None:
        go_on = Link(step_address(head.address, run.number, run.next_step.key), f"Go on: {run.next_step.title}")
    return RunCard(
        number=run.number,
        title=PURPOSE_WORDS[run.started.purpose],
        started=f"{minute(entry.at)}, {entry.person}",
        gauge=gauge_and_rig(run.started),
        mark=mark,
        state=state,
        void_reason=run.void_reason,
        indicative=run.started.indicative,
        causes=causes_in_words(failed) if failed else (),
        next_action=failed.next_action if failed else "",
        steps=run_lines(head.number, record, run),
        go_on=go_on,
    )


def run_lines(number: str, record: OverhaulRecord, run: BenchRun) -> tuple[StepLine, ...]:
    """Every step of the plan with what the run recorded at it."""
    plan = record.sheet.test_plan
    return tuple(_step(f"/overhauls/{number}", plan, run, step) for step in plan.steps)


def _step(address: str, plan: TestPlan, run: BenchRun, step: AnyStep) -> StepLine:
    done = run.results.get(step.key)
    if done is None:
        return StepLine(step.title, "not-measured", "Not done")
    mark, state = step_state(done.outcome)
    unit, before = run.started.shown_unit, sum(one.step == step.key for one in run.earlier)
    return StepLine(
        title=step.title,
        mark=mark,
        state=state,
        value=done.outcome.value,
        value_on_dial=recorded_on_dial(done.result, unit),
        limit=done.outcome.limit,
        limit_on_dial=limit_on_dial(plan, step, unit),
        sentence=done.outcome.sentence,
        attempts=f"Recorded {before + 1} times" if before else "",
        href=step_address(address, run.number, step.key),
    )

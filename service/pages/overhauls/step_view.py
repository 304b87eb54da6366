"""What the screen of one bench step shows: what to do, what the plan expects, the form or the verdict."""

from dataclasses import dataclass

from service.metrology.units import unit_name
from service.pages.choices import Option
from service.pages.on_dial import unit_hint
from service.pages.overhauls.bench_words import gauge_and_rig
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.proving_view import PURPOSE_WORDS, startable, step_address
from service.pages.overhauls.small_forms import Fact, Link, PageForms, SmallForm
from service.pages.overhauls.step_choices import DRY_WET, SPRAYS, YES_NO, leak_options, stroke_labels
from service.pages.overhauls.step_expected import TimerShown, expected, timer_of
from service.pages.overhauls.step_holes import HolePlace, holes_of
from service.pages.overhauls.step_verdict import Attempt, StepVerdict, attempts_before, step_verdict
from service.pages.rendering import FormState, Frame
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import ON_THE_RIG, Caution, cautions
from service.workshop.entries import BenchStepRecorded
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun
from service.workshop.run_traces import takes_traces
from service.workshop.test_plan import AnyStep
from service.workshop.vocabulary import Stage


@dataclass(frozen=True)
class StepPage:
    """One step a screen: a form, or a verdict, both where nobody could tell, or `waiting`, which says why not."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    cautions: tuple[Caution, ...]
    run_title: str
    place: str
    title: str
    how: str
    kind: str
    expected: tuple[Fact, ...]
    unit: str
    """Of the rig's dial: what a bare number is in."""
    unit_hint: str
    timer: TimerShown | None
    holes: tuple[HolePlace, ...]
    form: SmallForm | None
    yes_no: tuple[Option, ...]
    dry_wet: tuple[Option, ...]
    sprays: tuple[Option, ...]
    strokes: tuple[str, ...]
    leaks: tuple[Option, ...]
    cylinders: tuple[Option, ...]
    verdict: StepVerdict | None
    attempts: tuple[Attempt, ...]
    void_reason: str
    indicative: str
    waiting: str
    next_step: Link
    traces: str
    """Where pressure traces of this step are kept, '' where it takes none."""


def step_page(
    frame: Frame,
    head: OverhaulHead,
    loaded: LoadedOverhaul,
    run: BenchRun,
    step: AnyStep,
    cylinders: tuple[Option, ...],
    forms: PageForms,
    paused: str = "",
) -> StepPage:
    """The screen of one step of one run; `cylinders` are those in date, to choose from where oil is caught.

    `paused` says why nothing can be recorded today, which is told beside the form.
    """
    record, started = loaded.record, run.started
    plan, unit = record.sheet.test_plan, unit_name(started.shown_unit)
    done = run.results.get(step.key)
    address = step_address(head.address, run.number, step.key)
    form = None
    if _comes_next(record, run, step) or forms.refusal is not None:
        form = forms.form("step", address, lists=("strokes_bar", "leaks"))
    attempts = attempts_before(record, run, step)
    tried = len(attempts) + (done is not None)
    return StepPage(
        page=frame,
        head=head,
        unplaced=forms.unplaced,
        cautions=cautions(*ON_THE_RIG),
        run_title=f"{PURPOSE_WORDS[started.purpose]}, gauge {gauge_and_rig(started)}",
        place=f"Step {plan.steps.index(step) + 1} of {len(plan.steps)}",
        title=step.title,
        how=step.how,
        kind=step.kind,
        expected=expected(plan, step, unit),
        unit=unit,
        unit_hint=unit_hint(unit),
        # Each recording has a time of its own: what was timed for the one before is not offered again.
        timer=timer_of(step, f"{address} {tried}"),
        holes=holes_of(step, done),
        form=form,
        yes_no=YES_NO,
        dry_wet=DRY_WET,
        sprays=SPRAYS,
        strokes=stroke_labels(step),
        leaks=leak_options(step),
        cylinders=cylinders,
        verdict=None if done is None else step_verdict(record, run, step, done),
        attempts=attempts,
        void_reason=run.void_reason,
        indicative=started.indicative,
        waiting=paused if form else "" if done else "This step is not the next one of this run.",
        next_step=_next(head, record, run, done),
        traces=f"{address}/traces" if takes_traces(step) else "",
    )


def _comes_next(record: OverhaulRecord, run: BenchRun, step: AnyStep) -> bool:
    next_here = run.next_step is not None and run.next_step.key == step.key
    return next_here and not run.void_reason and run.started.purpose is startable(record)


def _next(head: OverhaulHead, record: OverhaulRecord, run: BenchRun, done: BenchStepRecorded | None) -> Link:
    if done is not None and done.outcome.failed:
        return Link(f"{head.address}/proving", "Back to the runs")
    if run.next_step is not None and _comes_next(record, run, run.next_step):
        return Link(step_address(head.address, run.number, run.next_step.key), f"Next: {run.next_step.title}")
    if run.passed and head.stage is Stage.PROVED:
        return Link(f"{head.address}/release", "All steps passed: go on to the release")
    return Link(f"{head.address}/proving", "Back to the runs")

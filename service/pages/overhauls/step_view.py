"""What the screen of one bench step shows: what to do, what the plan expects, the form or the verdict."""

from dataclasses import dataclass
from math import cos, pi, sin

from service.actions.shop import NotFound
from service.pages.budget_view import BudgetShown, budget_shown
from service.pages.choices import Option
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.proving_view import PURPOSE_WORDS, startable, step_address
from service.pages.overhauls.small_forms import Fact, Link, PageForms, SmallForm
from service.pages.overhauls.step_forms import expected, hole_options, leak_options, stroke_labels
from service.pages.rendering import FormState, Frame
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import ON_THE_RIG, Caution, cautions
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, bench_run
from service.workshop.run_traces import takes_traces
from service.workshop.step_results import EmissionResult
from service.workshop.test_plan import AnyStep, EmissionStep

YES_NO = (Option("yes", "Yes"), Option("no", "No"))
DRY_WET = (Option("yes", "Stayed dry"), Option("no", "Oil came"))


@dataclass(frozen=True)
class HolePlace:
    """One spray hole of the drawing."""

    number: int
    x: int
    y: int
    state: str
    label: str


@dataclass(frozen=True)
class StepVerdict:
    """How the step came out."""

    mark: str
    label: str
    sentence: str
    facts: tuple[Fact, ...]
    next_action: str
    uncertainty: BudgetShown | None


@dataclass(frozen=True)
class StepPage:
    """One step a screen. Either a form, or a verdict, or `waiting`, which says why neither."""

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
    holes: tuple[HolePlace, ...]
    form: SmallForm | None
    yes_no: tuple[Option, ...]
    dry_wet: tuple[Option, ...]
    strokes: tuple[str, ...]
    hole_options: tuple[Option, ...]
    leaks: tuple[Option, ...]
    verdict: StepVerdict | None
    void_reason: str
    waiting: str
    next_step: Link
    traces: str
    """Where pressure traces of this step are kept, '' where it takes none."""


def step_page(
    frame: Frame, head: OverhaulHead, loaded: LoadedOverhaul, run: BenchRun, step: AnyStep, forms: PageForms
) -> StepPage:
    """The screen of one step of one run."""
    record = loaded.record
    plan = record.sheet.test_plan
    done = run.results.get(step.key)
    next_here = run.next_step is not None and run.next_step.key == step.key
    counts = next_here and not run.void_reason and run.started.purpose is startable(record)
    address = step_address(head.address, run.number, step.key)
    form = None
    if counts or forms.refusal is not None:
        form = forms.form("step", address, lists=("strokes_bar", "spraying", "leaks"))
    return StepPage(
        page=frame,
        head=head,
        unplaced=forms.unplaced,
        cautions=cautions(*ON_THE_RIG),
        run_title=f"{PURPOSE_WORDS[run.started.purpose]}, gauge {run.started.gauge.code}",
        place=f"Step {plan.steps.index(step) + 1} of {len(plan.steps)}",
        title=step.title,
        how=step.how,
        kind=step.kind,
        expected=expected(plan, step),
        holes=_holes(step, done),
        form=form,
        yes_no=YES_NO,
        dry_wet=DRY_WET,
        strokes=stroke_labels(step),
        hole_options=hole_options(step),
        leaks=leak_options(step),
        verdict=None if done is None else _verdict(done),
        void_reason=run.void_reason,
        waiting="" if done or form else "This step is not the next one of this run.",
        next_step=_next(head, record, run, done),
        traces=f"{address}/traces" if takes_traces(step) else "",
    )


def run_and_step(record: OverhaulRecord, run: int, step: str) -> tuple[BenchRun, AnyStep]:
    """That step of that run. Raises NotFound."""
    found = record.sheet.test_plan.step_by_key.get(step)
    if found is None or run not in {seq for seq, _ in record.all_of(BenchRunStarted)}:
        raise NotFound("no-step", "There is no such step or run.")
    return bench_run(record, run), found


def _verdict(done: BenchStepRecorded) -> StepVerdict:
    outcome = done.outcome
    return StepVerdict(
        mark="conforms" if outcome.passed else "does-not-conform",
        label="Pass" if outcome.passed else "Fail",
        sentence=outcome.sentence,
        facts=(Fact("Recorded", outcome.value), Fact("Limit", outcome.limit)),
        next_action=outcome.next_action,
        uncertainty=budget_shown(outcome.uncertainty),
    )


def _next(head: OverhaulHead, record: OverhaulRecord, run: BenchRun, done: BenchStepRecorded | None) -> Link:
    if done is not None and not done.outcome.passed:
        return Link(f"{head.address}/proving", "Back to the runs")
    if run.next_step is not None and not run.void_reason and run.started.purpose is startable(record):
        return Link(step_address(head.address, run.number, run.next_step.key), f"Next: {run.next_step.title}")
    if run.passed and head.stage.value == "proved":
        return Link(f"{head.address}/release", "All steps passed: go on to the release")
    return Link(f"{head.address}/proving", "Back to the runs")


def _holes(step: AnyStep, done: BenchStepRecorded | None) -> tuple[HolePlace, ...]:
    """The holes on their pitch circle, number 1 at the top, clockwise as seen from the tip."""
    if not isinstance(step, EmissionStep):
        return ()
    spraying = done.result.spraying if done and isinstance(done.result, EmissionResult) else None
    places = []
    for number in range(1, step.holes + 1):
        angle = 2 * pi * (number - 1) / step.holes
        state, words = "not-measured", "not looked at yet"
        if spraying is not None:
            state, words = ("conforms", "sprays") if number in spraying else ("does-not-conform", "does not spray")
        x, y = round(160 + 108 * sin(angle)), round(160 - 108 * cos(angle))
        places.append(HolePlace(number, x, y, state, f"Hole {number} {words}"))
    return tuple(places)

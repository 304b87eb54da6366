"""Recording the step with what its trace shows: the strokes that opened, or the hold at the seat."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.actions.looking_at_traces import TraceInRun
from service.pages.choices import Option
from service.pages.overhauls.proving_view import step_address
from service.pages.overhauls.small_forms import PageForms, SmallForm
from service.pages.overhauls.step_choices import DRY_WET
from service.workshop.run_traces import seat_hold, strokes_of
from service.workshop.test_plan import OpeningPressureStep, SeatTightnessStep

if TYPE_CHECKING:
    from service.hydraulics.trace.analysis import TraceAnalysis


@dataclass(frozen=True)
class StepRecord:
    """The form of the step with what the trace says filled in; `asked` is what it cannot say, as choices of `dry`."""

    form: SmallForm
    title: str
    told: str
    values: tuple[tuple[str, str], ...]
    asked: tuple[Option, ...]


def step_record(trace: TraceInRun, accepted: "TraceAnalysis", forms: PageForms, head: str) -> StepRecord | None:
    """Once the reading is confirmed and it is this step's turn. `head` is the address of the overhaul."""
    run, step = trace.run, trace.step
    turn = run.next_step is not None and run.next_step.key == step.key and not run.void_reason
    if not (turn and trace.kept.confirmed):
        return None
    action = step_address(head, run.number, step.key)
    if isinstance(step, SeatTightnessStep):
        hold = seat_hold(accepted, trace.loaded.record.sheet.test_plan.opening_set_bar - step.margin_bar)
        if hold is None:
            return None
        return StepRecord(
            form=forms.form("step", action),
            title="Record the step with this hold",
            told=f"Over {hold.lowest_bar} bar for {hold.held_s} s",
            values=(("pressure", f"{hold.lowest_bar} bar"), ("held_s", str(hold.held_s))),
            asked=DRY_WET,
        )
    strokes = strokes_of(accepted)
    if not isinstance(step, OpeningPressureStep) or not strokes:
        return None
    return StepRecord(
        form=forms.form("step", action),
        title="Record the step with these openings",
        told=f"{', '.join(f'{bar:.1f}' for bar in strokes)} bar",
        values=tuple(("strokes_bar", f"{bar:.1f} bar") for bar in strokes),
        asked=(),
    )


def recorded_in_words(trace: TraceInRun) -> str:
    """What the step was recorded with, '' while it is not."""
    done = trace.run.results.get(trace.step.key)
    if done is None:
        return ""
    return f"The step is recorded: {done.outcome.value}. What is rejected from now on changes nothing of that."

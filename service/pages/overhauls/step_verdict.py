"""How a bench step came out, as its screen shows it: the verdict, what was recorded, and the attempts before."""

from dataclasses import dataclass

from service.pages.budget_view import BudgetShown, budget_shown
from service.pages.overhauls.bench_words import causes_in_words, step_state
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.step_expected import limit_on_dial, recorded_on_dial
from service.pages.rendering import minute
from service.workshop.entries import BenchStepRecorded
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun
from service.workshop.test_plan import AnyStep


@dataclass(frozen=True)
class StepVerdict:
    """Pass, fail or cannot tell. `action_label` heads `next_action`: what to do next, or how to get an answer."""

    mark: str
    label: str
    sentence: str
    facts: tuple[Fact, ...]
    causes: tuple[str, ...]
    action_label: str
    next_action: str
    uncertainty: BudgetShown | None


@dataclass(frozen=True)
class Attempt:
    """An earlier recording of the same step in the same run."""

    when: str
    mark: str
    label: str
    value: str
    sentence: str


def step_verdict(record: OverhaulRecord, run: BenchRun, step: AnyStep, done: BenchStepRecorded) -> StepVerdict:
    """The newest recording of the step."""
    outcome, unit = done.outcome, run.started.shown_unit
    mark, label = step_state(outcome)
    return StepVerdict(
        mark=mark,
        label=label,
        sentence=outcome.sentence,
        facts=(
            Fact("Recorded", outcome.value, recorded_on_dial(done.result, unit)),
            Fact("Limit", outcome.limit, limit_on_dial(record.sheet.test_plan, step, unit)),
        ),
        causes=causes_in_words(outcome),
        action_label="How to get an answer" if outcome.undecided else "Do next",
        next_action=outcome.next_action,
        uncertainty=budget_shown(outcome.uncertainty),
    )


def attempts_before(record: OverhaulRecord, run: BenchRun, step: AnyStep) -> tuple[Attempt, ...]:
    """What was recorded at the step before its newest result, newest first."""
    found = []
    for entry in reversed(record.entries):
        content = entry.content
        if isinstance(content, BenchStepRecorded) and content.run == run.number and content.step == step.key:
            mark, label = step_state(content.outcome)
            when = f"{minute(entry.at)}, {entry.person}"
            found.append(Attempt(when, mark, label, content.outcome.value, content.outcome.sentence))
    return tuple(found[1:])

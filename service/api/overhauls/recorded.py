"""The answer to everything that is recorded on an overhaul."""

from service.actions.recording import Recorded
from service.actions.shop import Refused
from service.api.bodies import Answer, Exact
from service.api.overhauls.nozzle_answer import NozzleAnswer
from service.api.overhauls.uncertainty_answer import ReadingUncertaintyAnswer
from service.api.registers.rig_answers import RigUseAnswer, rig_use_answer
from service.workshop.entries import BenchRunStarted, BenchStepRecorded, Content, Examined, Torqued
from service.workshop.measurements import Outcome
from service.workshop.step_results import StepOutcome
from service.workshop.vocabulary import Disposition, Stage, VerdictKind


class VerdictAnswer(Answer):
    """A verdict with its reason and limit; `consequence` is what the limit sheet asks for."""

    verdict: VerdictKind
    value: str
    limit: str
    sentence: str
    rule: str
    probability_of_conformity: Exact | None
    consequence: Disposition | None
    failed_holes: list[int]
    unproven_holes: list[int]
    nozzle: NozzleAnswer | None
    uncertainty: ReadingUncertaintyAnswer | None


class StepOutcomeAnswer(Answer):
    """Pass, fail or cannot tell of a bench step with its reason; `next_action` where it did not pass.

    `undecided` is cannot tell: neither passed nor failed, to be recorded again in the same run.
    """

    passed: bool
    undecided: bool
    value: str
    limit: str
    sentence: str
    next_action: str
    likely_causes: list[str]
    uncertainty: ReadingUncertaintyAnswer | None
    rule: str
    probability_of_conformity: Exact | None


class RunStartedAnswer(Answer):
    """The run that was started; `indicative` says why it supports no release, '' where it may."""

    gauge: str
    rig: RigUseAnswer | None
    indicative: str


class RecordedAnswer(Answer):
    """Entry `seq` was made, and the injector is at `stage`: send `seq` as `seen` with the next form."""

    seq: int
    stage: Stage
    verdict: VerdictAnswer | None = None
    outcome: StepOutcomeAnswer | None = None
    run: RunStartedAnswer | None = None


def answered(recorded: Recorded, kind: type[Content]) -> RecordedAnswer:
    """What the caller is told. Raises Refused where the form key had been used for another kind of record."""
    content = recorded.content
    if not isinstance(content, kind):
        raise Refused("form-key", "This form key was used for another record: make a new one.", "form_key")
    return RecordedAnswer(
        seq=recorded.seq,
        stage=recorded.stage,
        verdict=verdict_answer(content.outcome) if isinstance(content, Examined | Torqued) else None,
        outcome=step_answer(content.outcome) if isinstance(content, BenchStepRecorded) else None,
        run=run_answer(content) if isinstance(content, BenchRunStarted) else None,
    )


def verdict_answer(outcome: Outcome) -> VerdictAnswer:
    """A verdict for the answer."""
    return VerdictAnswer.model_validate(outcome)


def step_answer(outcome: StepOutcome) -> StepOutcomeAnswer:
    """A bench step's outcome for the answer."""
    return StepOutcomeAnswer.model_validate(outcome)


def run_answer(started: BenchRunStarted) -> RunStartedAnswer:
    """The start of a bench run for the answer."""
    return RunStartedAnswer(gauge=started.gauge.code, rig=rig_use_answer(started.rig), indicative=started.indicative)

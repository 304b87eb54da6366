"""What every bench judgement comes out as: pass, fail with its causes, or cannot tell with the way to an answer."""

from service.metrology.errors import DomainError
from service.workshop.step_results import StepOutcome
from service.workshop.test_plan import AnyStep, LeakPlace


class BenchRefused(DomainError):
    """A bench result that cannot be recorded as it stands."""


def passed_or_failed(step: AnyStep, passed: bool, value: str, limit: str, sentence: str) -> StepOutcome:
    """A step that is decided; a fail carries the causes and the next action of the sheet."""
    return StepOutcome(
        passed=passed,
        value=value,
        limit=limit,
        sentence=sentence,
        next_action="" if passed else step.on_fail,
        likely_causes=() if passed else step.causes,
    )


def cannot_tell(value: str, limit: str, sentence: str, how: str) -> StepOutcome:
    """Neither passed nor failed; `how` says how to get an answer."""
    return StepOutcome(passed=False, undecided=True, value=value, limit=limit, sentence=sentence, next_action=how)


def leaked(step: AnyStep, leaking: tuple[LeakPlace, ...], value: str, limit: str, sentence: str) -> StepOutcome:
    """A fail whose causes are what the leaking places point to, with their own next actions where they have some."""
    causes = tuple(dict.fromkeys(place.points_to for place in leaking)) or step.causes
    actions = tuple(dict.fromkeys(place.action or step.on_fail for place in leaking)) or (step.on_fail,)
    return StepOutcome(
        passed=False,
        value=value,
        limit=limit,
        sentence=sentence,
        next_action=" ".join(filter(None, actions)),
        likely_causes=causes,
    )


def places_named(places: tuple[LeakPlace, ...], keys: tuple[str, ...]) -> tuple[LeakPlace, ...]:
    """The places with those keys, in the sheet's order. Raises BenchRefused for one that it does not list."""
    if set(keys) - {place.key for place in places}:
        raise BenchRefused("leak-place", "Choose the place of the leak from the list.", "leaks")
    return tuple(place for place in places if place.key in keys)

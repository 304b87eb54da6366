"""Steps that are looked at or counted: vent, flush, strokes, emission from each hole, quick drop."""

from service.workshop.bench_judgement.outcome import BenchRefused, cannot_tell, passed_or_failed
from service.workshop.step_results import (
    EmissionResult,
    FlushResult,
    QuickDropResult,
    StepOutcome,
    StrokesResult,
    VentResult,
)
from service.workshop.test_plan import EmissionStep, FlushStep, QuickDropStep, StrokesStep, VentStep
from service.workshop.test_rig import LONGEST_S


def judge_vent(step: VentStep, result: VentResult) -> StepOutcome:
    """Oil without air."""
    limit = "free of air"
    if result.air_free is None:
        sentence = "Nobody could tell whether air still comes with the oil."
        return cannot_tell("not clear", limit, sentence, "Pump on and look at the oil again against the light.")
    sentence = "The oil comes without air." if result.air_free else "Air still comes with the oil: vent again."
    return passed_or_failed(step, result.air_free, "free of air" if result.air_free else "air", limit, sentence)


def judge_flush(step: FlushStep, result: FlushResult) -> StepOutcome:
    """Clean oil after the time of the plan; a shorter flush says nothing yet, whatever came. Raises BenchRefused."""
    flushed, limit = result.flushed_s, f"clean after {step.flush_s} s or more"
    if not 0 <= flushed <= LONGEST_S:
        raise BenchRefused("flushed", f"Enter the time flushed in seconds, 0 to {LONGEST_S}.", "flushed_s")
    seen = {True: "clean", False: "dirty", None: "not clear"}[result.clean]
    value = f"{seen} after {flushed} s"
    if flushed < step.flush_s:
        sentence = f"Flushed for {flushed} s, but the plan asks for {step.flush_s} s."
        return cannot_tell(value, limit, sentence, f"Flush on, for at least {step.flush_s} s together.")
    if result.clean is None:
        sentence = "Nobody could tell whether the oil comes clean."
        return cannot_tell(value, limit, sentence, "Catch some oil in a clean glass and look at it against the light.")
    sentence = "The oil comes clean." if result.clean else f"The oil still comes dirty after {flushed} s."
    return passed_or_failed(step, result.clean, value, limit, sentence)


def judge_strokes(step: StrokesStep, result: StrokesResult) -> StepOutcome:
    """As many strokes as the plan asks for; fewer have not blown the dirt out yet, and say nothing of the injector.

    Raises BenchRefused for a count that nobody makes.
    """
    if result.strokes < 0 or result.strokes > 100:
        raise BenchRefused("strokes", "Enter how many full strokes you made, 0 to 100.", "strokes")
    passed = step.strokes_min <= result.strokes <= step.strokes_max
    limit = f"{step.strokes_min} to {step.strokes_max} strokes"
    value = f"{result.strokes} strokes"
    sentence = "Dirt blown out." if passed else f"{value} were made; the plan asks for {limit}."
    if result.strokes < step.strokes_min:
        return cannot_tell(value, limit, sentence, f"Make the others, {limit} in all, and record it again.")
    return passed_or_failed(step, passed, value, limit, sentence)


def judge_emission(step: EmissionStep, result: EmissionResult) -> StepOutcome:
    """Spray from each hole; one silent hole fails whatever is unclear of others. Raises BenchRefused."""
    wanted, spraying, unclear = set(range(1, step.holes + 1)), set(result.spraying), set(result.unclear)
    if (spraying | unclear) - wanted:
        raise BenchRefused("hole", f"The nozzle has holes 1 to {step.holes}.", "spraying")
    if spraying & unclear:
        raise BenchRefused("hole-twice", "A hole sprays, or nobody can tell: say one of the two.", "unclear")
    silent = wanted - spraying - unclear
    value, limit = f"{len(spraying)} of {step.holes} holes spray", f"all {step.holes} holes spray"
    if unclear:
        value = f"{value}, not clear of {_listed(unclear)}"
    if silent:
        return passed_or_failed(step, False, value, limit, f"No spray from hole {_listed(silent)}.")
    if unclear:
        sentence = f"Nobody could tell whether hole {_listed(unclear)} sprays."
        return cannot_tell(value, limit, sentence, "Wipe the tip, and look again in better light from the side.")
    return passed_or_failed(step, True, value, limit, "Every hole sprays.")


def judge_quick_drop(step: QuickDropStep, result: QuickDropResult) -> StepOutcome:
    """The gauge drops as the valve opens."""
    if result.seen is None:
        sentence = "Nobody could tell whether the gauge dropped quickly."
        how = "Make another full stroke and look at the gauge alone, or take a pressure trace."
        return cannot_tell("not clear", "seen", sentence, how)
    sentence = (
        "The quick drop shows on opening."
        if result.seen
        else "No quick drop on opening: the slide sticks or a hole is blocked."
    )
    return passed_or_failed(step, result.seen, "seen" if result.seen else "not seen", "seen", sentence)


def _listed(holes: set[int]) -> str:
    return ", ".join(str(hole) for hole in sorted(holes))

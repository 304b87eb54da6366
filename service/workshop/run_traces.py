"""Pressure traces of a bench run: at which steps one may be kept, and what a trace proves of a step."""

from decimal import Decimal

from service.hydraulics.trace.against_plan import PlanFinding
from service.hydraulics.trace.analysis import TraceAnalysis
from service.metrology.conformity import Conforms, NotProven
from service.metrology.typed_numbers import plain
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import NotPermitted
from service.workshop.photographs import check_photographable
from service.workshop.proving import bench_run
from service.workshop.test_plan import AnyStep, OpeningPressureStep, SeatTightnessStep

_TENTH = Decimal("0.1")


def takes_traces(step: AnyStep) -> bool:
    """Whether a trace can be kept at the step: opening pressure and seat tightness."""
    return isinstance(step, OpeningPressureStep | SeatTightnessStep)


def check_traceable(record: OverhaulRecord, run: int, step: AnyStep) -> None:
    """Raise NotPermitted where none is taken: another step, a void run, an overhaul that is over or held."""
    check_photographable(record)
    if not takes_traces(step):
        raise NotPermitted(
            "no-trace-step", f"{step.title} takes no trace: keep it at the opening pressure or the seat."
        )
    if reason := bench_run(record, run).void_reason:
        raise NotPermitted("void", f"This run is void and takes no trace any more. {reason}")


def strokes_of(analysis: TraceAnalysis) -> tuple[Decimal, ...]:
    """The opening pressures of a trace as a gauge would read them, in bar to a tenth."""
    return tuple(Decimal(repr(one.opening_bar)).quantize(_TENTH) for one in analysis.openings)


def seat_held(analysis: TraceAnalysis, wanted_bar: Decimal, hold_s: int) -> PlanFinding:
    """Whether a hold stood at the wanted pressure for the wanted time; whether the nozzle was dry has to be seen."""
    what = "Hold at the seat"
    for hold in analysis.holds:
        lowest = hold.mean_bar - abs(hold.uncorrected_bar_per_min) / 60 * (hold.end_s - hold.steady_from_s) / 2
        lasted = hold.end_s - hold.start_s
        if Decimal(repr(lowest)) >= wanted_bar and lasted >= hold_s:
            sentence = (
                f"Held over {lowest:.0f} bar for {lasted:.0f} s; {plain(wanted_bar)} bar for {hold_s} s are asked."
            )
            return PlanFinding(what, Conforms.name, sentence)
    sentence = f"No accepted hold stood at {plain(wanted_bar)} bar for {hold_s} s."
    return PlanFinding(what, NotProven.name, sentence)

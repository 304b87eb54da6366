"""Pressure traces of a bench run: at which steps one may be kept, and what a trace proves of a step."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from service.hydraulics.trace.against_plan import PlanFinding
from service.hydraulics.trace.analysis import TraceAnalysis
from service.metrology.conformity import Conforms, NotProven
from service.metrology.typed_numbers import plain
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import NotPermitted
from service.workshop.photographs import check_photographable
from service.workshop.proving import bench_run
from service.workshop.test_plan import AnyStep, OpeningPressureStep, SeatTightnessStep
from service.workshop.test_rig import RigUse

_TENTH = Decimal("0.1")
_SEAT = "Hold at the seat"


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


def stated_by_rig(rig: RigUse | None, told: Mapping[str, str]) -> dict[str, str]:
    """Volume (cm³) and bulk modulus (GPa) of the run's rig and its oil; nothing where either is told or unknown."""
    if rig is None or rig.oil is None or rig.volume_cm3 is None or rig.oil.bulk_modulus_gpa is None:
        return {}
    if "volume_cm3" in told or "bulk_modulus_gpa" in told:
        return {}
    return {"volume_cm3": plain(rig.volume_cm3), "bulk_modulus_gpa": plain(rig.oil.bulk_modulus_gpa)}


def strokes_of(analysis: TraceAnalysis) -> tuple[Decimal, ...]:
    """The opening pressures of a trace as a gauge would read them, in bar to a tenth."""
    return tuple(Decimal(repr(one.opening_bar)).quantize(_TENTH) for one in analysis.openings)


@dataclass(frozen=True, slots=True)
class SeatHold:
    """A hold at the seat: the lowest pressure in it, bar rounded down to a tenth, and how long it lasted, whole s."""

    lowest_bar: Decimal
    held_s: int


def seat_hold(analysis: TraceAnalysis, wanted_bar: Decimal) -> SeatHold | None:
    """The longest hold that stood at the wanted pressure; where none did, the highest one; None without any."""
    found = []
    for hold in analysis.holds:
        lowest = hold.mean_bar - abs(hold.uncorrected_bar_per_min) / 60 * (hold.end_s - hold.steady_from_s) / 2
        floor = Decimal(repr(lowest)).quantize(_TENTH, ROUND_FLOOR)
        found.append(SeatHold(floor, int(hold.end_s - hold.start_s)))
    stood = [one for one in found if one.lowest_bar >= wanted_bar]
    if stood:
        return max(stood, key=lambda one: one.held_s)
    return max(found, key=lambda one: one.lowest_bar, default=None)


def seat_held(analysis: TraceAnalysis, wanted_bar: Decimal, hold_s: int) -> PlanFinding:
    """Whether a hold stood at the wanted pressure for the wanted time; whether the nozzle was dry has to be seen."""
    hold, asked = seat_hold(analysis, wanted_bar), f"{plain(wanted_bar)} bar for {hold_s} s are asked."
    if hold is None:
        sentence = f"No accepted hold: {asked}"
    elif hold.lowest_bar < wanted_bar:
        sentence = f"No accepted hold stood so high: the highest came down to {plain(hold.lowest_bar)} bar. {asked}"
    elif hold.held_s < hold_s:
        sentence = f"The longest hold over {plain(wanted_bar)} bar lasted {hold.held_s} s. {asked}"
    else:
        sentence = (
            f"Held over {plain(hold.lowest_bar)} bar for {hold.held_s} s; {asked} Whether it stayed dry has to be seen."
        )
        return PlanFinding(_SEAT, Conforms.name, sentence)
    return PlanFinding(_SEAT, NotProven.name, sentence)

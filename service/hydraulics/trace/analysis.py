"""A whole trace analysed: its openings with their mean and uncertainty, its holds with their leaks."""

import math
from dataclasses import dataclass

import numpy as np

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.cleaning import CleanTrace, cleaned
from service.hydraulics.trace.holds import Hold, holds_in
from service.hydraulics.trace.leak import leak_mm3_per_s, volume_change_cm3
from service.hydraulics.trace.openings import Opening, openings_in
from service.hydraulics.trace.reading import Trace
from service.hydraulics.trace.regression import student
from service.metrology.typed_numbers import grouped

_MOST_BAR_PER_KELVIN = 50.0


@dataclass(frozen=True, slots=True)
class Rig:
    """What the pressure stands in: shut-in oil in cm³, its bulk modulus in GPa, its gain in bar for each degree."""

    volume_cm3: float | None = None
    bulk_modulus_gpa: float | None = None
    bar_per_kelvin: float | None = None

    def __post_init__(self) -> None:
        if self.volume_cm3 is not None and self.bulk_modulus_gpa is not None:
            volume_change_cm3(self.volume_cm3, 1.0, self.bulk_modulus_gpa)
        elif (self.volume_cm3 is None) != (self.bulk_modulus_gpa is None):
            raise HydraulicsError(
                "rig-half-given",
                "A leak flow needs the volume under pressure and the bulk modulus of the oil: both or neither.",
                "bulk_modulus_gpa" if self.bulk_modulus_gpa is None else "volume_cm3",
            )
        if self.bar_per_kelvin is not None and not abs(self.bar_per_kelvin) <= _MOST_BAR_PER_KELVIN:
            raise HydraulicsError(
                "bar-per-kelvin-range",
                f"Oil under pressure gains at most {_MOST_BAR_PER_KELVIN:g} bar for each degree: correct it.",
                "bar_per_kelvin",
            )

    def leak(self, rate_bar_per_min: float) -> float | None:
        """The equivalent leak flow in mm³/s; None where volume or bulk modulus is not known."""
        if self.volume_cm3 is None or self.bulk_modulus_gpa is None:
            return None
        return leak_mm3_per_s(rate_bar_per_min, self.volume_cm3, self.bulk_modulus_gpa)


@dataclass(frozen=True, slots=True)
class OpeningStatistics:
    """Mean, spread (highest less lowest) and scatter of the opening pressures, bar; 95 % interval of the mean.

    `standard_uncertainty_bar` of the mean is type A, s/√n (JCGM 100, 4.2.3); of one opening alone it is that of the
    line of its rise. The gauge's own uncertainty is not in it.
    """

    count: int
    mean_bar: float
    spread_bar: float
    standard_deviation_bar: float | None
    standard_uncertainty_bar: float
    interval: tuple[float, float] | None


@dataclass(frozen=True, slots=True, eq=False)
class TraceAnalysis:
    """What a trace shows; `trace` is what remained of it for drawing."""

    trace: CleanTrace
    rows: int
    missing: int
    times_shared: int
    openings: tuple[Opening, ...]
    chatter: int
    statistics: OpeningStatistics | None
    holds: tuple[Hold, ...]
    rig: Rig

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was set aside or noticed, each in a sentence."""
        trace = self.trace
        told = (
            (self.missing, "rows have no reading and are left out"),
            (trace.spikes, "readings are spikes and are left out"),
            (trace.drop_outs, "readings are drop-outs and are left out"),
            (self.times_shared, "rows share the time of the row before them and are spread evenly"),
            (len(trace.gaps), "gaps in time are kept open: no event reaches across one"),
            (self.chatter, "falls right after an opening are its chatter and are not counted again"),
        )
        return tuple(f"{grouped(count)} {words}." for count, words in told if count)


def analyse(trace: Trace, rig: Rig | None = None) -> TraceAnalysis:
    """Find every opening and hold of a trace. Raises HydraulicsError as `cleaned` and `openings_in` do."""
    given = rig or Rig()
    clean = cleaned(trace)
    openings, chatter = openings_in(clean)
    return TraceAnalysis(
        trace=clean,
        rows=trace.rows,
        missing=trace.missing,
        times_shared=trace.times_shared,
        openings=openings,
        chatter=chatter,
        statistics=statistics_of(openings),
        holds=holds_in(clean, openings, given.bar_per_kelvin),
        rig=given,
    )


def statistics_of(openings: tuple[Opening, ...]) -> OpeningStatistics | None:
    """Mean, spread and uncertainty of opening pressures; None without any."""
    if not openings:
        return None
    pressures = np.array([one.opening_bar for one in openings])
    count, mean, spread = len(pressures), float(pressures.mean()), float(np.ptp(pressures))
    if count == 1:
        return OpeningStatistics(1, mean, 0.0, None, openings[0].standard_uncertainty_bar, None)
    deviation = float(pressures.std(ddof=1))
    uncertainty = deviation / math.sqrt(count)
    half = student(count - 1) * uncertainty
    return OpeningStatistics(count, mean, spread, deviation, uncertainty, (mean - half, mean + half))

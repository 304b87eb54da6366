"""The Gaussian filter of a closed radial trace: which undulations per revolution count as roundness."""

import numpy as np

from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats
from service.metrology.radial_trace import RadialTrace

USUAL_CUTOFFS_UPR = (15, 50, 150, 500, 1500)  # ISO 12181-2, from memory
READINGS_PER_UNDULATION = 7  # at the cut-off: ISO 12181-2, from memory


def gaussian_transmission(undulations_per_revolution: Floats, cutoff_upr: float) -> Floats:
    """Share of each undulation that the low-pass filter lets through: 2^−(k/cut-off)², one half at the cut-off.

    ISO 16610-21 for closed profiles, exp(−π(α·k/cut-off)²) with α² = ln 2 / π (clause 4, number from memory).
    """
    return np.asarray(np.exp2(-((undulations_per_revolution / cutoff_upr) ** 2)), dtype=np.float64)


def filtered(trace: RadialTrace, cutoff_upr: float, longest_upr: float | None = None) -> RadialTrace:
    """The trace in mm after the low-pass Gaussian filter at `cutoff_upr` undulations per revolution (ISO 16610-21).

    With `longest_upr` the undulations longer than that are taken off too (band pass); the mean radius is kept.
    The filter works on the closed profile, so it has no ends to lose. Take the eccentricity off first.

    Raises MetrologyError with code `cutoff-unusable`, `directions-uneven` (resample by `evenly` first) or
    `directions-too-sparse` (fewer than seven readings to an undulation of the cut-off).
    """
    _refuse_unusable(cutoff_upr, longest_upr)
    count = len(trace.radii_mm)
    if not trace.evenly_spaced:
        raise MetrologyError(
            "directions-uneven", "The filter needs even directions: resample the trace in even steps first.", "trace"
        )
    if count < READINGS_PER_UNDULATION * cutoff_upr:
        raise MetrologyError(
            "directions-too-sparse",
            f"A cut-off of {cutoff_upr:g} undulations per revolution needs at least "
            f"{int(np.ceil(READINGS_PER_UNDULATION * cutoff_upr))} readings, and the trace has {count}.",
            "trace",
        )
    waves = np.fft.rfft(trace.radii_mm)
    undulations = np.arange(len(waves), dtype=np.float64)
    share = gaussian_transmission(undulations, cutoff_upr)
    if longest_upr is not None:
        share -= gaussian_transmission(undulations, longest_upr)
        share[0] = 1.0
    return RadialTrace(trace.angles_rad, np.asarray(np.fft.irfft(waves * share, count), dtype=np.float64))


def _refuse_unusable(cutoff_upr: float, longest_upr: float | None) -> None:
    usable = np.isfinite(cutoff_upr) and cutoff_upr > 0
    if longest_upr is not None:
        usable = usable and np.isfinite(longest_upr) and 0 < longest_upr < cutoff_upr
    if not usable:
        raise MetrologyError(
            "cutoff-unusable",
            "A cut-off is a number of undulations per revolution over zero, and the longest kept has the smaller one.",
            "cutoff_upr",
        )

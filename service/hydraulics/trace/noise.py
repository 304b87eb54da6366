"""How much a pressure scatters from reading to reading, and in which steps its logger counts."""

import numpy as np

from service.metrology.measured_points import Floats

_TO_DEVIATION = 1 / 0.6744897501960817  # of the median of a normal distribution's absolute deviations
_MOST_LOOKED_AT = 200_000


def noise_bar(t_s: Floats, pressure_bar: Floats) -> float:
    """Standard deviation of the noise in bar, by the median of each reading's distance from the line of its neighbours.

    A line between neighbours takes slopes and uneven steps out, and the median takes openings and spikes out.
    """
    every = max(1, len(t_s) // _MOST_LOOKED_AT)
    middle = np.arange(1, len(t_s) - 1, every)
    share = (t_s[middle] - t_s[middle - 1]) / (t_s[middle + 1] - t_s[middle - 1])
    before, after = pressure_bar[middle - 1], pressure_bar[middle + 1]
    off = pressure_bar[middle] - (before + share * (after - before))
    return float(np.median(np.abs(off) / np.sqrt(1 + share**2 + (1 - share) ** 2)) * _TO_DEVIATION)


def count_bar(pressure_bar: Floats) -> float:
    """The smallest step between two different readings in bar: what one count of the logger is worth."""
    every = max(1, len(pressure_bar) // _MOST_LOOKED_AT)
    steps = np.diff(np.unique(pressure_bar[::every]))
    return float(steps.min(initial=np.inf)) if len(steps) else 0.0


def full_bar(pressure_bar: Floats) -> float:
    """How high the trace goes, one reading in two hundred left out, bar."""
    every = max(1, len(pressure_bar) // _MOST_LOOKED_AT)
    return float(np.percentile(pressure_bar[::every], 99.5))

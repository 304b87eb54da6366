"""What a radial trace is made of: lobes by undulations per revolution, and ovality in both of its meanings."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats
from service.metrology.radial_trace import RadialTrace, evenly

_MOST_FITTED_UPR = 50  # of uneven directions, by least squares; even directions have no such bound
_FINEST_DIRECTIONS = 720


@dataclass(frozen=True, slots=True)
class Lobes:
    """One harmonic: `amplitude_mm`·cos(upr·(direction − `crest_deg`)); its peak to valley is twice the amplitude."""

    undulations_per_revolution: int
    amplitude_mm: float
    crest_deg: float


@dataclass(frozen=True, slots=True)
class LobingSpectrum:
    """Mean radius in mm and the harmonics 1, 2, 3 … in this order; the first is the trace's eccentricity."""

    mean_radius_mm: float
    lobes: tuple[Lobes, ...]

    def amplitude_mm(self, undulations_per_revolution: int) -> float:
        """Amplitude in mm of one harmonic; IndexError beyond the highest."""
        if undulations_per_revolution < 1:
            raise IndexError(undulations_per_revolution)
        return self.lobes[undulations_per_revolution - 1].amplitude_mm

    def dominant(self) -> Lobes:
        """The form's largest harmonic, eccentricity left out."""
        return max(self.lobes[1:], key=lambda lobes: lobes.amplitude_mm)


@dataclass(frozen=True, slots=True)
class FormOvality:
    """Ovality of a trace, in mm, in its two meanings, which a name alone does not tell apart.

    `second_harmonic_mm` is the amplitude c2 of two undulations per revolution, `peak_to_valley_mm` is 2·c2, a
    difference of radii. `two_point_mm` is the largest less the smallest diameter through the trace's centre, a
    difference of diameters: 4·c2 for a part that is oval and nothing else. `largest_deg` is the direction of
    the largest diameter, under 180°.
    """

    second_harmonic_mm: float
    peak_to_valley_mm: float
    two_point_mm: float
    largest_deg: float


def lobing_spectrum(trace: RadialTrace, highest_upr: int | None = None) -> LobingSpectrum:
    """Harmonics of a trace up to `highest_upr` undulations per revolution, in mm (ISO 4291, from memory).

    Even directions: the discrete Fourier transform. Uneven ones: least squares on the same waves, at most 50. Without
    `highest_upr` as many as the readings carry: n readings carry (n − 1) / 2, uneven ones as many as have two
    readings' gaps to a wave. Take the eccentricity off first (`without_eccentricity`).

    Raises MetrologyError with code `directions-too-sparse`.
    """
    carried = _carried(trace)
    highest = carried if highest_upr is None else highest_upr
    if highest < 1 or highest > carried or carried < 2:
        raise MetrologyError(
            "directions-too-sparse",
            f"The trace carries at most {carried} undulations per revolution: measure more directions, "
            "or ask for fewer undulations.",
            "trace",
        )
    waves = _fourier(trace) if trace.evenly_spaced else _fitted(trace, carried)
    # Uneven: all that the readings carry are fitted, also beyond those asked for, which would leak into them otherwise.
    # r = Re Σ wave·exp(i·k·direction): a crest where the phases cancel.
    lobes = tuple(
        Lobes(upr, float(np.abs(waves[upr])), float(np.degrees(-np.angle(waves[upr]) / upr) % (360 / upr)))
        for upr in range(1, highest + 1)
    )
    return LobingSpectrum(float(waves[0].real), lobes)


def form_ovality(trace: RadialTrace) -> FormOvality:
    """Ovality of a trace about its centre in mm: by the second harmonic and by two-point sizes (ISO 14405-1).

    Opposite readings make a diameter; where no two are opposite, the trace is drawn through by a spline first.
    Take the eccentricity off first. Raises MetrologyError with code `directions-too-sparse`.
    """
    second = lobing_spectrum(trace, 2).amplitude_mm(2)
    opposite = trace
    if not trace.evenly_spaced or len(trace.radii_mm) % 2:
        opposite = evenly(trace, max(_FINEST_DIRECTIONS, 2 * len(trace.radii_mm)))
    half = len(opposite.radii_mm) // 2
    diameters = opposite.radii_mm[:half] + opposite.radii_mm[half:]
    largest = int(np.argmax(diameters))
    return FormOvality(
        second_harmonic_mm=second,
        peak_to_valley_mm=2 * second,
        two_point_mm=float(np.ptp(diameters)),
        largest_deg=float(np.degrees(opposite.angles_rad[largest])),
    )


def _carried(trace: RadialTrace) -> int:
    by_count = (len(trace.radii_mm) - 1) // 2
    if trace.evenly_spaced:
        return by_count
    return min(by_count, int(np.pi / trace.widest_gap_rad + 1e-9), _MOST_FITTED_UPR)


def _fourier(trace: RadialTrace) -> npt.NDArray[np.complex128]:
    waves = np.fft.rfft(trace.radii_mm) / len(trace.radii_mm)
    waves[1:] *= 2
    return np.asarray(waves * np.exp(-1j * np.arange(len(waves)) * trace.angles_rad[0]))


def _fitted(trace: RadialTrace, highest: int) -> npt.NDArray[np.complex128]:
    phases = np.outer(trace.angles_rad, np.arange(1, highest + 1))
    columns = np.column_stack((np.ones(len(phases)), np.cos(phases), np.sin(phases)))
    middle = float(trace.radii_mm.mean())
    found: Floats = np.linalg.lstsq(columns, trace.radii_mm - middle, rcond=None)[0]
    waves = found[1 : highest + 1] - 1j * found[highest + 1 :]
    return np.concatenate(([middle + found[0] + 0j], waves))

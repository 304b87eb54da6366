"""The lobes of a section in the words of the trade."""

from service.documents.polar_scale import in_um
from service.metrology.lobing import Lobes, LobingSpectrum

_NUMBERS = ("three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_LEAST_UM = 0.005
"""Amplitudes below are those of rounding, not of a part."""


def lobed(undulations_per_revolution: int) -> str:
    """What a section of that many undulations per revolution is called; two or more."""
    if undulations_per_revolution == 2:
        return "oval (two-lobed)"
    if undulations_per_revolution <= 12:
        return f"{_NUMBERS[undulations_per_revolution - 3]}-lobed"
    return f"{undulations_per_revolution} undulations per revolution"


def stands_out(spectrum: LobingSpectrum) -> Lobes | None:
    """The form's largest undulation; None where there is none to speak of."""
    largest = spectrum.dominant()
    return largest if largest.amplitude_mm * 1000 >= _LEAST_UM else None


def dominant_in_words(spectrum: LobingSpectrum) -> str:
    """The form's largest undulation in a sentence."""
    largest = stands_out(spectrum)
    if largest is None:
        return "No undulation stands out."
    return (
        f"Mostly {lobed(largest.undulations_per_revolution)}: {in_um(2 * largest.amplitude_mm)} µm peak to valley, "
        f"a crest at {crest_in_words(largest)}°."
    )


def crest_in_words(lobes: Lobes) -> str:
    """Direction of the first crest in whole degrees; the one that would be the last is the first."""
    rounded = round(lobes.crest_deg)
    return "0" if rounded >= 360 / lobes.undulations_per_revolution else str(rounded)

"""The lobing spectrum of a section as bars: the amplitude of each undulation, the largest told apart by its pattern."""

from service.documents.drawing import CROSSED, HATCHED, area, drawing, line, words
from service.documents.lobing_words import dominant_in_words, stands_out
from service.documents.polar_scale import in_um
from service.metrology.lobing import Lobes, LobingSpectrum

HIGHEST_SHOWN = 15
_WIDTH, _FOOT, _TALLEST, _LEFT = 400.0, 190.0, 140.0, 14.0
_SMALL = 15


def shown_lobes(spectrum: LobingSpectrum) -> tuple[Lobes, ...]:
    """Two to fifteen undulations per revolution, as far as the points carry them; one is the centre, not the form."""
    return spectrum.lobes[1:HIGHEST_SHOWN]


def lobing_bars(spectrum: LobingSpectrum, drawing_id: str = "lobing") -> str:
    """The drawing as SVG text, in one colour, with its text alternative."""
    lobes, largest = shown_lobes(spectrum), stands_out(spectrum)
    tallest = max((one.amplitude_mm for one in lobes), default=0.0)
    step = (_WIDTH - 2 * _LEFT) / (HIGHEST_SHOWN - 1)
    marks = [line(_LEFT, _FOOT, _WIDTH - _LEFT, _FOOT, 1.5)]
    for place, one in enumerate(lobes):
        left = _LEFT + place * step
        height = 0.0 if largest is None else _TALLEST * one.amplitude_mm / tallest
        pattern = CROSSED if one == largest else HATCHED
        if height >= 1:
            marks.append(area(left + 3, _FOOT - height, step - 6, height, pattern, drawing_id))
        middle = left + step / 2
        marks.append(words(middle, _FOOT + 18, str(one.undulations_per_revolution), "middle", one == largest, _SMALL))
        if largest is not None and one.amplitude_mm == tallest:
            at, anchor = (left, "start") if place < HIGHEST_SHOWN // 2 else (left + step, "end")
            marks.append(words(at, _FOOT - height - 8, f"{in_um(one.amplitude_mm)} µm", anchor, True, _SMALL))
    marks.append(words(_WIDTH / 2, _FOOT + 42, "Undulations per revolution", "middle", size=_SMALL))
    told = "; ".join(f"{one.undulations_per_revolution}: {in_um(one.amplitude_mm)} µm" for one in lobes)
    described = f"{dominant_in_words(spectrum)} Amplitude by undulations per revolution: {told}."
    return drawing(drawing_id, _WIDTH, _FOOT + 54, "Lobing spectrum", described, marks, (CROSSED, HATCHED))

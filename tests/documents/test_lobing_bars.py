"""The lobing spectrum as bars and in words."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from service.documents.lobing_bars import lobing_bars, shown_lobes
from service.documents.lobing_words import dominant_in_words, lobed
from service.metrology.lobing import LobingSpectrum, lobing_spectrum
from service.metrology.radial_trace import radial_trace

SVG = "{http://www.w3.org/2000/svg}"
TURNS = np.arange(360) * (math.tau / 360)


def spectrum(**amplitudes_um: float) -> LobingSpectrum:
    """Of a radius of 4 mm with cosines named by their undulations, such as n3=2 for three lobes of 2 µm."""
    form = sum((um / 1000 * np.cos(int(name[1:]) * TURNS) for name, um in amplitudes_um.items()), np.zeros(360))
    return lobing_spectrum(radial_trace(4 + form))


@pytest.mark.parametrize(
    ("upr", "word"),
    [
        (2, "oval (two-lobed)"),
        (3, "three-lobed"),
        (5, "five-lobed"),
        (12, "twelve-lobed"),
        (13, "13 undulations per revolution"),
    ],
)
def test_lobes_have_the_words_of_the_trade(upr: int, word: str) -> None:
    assert lobed(upr) == word
    assert dominant_in_words(spectrum(**{f"n{upr}": 2.0})).startswith(f"Mostly {word}: 4 µm peak to valley")


def test_a_perfect_circle_has_no_lobe_to_name() -> None:
    assert dominant_in_words(spectrum()) == "No undulation stands out."
    assert ElementTree.fromstring(lobing_bars(spectrum())).findall(f"{SVG}rect") == []


def test_bars_are_as_tall_as_their_amplitudes_and_the_largest_has_another_pattern() -> None:
    drawn = ElementTree.fromstring(lobing_bars(spectrum(n3=2.0, n5=1.0)))
    bars = sorted(drawn.iter(f"{SVG}rect"), key=lambda one: float(one.get("height", 0)))
    smaller, larger = bars[-2:]
    assert float(larger.get("height", 0)) / float(smaller.get("height", 0)) == pytest.approx(2, rel=0.01)
    assert larger.get("fill") != smaller.get("fill")
    words = "".join(drawn.itertext())
    assert "2 µm" in words
    assert "Mostly three-lobed" in words


def test_the_centre_is_no_lobe_and_fifteen_is_the_last_shown() -> None:
    shown = shown_lobes(spectrum(n1=5.0, n3=1.0))
    assert [one.undulations_per_revolution for one in shown] == list(range(2, 16))
    assert dominant_in_words(spectrum(n1=5.0, n3=1.0)).startswith("Mostly three-lobed")

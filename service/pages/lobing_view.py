"""The lobes of a section as pages show them: in words, as bars and as a table."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

if TYPE_CHECKING:  # NumPy loads with the first section that is evaluated: the server starts without it
    from service.metrology.lobing import LobingSpectrum


@dataclass(frozen=True)
class LobeRow:
    """One undulation: amplitude in µm, direction of its first crest in degrees."""

    name: str
    upr: str
    amplitude: str
    crest: str


@dataclass(frozen=True)
class LobingShown:
    """The spectrum of one section."""

    in_words: str
    drawing: Markup
    rows: tuple[LobeRow, ...]


def lobing_shown(spectrum: "LobingSpectrum | None") -> LobingShown | None:
    """Two to fifteen undulations per revolution; None where the points carry no spectrum."""
    from service.documents.lobing_bars import lobing_bars, shown_lobes
    from service.documents.lobing_words import crest_in_words, dominant_in_words, lobed
    from service.documents.polar_scale import in_um

    if spectrum is None:
        return None
    rows = tuple(
        LobeRow(
            name=lobed(one.undulations_per_revolution).capitalize(),
            upr=str(one.undulations_per_revolution),
            amplitude=in_um(one.amplitude_mm),
            crest=crest_in_words(one),
        )
        for one in shown_lobes(spectrum)
    )
    # The bars are made of `service.documents.drawing`, which escapes what it writes.
    return LobingShown(dominant_in_words(spectrum), Markup(lobing_bars(spectrum)), rows)

"""The plot of a pressure trace on a page: the drawing, and what a script needs to read it off."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

if TYPE_CHECKING:
    from service.documents.trace_plot import TracePlot
    from service.hydraulics.trace.recognition import Recognition


@dataclass(frozen=True)
class PlottedTrace:
    """Texts of numbers: times in s and pressures in bar at the ends of the axes, which lie at the places of `field`.

    `unit` is the file's own unit of pressure, '' where it is bar; `whole` is '' where only a stretch is drawn.
    """

    drawing: Markup
    in_words: str
    field: str
    from_s: str
    to_s: str
    low_bar: str
    high_bar: str
    unit: str
    bar_per_unit: str
    whole: str


def plotted_trace(plot: "TracePlot", recognised: "Recognition") -> PlottedTrace:
    """For the macro `trace_plot`."""
    from service.documents.trace_scale import BOTTOM, LEFT, RIGHT, TOP  # NumPy comes with it, and only with a trace

    scale = plot.scale
    return PlottedTrace(
        # The plot is made of `service.documents.drawing`, which escapes what it writes.
        drawing=Markup(plot.svg),
        in_words=plot.description,
        field=f"{LEFT:g} {RIGHT:g} {TOP:g} {BOTTOM:g}",
        from_s=repr(scale.start_s),
        to_s=repr(scale.end_s),
        low_bar=repr(scale.low_bar),
        high_bar=repr(scale.high_bar),
        unit="" if recognised.unit == "bar" else recognised.unit,
        bar_per_unit=repr(recognised.bar_per_unit),
        whole="yes" if plot.shown == plot.whole else "",
    )

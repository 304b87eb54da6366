"""Stretches of a trace's time: what the plot shows, and one step closer, wider, earlier or later from there."""

import math
from dataclasses import dataclass

Window = tuple[float | None, float | None]
"""Times in s from and to which a plot is asked; None is the beginning or the end of the trace."""
_LEAST_PART = 1e-6  # of the trace: a narrower stretch shows nothing


@dataclass(frozen=True, slots=True)
class Stretch:
    """Times in s, the end after the start."""

    start_s: float
    end_s: float

    @property
    def width_s(self) -> float:
        """How long it is."""
        return self.end_s - self.start_s

    @property
    def decimals(self) -> int:
        """Decimals of a time in it, fine enough for a thousandth of it to be told."""
        return min(9, max(0, 3 - math.floor(math.log10(self.width_s))))

    def within(self, whole: "Stretch") -> "Stretch":
        """As long as it is, moved into the whole; the whole where it is not shorter."""
        if self.width_s >= whole.width_s:
            return whole
        start = min(max(self.start_s, whole.start_s), whole.end_s - self.width_s)
        return Stretch(start, start + self.width_s)

    def stepped(self, whole: "Stretch", *, times: float = 1.0, by: float = 0.0) -> "Stretch | None":
        """So many times as long about its middle, moved by that share of itself; None where that changes nothing."""
        half, middle = self.width_s * times / 2, (self.start_s + self.end_s) / 2 + by * self.width_s
        if 2 * half < _LEAST_PART * whole.width_s:
            return None
        moved = Stretch(middle - half, middle + half).within(whole)
        return None if moved.told == self.told else moved

    @property
    def told(self) -> tuple[str, str]:
        """Its two times as they are typed."""
        return f"{self.start_s:.{self.decimals}f}", f"{self.end_s:.{self.decimals}f}"


def stretch_asked(whole: Stretch, window: Window) -> Stretch:
    """The stretch that is asked for, cut at the ends of the trace; the whole where it holds nothing of it."""
    start, end = (
        at if asked is None else min(max(whole.start_s, asked), whole.end_s)
        for asked, at in zip(window, (whole.start_s, whole.end_s), strict=True)
    )
    return Stretch(start, end) if end - start > _LEAST_PART * whole.width_s else whole

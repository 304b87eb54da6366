"""A table of text cut into cells, all rows of a few megabytes at once: no row is touched by Python."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.hydraulics.trace.layout import Layout

Bytes = npt.NDArray[np.uint8]
Places = npt.NDArray[np.int64]

_PIECE = 1 << 21  # bytes cut at once: what is made of them stays in the processor's cache
_LINE, _QUOTE = 10, 34
_IDLE = np.zeros(256, dtype=np.bool_)
_IDLE[[9, 13, 32, _QUOTE]] = True


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Rows of one piece: `starts` and `ends` (columns, rows) are places in `chars`; `skipped` rows were no row."""

    chars: Bytes
    starts: Places
    ends: Places
    skipped: int

    def text(self, column: int, row: int) -> str:
        """One cell as it was written."""
        return self.chars[self.starts[column, row] : self.ends[column, row]].tobytes().decode("utf-8", "replace")


def cut(data: bytes, layout: Layout, wanted: Sequence[int]) -> Iterator[Cells]:
    """The wanted columns of every row, piece by piece. Empty lines count for nothing; both ends of line are taken."""
    at = layout.start
    while at < len(data):
        end = len(data) if len(data) - at <= _PIECE else data.rfind(b"\n", at, at + _PIECE) + 1
        if end <= at:  # one line longer than a piece
            end = (data.find(b"\n", at) + 1) or len(data)
        piece = data[at:end]
        at = end
        yield _cut(piece if piece.endswith(b"\n") else piece + b"\n", layout, wanted)


def _cut(piece: bytes, layout: Layout, wanted: Sequence[int]) -> Cells:
    between = layout.delimiter
    if between == " ":
        piece, between = re.sub(rb"[ \t]*\r?\n[ \t]*", b"\n", re.sub(rb"[ \t]+", b"\t", piece)), "\t"
    chars = np.frombuffer(piece, dtype=np.uint8)
    ends_cell = chars == _LINE
    if between:
        ends_cell |= chars == ord(between)
        if b'"' in piece:  # a separator between quotation marks is none
            ends_cell &= (np.cumsum(chars == _QUOTE, dtype=np.uint8) & 1 == 0) | (chars == _LINE)
    marks = np.flatnonzero(ends_cell)
    last = np.flatnonzero(chars[marks] == _LINE)
    counts = np.diff(last, prepend=-1)
    good = counts == layout.columns
    first = last[good] - (layout.columns - 1)
    places = first[None, :] + np.asarray(wanted)[:, None]
    ends = marks[places]
    before = np.where(places > 0, marks[places - 1], -1)
    starts, ends = _trimmed(chars, before + 1, ends)
    empty = (counts == 1) & (marks[last] - np.where(last > 0, marks[last - 1], -1) <= 2) & ~good
    if layout.columns == 1:
        full = (ends > starts).all(axis=0)
        starts, ends = starts[:, full], ends[:, full]
    return Cells(chars, starts, ends, int(len(counts) - good.sum() - empty.sum()))


def _trimmed(chars: Bytes, starts: Places, ends: Places) -> tuple[Places, Places]:
    """Without blanks, quotation marks and carriage returns around each cell."""
    while (idle := _IDLE[chars[np.minimum(starts, len(chars) - 1)]] & (starts < ends)).any():
        starts = starts + idle
    while (idle := _IDLE[chars[np.maximum(ends - 1, 0)]] & (starts < ends)).any():
        ends = ends - idle
    return starts, ends

"""The traces that were analysed last, kept in memory: a plot is drawn anew at each look, the analysis is not made anew.

A trace is known by the digests of its pieces and by what was said of the file, so an answer that is kept cannot be an
old one.
"""

from collections import OrderedDict
from collections.abc import Callable, Mapping
from threading import Lock
from typing import TYPE_CHECKING

from service.records.json_text import canonical

if TYPE_CHECKING:
    from service.hydraulics.trace.answer import TraceFound

_Key = tuple[tuple[str, ...], str]
_MOST_ROWS = 4_000_000
"""Rows that are kept, all traces together: some 100 MB. The newest one stays, however long it is."""
_MOST_TRACES = 50


class AnalysedTraces:
    """What was found in the traces that were looked at last, for every thread of the server."""

    def __init__(self) -> None:
        self._found: OrderedDict[_Key, TraceFound] = OrderedDict()
        self._lock = Lock()
        # An analysis of two million rows takes hundreds of megabytes; who waits for the same trace finds it kept.
        self._one_at_a_time = Lock()

    def found(self, digests: tuple[str, ...], asked: Mapping[str, str], read: Callable[[], bytes]) -> "TraceFound":
        """What the trace shows; its bytes are `read` only where it is not known. Raises HydraulicsError."""
        # NumPy comes with it, and only with a trace.
        from service.hydraulics.trace.answer import find
        from service.hydraulics.trace.asked import asked_of

        key = (digests, canonical(dict(asked)))
        known = self._kept(key)
        if known is not None:
            return known
        with self._one_at_a_time:
            found = self._kept(key) or find(read(), asked_of(asked))
            self._keep(key, found)
        return found

    def _kept(self, key: _Key) -> "TraceFound | None":
        with self._lock:
            known = self._found.pop(key, None)
            if known is not None:
                self._found[key] = known
            return known

    def _keep(self, key: _Key, found: "TraceFound") -> None:
        with self._lock:
            self._found[key] = found
            while len(self._found) > 1 and (self._rows > _MOST_ROWS or len(self._found) > _MOST_TRACES):
                self._found.popitem(last=False)

    @property
    def _rows(self) -> int:
        return sum(one.analysis.rows for one in self._found.values())

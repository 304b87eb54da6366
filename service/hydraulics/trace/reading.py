"""The rows of a logger's file as time and gauge pressure, once its layout is recognised."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.cells import Cells, Places, cut
from service.hydraulics.trace.clock import clock_seconds, is_calendar, over_midnight
from service.hydraulics.trace.columns import TimeBase
from service.hydraulics.trace.layout import is_clock
from service.hydraulics.trace.numbers import numbers_of
from service.hydraulics.trace.recognition import Recognition
from service.metrology.measured_points import Floats
from service.metrology.typed_numbers import grouped

LEAST_ROWS = 30
MOST_ROWS = 5_000_000
HIGHEST_BAR = 4_000.0
"""No injector opens so high, and no rig for them goes so far: the unit is wrong."""
_MOST_UNREADABLE = 0.02
_MOST_MISSING = 0.2
_LATEST_START_S = 1e7  # a time beyond is counted from some year, so it is shown from the first row


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Readings (n,) in their order, times ascending, each once; `missing` rows had no reading and are left out.

    Times are those of the file in seconds; of a clock, seconds since the first row.
    """

    t_s: Floats
    pressure_bar: Floats
    temperature_c: Floats | None
    rows: int
    missing: int
    times_shared: int = 0
    """Rows that had the time of the row before them; they are spread evenly up to the next time."""

    @property
    def step_s(self) -> float:
        """The usual time between two readings, s."""
        return float(np.median(np.diff(self.t_s)))


def read_trace(data: bytes, recognised: Recognition) -> Trace:
    """Every row of the file as `recognised` describes it.

    Raises HydraulicsError, field `file`, with code `trace-not-numbers`, `trace-too-few-rows`, `trace-too-many-rows`,
    `trace-mostly-missing`, `trace-backwards` or `trace-stands-still`, or field `pressure_unit`, code `trace-absurd`.
    """
    columns = [recognised.pressure]
    columns += [one for one in (recognised.time.column, recognised.temperature) if one is not None]
    pieces: list[tuple[Floats, Floats, Floats, Places]] = []
    rows, skipped, unreadable = 0, 0, 0
    take_time = _time_reader(recognised)
    for cells in cut(data, recognised.layout, columns):
        pressure, odd = numbers_of(cells, 0, recognised.layout.decimal)
        unreadable += len(odd)
        _refuse_words(cells, odd, unreadable, rows, len(data))
        time, day = take_time(cells, rows)
        warmth = np.empty(0)
        if recognised.temperature is not None:
            warmth, _ = numbers_of(cells, len(columns) - 1, recognised.layout.decimal)
        rows, skipped = rows + len(pressure), skipped + cells.skipped
        pieces.append((pressure, time, warmth, day))
        if rows > MOST_ROWS:
            raise HydraulicsError(
                "trace-too-many-rows", f"The file has more than {grouped(MOST_ROWS)} rows: cut it at the run.", "file"
            )
    pressure, time, warmth, day = (np.concatenate(column) for column in zip(*pieces, strict=True))
    pieces.clear()
    clock = recognised.time.base is TimeBase.CLOCK
    if clock:
        time = over_midnight(time, day, is_calendar(_example(recognised)))
    _refuse_unread(pressure, rows, skipped, unreadable)
    bar = pressure * recognised.bar_per_unit
    return _trace(time, bar, warmth if len(warmth) else None, rows + skipped, skipped, clock)


def _example(recognised: Recognition) -> str:
    column = recognised.time.column
    cells = [] if column is None else [row[column] for row in recognised.layout.sample]
    return next((cell for cell in cells if is_clock(cell)), "")


def _time_reader(recognised: Recognition) -> Callable[[Cells, int], tuple[Floats, Places]]:
    """What gives the times of a piece, and the days where a clock's are to be joined later."""
    source, example = recognised.time, _example(recognised)
    none = np.empty(0, dtype=np.int64)

    def by_rate(cells: Cells, rows: int) -> tuple[Floats, Places]:
        return np.arange(rows, rows + cells.starts.shape[1]) / (source.rate_hz or 1.0), none

    def elapsed(cells: Cells, rows: int) -> tuple[Floats, Places]:
        return numbers_of(cells, 1, recognised.layout.decimal)[0] * source.seconds, none

    def by_clock(cells: Cells, rows: int) -> tuple[Floats, Places]:
        return clock_seconds(cells, 1, example)

    return {TimeBase.RATE: by_rate, TimeBase.ELAPSED: elapsed, TimeBase.CLOCK: by_clock}[source.base]


def _refuse_words(cells: Cells, odd: list[int], unreadable: int, rows: int, size: int) -> None:
    if odd and unreadable > max(3, (rows + cells.starts.shape[1]) * _MOST_UNREADABLE):
        raise HydraulicsError(
            "trace-not-numbers",
            f"Row {rows + odd[0] + 1} of the data reads “{cells.text(0, odd[0])[:30]}” where a pressure should be, and "
            "so do others: choose the column of the pressure.",
            "file",
        )


def _refuse_unread(pressure: Floats, rows: int, skipped: int, unreadable: int) -> None:
    if rows < LEAST_ROWS:
        raise HydraulicsError(
            "trace-too-few-rows",
            f"The file has {rows} rows of readings: a trace needs at least {LEAST_ROWS}.",
            "file",
        )
    missing = int(np.isnan(pressure).sum()) + skipped
    if missing > _MOST_MISSING * (rows + skipped):
        raise HydraulicsError(
            "trace-mostly-missing",
            f"{grouped(missing)} of {grouped(rows + skipped)} rows have no legible pressure: check the cable, and "
            "record again.",
            "file",
        )


def _trace(time: Floats, pressure: Floats, warmth: Floats | None, rows: int, skipped: int, clock: bool) -> Trace:
    read = np.isfinite(time) & np.isfinite(pressure)
    missing = skipped + len(read) - int(read.sum())
    if missing > skipped:
        time, pressure = time[read], pressure[read]
        warmth = None if warmth is None else warmth[read]
    if len(time) < LEAST_ROWS:
        raise HydraulicsError(
            "trace-too-few-rows", f"Only {len(time)} rows have both a time and a pressure: check the columns.", "file"
        )
    steps = np.diff(time)
    if len(back := np.flatnonzero(steps < 0)):
        raise HydraulicsError(
            "trace-backwards",
            f"The time runs backwards at row {int(back[0]) + 2} of the data, from {time[back[0]]:.6g} s to "
            f"{time[back[0] + 1]:.6g} s: sort the file, or send one recording at a time.",
            "file",
        )
    if time[-1] <= time[0]:
        raise HydraulicsError(
            "trace-stands-still", "Every row has the same time: choose another column of time.", "file"
        )
    if (highest := float(np.abs(pressure).max())) > HIGHEST_BAR:
        raise HydraulicsError(
            "trace-absurd",
            f"The pressure goes up to {grouped(round(highest))} bar, which no such rig reaches: check the unit.",
            "pressure_unit",
        )
    if abs(time[0]) > _LATEST_START_S or clock:
        time = time - time[0]
    shared = int((steps == 0).sum())
    return Trace(_spread(time) if shared else time, pressure, warmth, rows, missing, shared)


def _spread(time: Floats) -> Floats:
    """Rows that share a time, as where a clock shows whole seconds, spread evenly up to the next time."""
    first = np.flatnonzero(np.diff(time, prepend=-np.inf) > 0)
    number = np.arange(len(time), dtype=np.float64)
    last_step = (time[first[-1]] - time[first[0]]) / max(1, first[-1])
    ends = np.append(first, len(time)).astype(np.float64)
    times = np.append(time[first], time[first[-1]] + last_step * (len(time) - first[-1]))
    return np.asarray(np.interp(number, ends, times), dtype=np.float64)

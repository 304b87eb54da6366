"""What was recognised in a logger's file, as a value to be shown for somebody to confirm or correct."""

from dataclasses import dataclass

from service.hydraulics.trace.columns import (
    BAR_PER_UNIT,
    TimeBase,
    TimeSource,
    pressure_column,
    pressure_unit,
    temperature_column,
    time_source,
)
from service.hydraulics.trace.layout import DECIMAL_SIGNS, DELIMITERS, Layout, layout_of

_STEPS = {1.0: "seconds", 1e-3: "milliseconds", 1e-6: "microseconds", 60.0: "minutes", 3600.0: "hours"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What a person says of the file; None is left to be recognised. Columns by name, or by number from 1."""

    delimiter: str | None = None
    decimal: str | None = None
    time_column: str | None = None
    rate_hz: float | None = None
    pressure_column: str | None = None
    pressure_unit: str | None = None
    temperature_column: str | None = None


@dataclass(frozen=True, slots=True)
class Recognition:
    """A file's layout and what its columns are; columns count from 0, `bar_per_unit` turns the pressure into bar."""

    layout: Layout
    time: TimeSource
    pressure: int
    unit: str
    temperature: int | None

    @property
    def bar_per_unit(self) -> float:
        """What one unit of the file is in bar."""
        return float(BAR_PER_UNIT[self.unit])

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """Each thing that was recognised, with what it is, in words for people."""
        layout = self.layout
        first = f"line {layout.first_line}"
        between = f"{DELIMITERS[layout.delimiter]}, {layout.columns} columns" if layout.delimiter else DELIMITERS[""]
        temperature = "none" if self.temperature is None else f"{self._column(self.temperature)}, °C"
        return (
            ("Between the values", between),
            ("Decimal sign", DECIMAL_SIGNS[layout.decimal]),
            ("First row", f"{first}, under a header" if layout.has_header else f"{first}, no header"),
            ("Time", self._time),
            ("Pressure", f"{self._column(self.pressure)}, {self.unit} (gauge)"),
            ("Temperature", temperature),
        )

    @property
    def _time(self) -> str:
        source = self.time
        if source.column is None:
            return f"{source.rate_hz:.10g} readings a second"
        if source.base is TimeBase.CLOCK:
            return f"{self._column(source.column)}, date or time of day"
        assumed = " (assumed: the header names no unit)" if source.assumed else ""
        return f"{self._column(source.column)}, {_STEPS[source.seconds]}{assumed}"

    def _column(self, number: int) -> str:
        name = self.layout.names[number]
        return f"column {number + 1} “{name}”" if name else f"column {number + 1}"


def recognise(data: bytes, given: Given | None = None) -> Recognition:
    """Recognise a logger's file from its beginning; what is given takes the place of what would be recognised.

    Raises HydraulicsError with a sentence that says what to give: see `layout_of` and the functions of `columns`.
    """
    told = given or Given()
    layout = layout_of(data, told.delimiter, told.decimal)
    time = time_source(layout, told.time_column, told.rate_hz)
    taken = frozenset() if time.column is None else frozenset({time.column})
    warmth = temperature_column(layout, told.temperature_column, taken)
    used = taken if warmth is None else taken | {warmth}
    pressure = pressure_column(layout, told.pressure_column, used)
    unit = pressure_unit(layout.names[pressure], told.pressure_unit)
    return Recognition(layout, time, pressure, unit, warmth)

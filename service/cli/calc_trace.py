"""`spindlebook calc trace FILE.csv`: openings and holds of a pressure trace from a logger's file."""

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.hydraulics.errors import HydraulicsError
from service.metrology.typed_numbers import grouped

if TYPE_CHECKING:
    from service.hydraulics.trace.answer import HoldAnswer, TraceAnswer

_MOST_BYTES = 400_000_000
_Text = str | None


def trace(
    file: Annotated[Path, typer.Argument(help="The logger's CSV: time and pressure, one row to a reading.")],
    delimiter: Annotated[_Text, typer.Option(help="semicolon, tab, stroke, comma, blank or none.")] = None,
    decimal: Annotated[_Text, typer.Option(help="Decimal sign: point or comma.")] = None,
    time_column: Annotated[_Text, typer.Option(help="Name or number of the column of time.")] = None,
    rate_hz: Annotated[_Text, typer.Option("--rate", help="Readings a second, where no column is the time.")] = None,
    pressure_column: Annotated[_Text, typer.Option(help="Name or number of the column of pressure.")] = None,
    pressure_unit: Annotated[_Text, typer.Option("--unit", help="bar, MPa, kgf/cm², psi, kPa, Pa or mbar.")] = None,
    temperature_column: Annotated[_Text, typer.Option(help="Name or number of the column of temperature, °C.")] = None,
    volume_cm3: Annotated[_Text, typer.Option("--volume", help="Oil volume under pressure, cm³.")] = None,
    bulk_modulus_gpa: Annotated[_Text, typer.Option("--bulk-modulus", help="Of the oil, GPa.")] = None,
    bar_per_kelvin: Annotated[_Text, typer.Option(help="Pressure gained for each degree, bar.")] = None,
    lower_bar: Annotated[_Text, typer.Option("--lower", help="Lower limit of the opening pressure, bar.")] = None,
    upper_bar: Annotated[_Text, typer.Option("--upper", help="Upper limit of the opening pressure, bar.")] = None,
    spread_max_bar: Annotated[_Text, typer.Option("--spread-max", help="Largest spread of the openings, bar.")] = None,
    least_openings: Annotated[_Text, typer.Option(help="How many openings the plan asks for; 3 if not given.")] = None,
    decay_max_bar_per_min: Annotated[_Text, typer.Option("--decay-max", help="Fastest decay, bar/min.")] = None,
    gauge_uncertainty_bar: Annotated[
        _Text, typer.Option("--gauge-uncertainty", help="Expanded uncertainty U of the gauge, bar.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Openings (pressure, closing, drop) and holds (decay with its 95 % interval) of a pressure trace."""
    asked = {name: text for name, text in locals().items() if isinstance(text, str)}
    # NumPy loads only for this command: the others start without it.
    from service.hydraulics.trace.answer import answer_of, find
    from service.hydraulics.trace.asked import asked_of

    answer = answer_of(find(_bytes_of(file), asked_of(asked)))
    if as_json:
        typer.echo(to_json(asdict(answer)))
        return
    _print(answer)


def _bytes_of(file: Path) -> bytes:
    try:
        if file.is_file() and file.stat().st_size > _MOST_BYTES:
            raise HydraulicsError("file-too-large", f"{file} is larger than 400 MB: cut the trace at the run.", "file")
        return file.read_bytes()
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise HydraulicsError("file-unreadable", f"{file} cannot be read: {reason}.", "file") from error


def _print(answer: "TraceAnswer") -> None:
    console = Console()
    recognised = Table("recognised", "as", title=f"{grouped(answer.rows)} rows")
    for fact in answer.recognised:
        recognised.add_row(fact.what, escape(fact.recognised))  # “[bar]” of a header is no markup
    console.print(recognised)
    openings = Table("opening at s", "opening bar", "closing bar", "drop bar", "in s")
    for one in answer.openings:
        numbers = (one.opening_bar, one.closing_bar, one.drop_bar)
        openings.add_row(f"{one.t_s:.3f}", *(f"{bar:.1f}" for bar in numbers), f"{one.drop_s:.3f}")
    console.print(openings)
    if answer.opening_mean_bar is not None:
        typer.echo(
            f"mean {answer.opening_mean_bar:.2f} bar, spread {answer.opening_spread_bar:.2f} bar, "
            f"standard uncertainty {answer.opening_standard_uncertainty_bar:.2f} bar"
        )
    holds = Table("hold s", "steady from s", "mean bar", "decay bar/min", "95 % interval", "leak mm³/s")
    for hold in answer.holds:
        holds.add_row(*_hold_cells(hold))
    console.print(holds)
    for verdict in answer.verdicts:
        typer.echo(f"{verdict.what}: {verdict.verdict}. {verdict.sentence}")
    for remark in answer.remarks:
        typer.echo(remark)


def _hold_cells(hold: "HoldAnswer") -> tuple[str, ...]:
    low, high = hold.interval
    leak = "" if hold.leak_mm3_per_s is None else f"{hold.leak_mm3_per_s:.4g}"
    return (
        f"{hold.start_s:.2f} to {hold.end_s:.2f}",
        f"{hold.steady_from_s:.2f}",
        f"{hold.mean_bar:.1f}",
        f"{hold.rate_bar_per_min:.3f}",
        f"{low:.3f} to {high:.3f}",
        leak,
    )

"""`spindlebook calc spray-holes FILE.csv`: the spray holes of one nozzle from the gauge pins tried in them."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import parse_decimal

if TYPE_CHECKING:
    from service.workshop.typed_spray_holes import TypedNozzle

_MOST_BYTES = 1_000_000


def spray_holes(
    file: Annotated[
        Path, typer.Argument(help="Lines of hole, pin in mm, yes or no; with “;” between, a decimal comma is read.")
    ],
    expanded_uncertainty: Annotated[str, typer.Option(help="Expanded uncertainty U of a pin, mm.")] = "0",
    k: Annotated[str, typer.Option(help="Coverage factor of U.")] = "2",
    nominal: Annotated[str | None, typer.Option(help="Diameter of a hole when new, mm.")] = None,
    designation: Annotated[
        str | None, typer.Option("--class", help='Class of the holes, such as "0.85 H9": it judges each hole.')
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Bracket of each hole with its uncertainty, hole-to-hole spread, flow area, and the verdict by the class."""
    # NumPy loads with the rules of the examination: the other commands start without it.
    from service.documents.nozzle_answer import nozzle_answer
    from service.workshop.typed_spray_holes import gauged_of_typed, passes_of_text

    gauged = gauged_of_typed(
        passes_of_text(_text_of(file)),
        parse_decimal(expanded_uncertainty, "expanded_uncertainty"),
        parse_decimal(k, "k"),
        None if nominal is None else parse_decimal(nominal, "nominal"),
        designation,
    )
    if as_json:
        typer.echo(to_json(nozzle_answer(gauged)))
        return
    _print(gauged)


def _print(gauged: "TypedNozzle") -> None:
    from service.documents.nozzle_answer import typed_facts
    from service.documents.nozzle_words import HOLE_COLUMNS, hole_lines

    table = Table(*(HOLE_COLUMNS if gauged.judged else HOLE_COLUMNS[:-1]))
    for line in hole_lines(gauged.found):
        verdict = (line.verdict.label,) if gauged.judged else ()
        table.add_row(line.hole, line.bracket, line.widened, line.middle, *verdict)
    Console().print(table)
    for label, value in typed_facts(gauged):
        typer.echo(f"{label}: {value}")


def _text_of(file: Path) -> str:
    try:
        if file.is_file() and file.stat().st_size > _MOST_BYTES:
            raise MetrologyError("file-too-large", f"{file} is larger than 1 MB: give one nozzle at a time.", "file")
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise MetrologyError("file-not-text", f"{file} is not a text file of holes and pins.", "file") from error
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise MetrologyError("file-unreadable", f"{file} cannot be read: {reason}.", "file") from error

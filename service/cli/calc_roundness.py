"""`spindlebook calc roundness FILE.csv`: the four reference circles of points from a file."""

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.errors import MetrologyError

if TYPE_CHECKING:
    from service.metrology.roundness import Roundness

_MOST_BYTES = 200_000_000
_TITLES = {
    "least_squares": "least squares",
    "minimum_zone": "minimum zone",
    "minimum_circumscribed": "circumscribed",
    "maximum_inscribed": "inscribed",
}


def roundness(
    file: Annotated[
        Path, typer.Argument(help="Points as lines of x,y in mm; with “;” between, a decimal comma is read.")
    ],
    as_json: AsJson = False,
) -> None:
    """Roundness of one section by its four reference circles: ISO 12181-1, ISO 4291; no filter is applied."""
    # NumPy loads only for this command: the others start without it.
    from service.metrology.point_lists import parse_points
    from service.metrology.roundness import roundness as reference_circles

    found = reference_circles(parse_points(_text_of(file)))
    if as_json:
        typer.echo(to_json(asdict(found)))
        return
    _print(found)


def _text_of(file: Path) -> str:
    try:
        if file.is_file() and file.stat().st_size > _MOST_BYTES:
            raise MetrologyError("file-too-large", f"{file} is larger than 200 MB: thin its points out.", "file")
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise MetrologyError("file-not-text", f"{file} is not a text file of points, x and y in mm.", "file") from error
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise MetrologyError("file-unreadable", f"{file} cannot be read: {reason}.", "file") from error


def _print(found: "Roundness") -> None:
    table = Table("circle", "x mm", "y mm", "radius mm", "deviation mm", "inner mm", "outer mm")
    for name, circle in asdict(found).items():
        if circle is None:
            continue
        order = ("x_mm", "y_mm", "radius_mm", "deviation_mm", "inner_mm", "outer_mm")
        table.add_row(_TITLES[name], *(f"{circle[key]:.6f}" if key in circle else "" for key in order))
    Console().print(table)
    if found.maximum_inscribed is None:
        typer.echo("No inscribed circle: the points leave one side open or are no outline.")

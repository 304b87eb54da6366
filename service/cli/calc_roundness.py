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
    from service.metrology.lobing import Lobes, LobingSpectrum
    from service.metrology.roundness import Roundness

_MOST_BYTES = 200_000_000
_HIGHEST_UPR = 50
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
    lobes: Annotated[bool, typer.Option("--lobes", help="The lobing spectrum too, to 50 undulations.")] = False,
) -> None:
    """Roundness of one section by its four reference circles: ISO 12181-1, ISO 4291; no filter is applied."""
    # NumPy loads only for this command: the others start without it.
    from service.metrology.point_lists import parse_points
    from service.metrology.roundness import roundness as reference_circles
    from service.metrology.section_form import section_lobes

    points = parse_points(_text_of(file))
    found = reference_circles(points)
    spectrum = section_lobes(points) if lobes else None
    if as_json:
        lobing = None if spectrum is None else asdict(spectrum) | {"lobes": [asdict(one) for one in _shown(spectrum)]}
        typer.echo(to_json(asdict(found) | ({"lobing": lobing} if lobes else {})))
        return
    _print(found)
    if lobes:
        _print_lobes(spectrum)


def _shown(spectrum: "LobingSpectrum") -> "tuple[Lobes, ...]":
    return spectrum.lobes[:_HIGHEST_UPR]


def _print_lobes(spectrum: "LobingSpectrum | None") -> None:
    if spectrum is None:
        typer.echo("No lobing spectrum: the points leave too much of the turn open.")
        return
    table = Table("undulations per revolution", "amplitude mm", "crest °")
    for one in _shown(spectrum):
        table.add_row(str(one.undulations_per_revolution), f"{one.amplitude_mm:.6f}", f"{one.crest_deg:.0f}")
    Console().print(table)


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

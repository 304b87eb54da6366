"""`spindlebook calc hole-image FILE`: one spray hole measured in a photograph with a scale."""

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import parse_decimal

if TYPE_CHECKING:
    from service.metrology.hole_image.findings import HoleEvaluation, Measured
    from service.metrology.hole_image.given_scale import GivenScale

_LENGTHS = {
    "mean_diameter": "mean diameter",
    "major": "major axis",
    "minor": "minor axis",
    "ovality": "ovality, major less minor",
    "ovality_by_harmonic": "ovality, second harmonic",
    "roundness": "roundness, filtered at 15 upr",
}


def hole_image(
    file: Annotated[Path, typer.Argument(help="Photograph of one hole, JPEG or PNG.")],
    um_per_pixel: Annotated[str, typer.Option(help="Calibrated pixel pitch, µm.")] = "",
    expanded_uncertainty: Annotated[str, typer.Option(help="Its expanded uncertainty, µm, k = 2.")] = "0",
    bar: Annotated[str, typer.Option(help="Instead: length of a scale bar, µm.")] = "",
    bar_uncertainty: Annotated[str, typer.Option(help="Expanded uncertainty of that length, µm, k = 2.")] = "0",
    start: Annotated[str, typer.Option(help="One end of the bar, x,y in pixels.")] = "",
    end: Annotated[str, typer.Option(help="Its other end.")] = "",
    as_json: AsJson = False,
) -> None:
    """Diameter, ovality and roundness of a hole in a photograph, each with its uncertainty."""
    given = _scale(um_per_pixel, expanded_uncertainty, bar, bar_uncertainty, start, end).scale()
    # Arrays load only for this command: the others start without them.
    from service.metrology.hole_image.evaluation import evaluate_hole
    from service.records.picture_file import picture_light

    try:
        content = file.read_bytes()
    except OSError as error:
        raise MetrologyError("file-unreadable", f"{file} cannot be read: {error.strerror}.", "file") from error
    found = evaluate_hole(picture_light(content, "file"), given)
    if as_json:
        typer.echo(to_json(_answer(found)))
    else:
        _print(found)


def _scale(pitch: str, uncertainty: str, bar: str, bar_uncertainty: str, start: str, end: str) -> "GivenScale":
    from service.metrology.hole_image.given_scale import BarScale, PitchScale

    if bool(pitch) is bool(bar):
        raise MetrologyError("scale", "Give either --um-per-pixel or --bar with --start and --end.", "um_per_pixel")
    if pitch:
        return PitchScale(
            um_per_pixel=parse_decimal(pitch, "um_per_pixel"),
            expanded_uncertainty=parse_decimal(uncertainty, "expanded_uncertainty"),
        )
    return BarScale(
        length_um=parse_decimal(bar, "bar"),
        length_uncertainty_um=parse_decimal(bar_uncertainty, "bar_uncertainty"),
        start_px=_place(start, "start"),
        end_px=_place(end, "end"),
    )


def _place(typed: str, field: str) -> tuple[Decimal, Decimal]:
    numbers = typed.split(",")
    if len(numbers) != 2:
        raise MetrologyError("place", f"Give --{field} as x,y in pixels.", field)
    return parse_decimal(numbers[0], field), parse_decimal(numbers[1], field)


def _answer(found: "HoleEvaluation") -> dict[str, object]:
    lengths: dict[str, object] = {name: _length(getattr(found, name)) for name in _LENGTHS}
    return lengths | {
        "angle_deg": found.angle_deg,
        "um_per_pixel": found.um_per_pixel,
        "coverage": found.quality.coverage,
        "not_nominal": list(found.quality.not_nominal),
    }


def _length(one: "Measured") -> dict[str, float]:
    return {
        "value_mm": one.value_um / 1000,
        "expanded_mm": one.expanded_um / 1000,
        "k": one.k,
        "value_px": one.value_px,
        "expanded_px": one.expanded_px,
    }


def _print(found: "HoleEvaluation") -> None:
    table = Table("what", "mm", "U mm", "k", "pixels")
    for name, words in _LENGTHS.items():
        one = getattr(found, name)
        row = (f"{one.value_um / 1000:.4f}", f"{one.expanded_um / 1000:.4f}", f"{one.k:.2f}", f"{one.value_px:.2f}")
        table.add_row(words, *row)
    Console().print(table)
    for words in found.quality.not_nominal:
        typer.echo(f"Outside the stated conditions: {words}")

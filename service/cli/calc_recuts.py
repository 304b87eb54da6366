"""`spindlebook calc recuts …`: the metal left on a seat, and how many more recuts it likely bears."""

from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.typed_numbers import plain
from service.workshop.recuts import RecutsLikely
from service.workshop.typed_recuts import forecast_of_typed


def recuts(
    size: Annotated[str, typer.Option(help="The size as measured, mm.")],
    limit: Annotated[str, typer.Option(help="The rework limit, mm: past it no metal is left.")],
    expanded_uncertainty: Annotated[str, typer.Option(help="Expanded uncertainty U of the size, mm.")],
    cuts: Annotated[str, typer.Option(help="Depths of earlier cuts on the type, mm: 0.04,0.05,…")],
    side: Annotated[str, typer.Option(help="Side of the limit that a cut draws near to: upper or lower.")] = "upper",
    as_json: AsJson = False,
) -> None:
    """Metal left to the rework limit, and how many more recuts are likely by the cuts given: a range, no promise.

    Careful, even and hopeful: so many cuts fit with at least 90, 50 and 10 %. From nine cuts on there is an answer.
    """
    found = forecast_of_typed(size, limit, side, expanded_uncertainty, cuts)
    likely = found.forecast if isinstance(found.forecast, RecutsLikely) else None
    if as_json:
        answer = {
            "remaining_mm": found.metal.remaining_mm,
            "expanded_uncertainty_mm": found.metal.expanded_uncertainty_mm,
            "cuts": found.cuts,
            "careful": likely.careful if likely else None,
            "even": likely.even if likely else None,
            "hopeful": likely.hopeful if likely else None,
        }
        typer.echo(to_json(answer))
        return
    table = Table("left mm", "U mm", "cuts on record", "careful (90 %)", "even (50 %)", "hopeful (10 %)")
    numbers = (likely.careful, likely.even, likely.hopeful) if likely else ("–",) * 3
    left, doubt = plain(found.metal.remaining_mm), plain(found.metal.expanded_uncertainty_mm)
    table.add_row(left, doubt, str(found.cuts), *(str(number) for number in numbers))
    Console().print(table)
    typer.echo(found.forecast.sentence)

"""`spindlebook calc back-leakage …`: the flow of the oil that came from the return, and how uncertain it is."""

from decimal import Decimal
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.leak_flow import flow_per_ml, leak_flow_ml_per_min
from service.metrology.typed_numbers import parse_decimal, plain

_LONGEST_S = Decimal(3600)


def back_leakage(
    volume: Annotated[str, typer.Option(help="Oil caught in the measuring cylinder, ml.")],
    seconds: Annotated[str, typer.Option(help="For so long, s.")],
    expanded_uncertainty: Annotated[str, typer.Option(help="Expanded uncertainty U of the cylinder, ml, k = 2.")],
    resolution: Annotated[str, typer.Option(help="Step of the cylinder's scale, ml.")] = "",
    as_json: AsJson = False,
) -> None:
    """Flow of a back leakage, V / t, with the uncertainty that cylinder and stopwatch give it (JCGM 100, 5.1.2)."""
    from service.metrology.budget_rows import calibration_row, resolution_row
    from service.metrology.units import check_magnitude
    from service.workshop.leak_budget import flow_budget

    caught, time = parse_decimal(volume, "volume"), parse_decimal(seconds, "seconds")
    check_magnitude(caught, Decimal(0), Decimal(5000), "volume", "ml")
    if time != time.to_integral_value() or not 1 <= time <= _LONGEST_S:
        raise HydraulicsError("measured", f"Give the time in whole seconds, 1 to {_LONGEST_S}.", "seconds")
    whole, doubt = int(time), parse_decimal(expanded_uncertainty, "expanded_uncertainty")
    per_ml = flow_per_ml(whole)
    rows = [calibration_row(doubt, Decimal(2), "ml", "as given", per_ml)]
    if resolution:
        rows.append(resolution_row(parse_decimal(resolution, "resolution"), "ml", "as given", per_ml))
    budget = flow_budget(caught, whole, rows, (), doubt)
    answer = {
        "flow_ml_per_min": leak_flow_ml_per_min(caught, whole),
        "expanded_uncertainty": budget.expanded,
        "k": budget.k,
    }
    if as_json:
        typer.echo(to_json(answer))
        return
    table = Table("flow ml/min", "U ml/min", "k")
    table.add_row(plain(answer["flow_ml_per_min"].quantize(Decimal("0.001"))), plain(budget.expanded), budget.k_text)
    Console().print(table)

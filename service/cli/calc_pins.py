"""`spindlebook calc pins "0.85 H9"`: go and no-go gauge pins of a class."""

from decimal import Decimal
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.designations import tolerance_class
from service.metrology.gauge_pins import pin_sizes, propose_pins
from service.metrology.limits_and_fits import limits_of_size
from service.metrology.typed_numbers import parse_decimal, plain

_UM_PER_MM = 1_000


def pins(
    designation: Annotated[str, typer.Argument(help='Class of the hole, such as "0.85 H9".')],
    wear_um: Annotated[str, typer.Option(help="Wear allowance of the go pin, µm.")] = "0",
    uncertainty_um: Annotated[str, typer.Option(help="Expanded uncertainty of the pins to buy, µm.")] = "0",
    increment_um: Annotated[
        str | None, typer.Option(help="Steps of the sets sold, µm: proposes the pins to buy.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Go and no-go pins for a class of holes: go at the least size, no-go at the largest (ISO 286-1).

    With --increment-um also the sizes to buy, on the safe side of the limits by wear and uncertainty.
    """
    wear, doubt = _mm(wear_um, "wear_um"), _mm(uncertainty_um, "uncertainty_um")
    sizes = pin_sizes(limits_of_size(tolerance_class(designation)), wear)
    answer: dict[str, object] = {"go_mm": sizes.go_mm, "no_go_mm": sizes.no_go_mm}
    rows = [("limit", plain(sizes.go_mm), plain(sizes.no_go_mm))]
    if wear:
        answer["go_new_mm"] = sizes.go_new_mm
        rows.append(("new", plain(sizes.go_new_mm), plain(sizes.no_go_mm)))
    if increment_um is not None:
        proposal = propose_pins(sizes, _mm(increment_um, "increment_um"), doubt)
        answer |= {
            "go_to_buy_mm": proposal.go_to_buy_mm,
            "no_go_to_buy_mm": proposal.no_go_to_buy_mm,
            "between_mm": proposal.between_mm,
        }
        rows.append(("to buy", plain(proposal.go_to_buy_mm), plain(proposal.no_go_to_buy_mm)))
    if as_json:
        typer.echo(to_json(answer))
        return
    table = Table("pin", "go mm", "no-go mm", title=designation)
    for row in rows:
        table.add_row(*row)
    Console().print(table)


def _mm(typed_um: str, field: str) -> Decimal:
    return parse_decimal(typed_um, field) / _UM_PER_MM

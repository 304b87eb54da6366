"""`spindlebook calc opening-pressure` and `calc discs`: setting the opening pressure."""

from decimal import Decimal
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.hydraulics.disc_advice import advise
from service.hydraulics.disc_search import DiscSet, PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import discs_in_words, parse_discs, parse_stock
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening_geometry import needle_geometry, opening_from_spring, twelve_digits
from service.metrology.typed_numbers import parse_decimal, plain

_MOST_DIGITS_OF_A_COUNT = 3


def opening_pressure(
    rate: Annotated[str, typer.Option(help="Spring rate, N/mm.")],
    guide: Annotated[str, typer.Option(help="Diameter of the needle's guide, mm.")],
    seat: Annotated[str, typer.Option(help="Diameter of the seat, mm.")],
    preload: Annotated[str, typer.Option(help="By how much the fitted spring is compressed, mm.")],
    as_json: AsJson = False,
) -> None:
    """Opening and closing pressure of a spring, and what one millimetre of disc changes: Δp = k·Δt / A."""
    geometry = needle_geometry(parse_decimal(rate, "rate"), parse_decimal(guide, "guide"), parse_decimal(seat, "seat"))
    found = opening_from_spring(geometry, parse_decimal(preload, "preload"))
    answer = {
        "opening_bar": twelve_digits(found.opening_bar),
        "closing_bar": twelve_digits(found.closing_bar),
        "bar_per_mm": twelve_digits(found.bar_per_mm),
    }
    if as_json:
        typer.echo(to_json(answer))
        return
    table = Table("opening bar", "closing bar", "bar per mm of disc")
    table.add_row(*(plain(value.quantize(Decimal("0.01"))) for value in answer.values()))
    Console().print(table)


def discs(
    now: Annotated[str, typer.Option(help="Opening pressure now, bar.")],
    target: Annotated[str, typer.Option(help="Opening pressure aimed at, bar.")],
    tolerance: Annotated[str, typer.Option(help="By how much it may be off to either side, bar.")],
    bar_per_mm: Annotated[str, typer.Option(help="What one millimetre of disc changes, bar.")],
    stock: Annotated[str, typer.Option(help="Thicknesses, mm: 0.05,0.10; counted pieces as 0.10x2.")],
    most: Annotated[str, typer.Option("--max", help="Most added discs allowed.")] = "5",
    fitted: Annotated[str, typer.Option(help="Discs added before, which may come out: 0.10,0.10.")] = "",
    as_json: AsJson = False,
) -> None:
    """The fewest discs that bring the opening pressure into its band, every tie; an exact search."""
    aim, off = parse_decimal(target, "target"), parse_decimal(tolerance, "tolerance")
    if off < 0:
        raise HydraulicsError(
            "tolerance-negative", "The tolerance is below zero: give how far off it may be.", "tolerance"
        )
    task = disc_task(
        parse_decimal(now, "now"),
        PressureBand(aim - off, aim, aim + off),
        parse_decimal(bar_per_mm, "bar_per_mm"),
        parse_stock(stock),
        parse_discs(fitted, "fitted"),
        whole_discs(most),
    )
    found = fewest_discs(task)
    if as_json:
        typer.echo(to_json({"solutions": [_solution(one, bool(fitted)) for one in found]}))
        return
    if found:
        table = Table("put in", "take out", "expected bar")
        for one in found:
            out = discs_in_words(one.removed_um)
            table.add_row(discs_in_words(one.added_um), out, plain(twelve_digits(one.expected_bar)))
        Console().print(table)
    typer.echo(advise(task, found).sentence)


def whole_discs(typed: str) -> int:
    """A number of discs as typed. Raises HydraulicsError with code `disc-count-negative`."""
    digits = typed.strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) <= _MOST_DIGITS_OF_A_COUNT):
        raise HydraulicsError("disc-count-negative", "Give the most added discs allowed as a whole number.", "max")
    return int(digits)


def _solution(one: DiscSet, with_fitted: bool) -> dict[str, object]:
    answer: dict[str, object] = {"discs_mm": _mm(one.added_um), "expected_bar": twelve_digits(one.expected_bar)}
    return answer | {"removed_mm": _mm(one.removed_um)} if with_fitted else answer


def _mm(discs_um: tuple[int, ...]) -> list[Decimal]:
    return [Decimal(um) / 1000 for um in discs_um]

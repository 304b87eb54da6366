"""`spindlebook calc …`: each calculation from a terminal, a table for people or JSON for programs.

Names of JSON keys are a contract. Bad input ends with status 2 and one sentence on standard error.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table
from typer.core import TyperGroup

from service.cli.answers import AsJson, to_json
from service.cli.calc_hole_image import hole_image
from service.cli.calc_leak import back_leakage
from service.cli.calc_opening import discs, opening_pressure
from service.cli.calc_pins import pins
from service.cli.calc_recuts import recuts
from service.cli.calc_roundness import roundness
from service.cli.calc_spray_holes import spray_holes
from service.cli.calc_trace import trace
from service.cli.calc_uncertainty import uncertainty
from service.metrology.conformity import judge, probability_of_conformity, standard_uncertainty
from service.metrology.designations import tolerance_class
from service.metrology.errors import DomainError
from service.metrology.limits_and_fits import LimitsOfSize, fit, limits_of_size
from service.metrology.typed_numbers import parse_decimal, plain
from service.workshop.imo_number import expected_check_digit, seven_digits

BAD_INPUT = 2


class OneSentenceGroup(TyperGroup):
    """A group of commands that answers bad input, a wrong option included, with one sentence and status 2."""

    def make_context(self, *args: Any, **kwargs: Any) -> Any:
        with _one_sentence():
            return super().make_context(*args, **kwargs)

    def invoke(self, ctx: Any) -> Any:
        with _one_sentence():
            return super().invoke(ctx)


@contextmanager
def _one_sentence() -> Iterator[None]:
    try:
        yield
    except DomainError as refusal:
        sentence = refusal.sentence
    except typer.TyperException as misuse:
        sentence = misuse.format_message()
    else:
        return
    on_one_line = " ".join(sentence.split())
    typer.echo(on_one_line if on_one_line.endswith(".") else f"{on_one_line}.", err=True)
    raise typer.Exit(BAD_INPUT)


calc = typer.Typer(name="calc", cls=OneSentenceGroup, help="Calculations of the workshop, from a terminal.")

calc.command("hole-image")(hole_image)
calc.command("pins")(pins)
calc.command("recuts")(recuts)
calc.command("roundness")(roundness)
calc.command("spray-holes")(spray_holes)
calc.command("trace")(trace)
calc.command("opening-pressure")(opening_pressure)
calc.command("discs")(discs)
calc.command("back-leakage")(back_leakage)
calc.command("uncertainty")(uncertainty)


@calc.command("limits")
def limits(
    designations: Annotated[list[str], typer.Argument(help='Such as "25 H7"; several give several rows.')],
    as_json: AsJson = False,
) -> None:
    """Limits of size of tolerance classes: ISO 286-1, to 500 mm."""
    found = [limits_of_size(tolerance_class(designation)) for designation in designations]
    if as_json:
        objects = [_limits_object(one) for one in found]
        typer.echo(to_json(objects[0] if len(objects) == 1 else objects))
        return
    table = Table("designation", "kind", "upper µm", "lower µm", "max mm", "min mm", "tolerance µm")
    for designation, one in zip(designations, found, strict=True):
        table.add_row(str(tolerance_class(designation)), *_limits_cells(one))
    Console().print(table)


@calc.command("fit")
def fit_command(
    designation: Annotated[str, typer.Argument(help='Hole and shaft, such as "25 H7/g6".')],
    as_json: AsJson = False,
) -> None:
    """Clearances of a hole and a shaft: ISO 286-1, to 500 mm; a negative clearance is an interference."""
    found = fit(designation)
    largest, smallest = _um(found.clearance_max_nm), _um(found.clearance_min_nm)
    if as_json:
        answer = {
            "hole": _limits_object(found.hole),
            "shaft": _limits_object(found.shaft),
            "clearance_max_um": largest,
            "clearance_min_um": smallest,
            "kind": found.kind,
        }
        typer.echo(to_json(answer))
        return
    table = Table("part", "kind", "upper µm", "lower µm", "max mm", "min mm", "tolerance µm", title=designation)
    for one in (found.hole, found.shaft):
        table.add_row(f"nominal {plain(one.nominal_mm)} mm", *_limits_cells(one))
    Console().print(table)
    typer.echo(f"{found.kind} fit, clearance {plain(smallest)} to {plain(largest)} µm")


@calc.command("conformity")
def conformity(
    value: Annotated[str, typer.Option(help="The measured value.")],
    expanded_uncertainty: Annotated[str, typer.Option(help="Its expanded uncertainty U, in the same unit.")],
    k: Annotated[str, typer.Option(help="Coverage factor of U.")] = "2",
    lower: Annotated[str | None, typer.Option(help="Lower limit.")] = None,
    upper: Annotated[str | None, typer.Option(help="Upper limit.")] = None,
    guard_factor: Annotated[str, typer.Option(help="Guard band as a multiple of U.")] = "1",
    as_json: AsJson = False,
) -> None:
    """Verdict on a value against its limits (ISO 14253-1) and its probability (JCGM 106)."""
    measured, uncertainty = parse_decimal(value, "value"), parse_decimal(expanded_uncertainty, "expanded_uncertainty")
    lowest = None if lower is None else parse_decimal(lower, "lower")
    highest = None if upper is None else parse_decimal(upper, "upper")
    verdict = judge(measured, lowest, highest, uncertainty, parse_decimal(guard_factor, "guard_factor"))
    deviation = standard_uncertainty(uncertainty, parse_decimal(k, "k"))
    probability = probability_of_conformity(measured, lowest, highest, deviation)
    if as_json:
        typer.echo(to_json({"verdict": verdict.name, "probability_of_conformity": probability}))
        return
    table = Table("verdict", "probability of conformity", "guard band", "rule")
    table.add_row(verdict.name, f"{probability:.2%}", plain(verdict.guard_band), verdict.clause)
    Console().print(table)
    if verdict.zone_too_narrow:
        typer.echo("The limits are closer than two guard bands: no value can conform at this uncertainty.")


@calc.command("imo")
def imo(
    number: Annotated[str, typer.Argument(help="IMO ship number, seven digits.")],
    as_json: AsJson = False,
) -> None:
    """Check digit of a ship's number: IMO Resolution A.1117(30)."""
    digits = seven_digits(number)
    expected = expected_check_digit(digits[:6])
    valid = int(digits[6]) == expected
    if as_json:
        typer.echo(to_json({"valid": valid, "expected_check_digit": expected}))
        return
    table = Table("number", "check digit", "expected", "valid")
    table.add_row(digits, digits[6], str(expected), "yes" if valid else "no")
    Console().print(table)


def _limits_object(found: LimitsOfSize) -> dict[str, object]:
    return {
        "nominal_mm": found.nominal_mm,
        "kind": found.kind,
        "upper_um": _um(found.upper_nm),
        "lower_um": _um(found.lower_nm),
        "max_mm": found.max_mm,
        "min_mm": found.min_mm,
        "tolerance_um": _um(found.tolerance_nm),
    }


def _limits_cells(found: LimitsOfSize) -> list[str]:
    numbers = (_um(found.upper_nm), _um(found.lower_nm), found.max_mm, found.min_mm, _um(found.tolerance_nm))
    return [found.kind, *(plain(number) for number in numbers)]


def _um(nanometres: int) -> Decimal:
    return Decimal(nanometres) / 1_000

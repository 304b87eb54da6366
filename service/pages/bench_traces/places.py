"""Addresses of the traces, and what may come on those that take files."""

import re
from collections.abc import Mapping

from service.actions.bench_traces import TRACE_LIMIT_BYTES
from service.pages.choices import Option
from service.pages.overhauls.proving_view import step_address
from service.pages.typed_forms import Typed

UPLOAD_PATHS = re.compile(
    r"(?:/api/v1)?/overhauls/[^/]{1,60}/(?:bench-runs/\d{1,10}/steps/[^/]{1,80}/traces|bench-traces/\d{1,10}/pieces)"
)
UPLOAD_LIMIT_BYTES = TRACE_LIMIT_BYTES + 20_000
"""One trace, and what a form wraps around it."""
READING = (
    *("delimiter", "decimal", "time_column", "rate_hz", "pressure_column", "pressure_unit", "temperature_column"),
    *("volume_cm3", "bulk_modulus_gpa", "bar_per_kelvin"),
)
"""What is asked of how a file is read, and of the rig; the plan of the limit sheet says the rest."""
DELIMITERS = tuple(Option(one, one.capitalize()) for one in ("semicolon", "tab", "comma", "stroke", "blank", "none"))
DECIMALS = (Option("comma", "Comma"), Option("point", "Point"))
UNITS = tuple(Option(one, one) for one in ("bar", "MPa", "kgf/cm²", "psi", "kPa", "Pa", "mbar"))


def traces_address(overhaul: str, run: int, step: str) -> str:
    """The traces of one step; `overhaul` is the address of the overhaul."""
    return f"{step_address(overhaul, run, step)}/traces"


def trace_address(overhaul: str, trace_id: int) -> str:
    """One trace."""
    return f"{overhaul}/bench-traces/{trace_id}"


def asked_in(typed: Typed) -> Mapping[str, str]:
    """What was typed of how the file is read."""
    return {name: text for name in READING if (text := typed.text(name))}

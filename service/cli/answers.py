"""How a calculation answers: JSON with exact numbers, or a table."""

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Annotated

import typer

from service.metrology.typed_numbers import plain

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]


def to_json(answer: object) -> str:
    """JSON text in which a Decimal is a plain number, exact and as short as it can be."""
    if isinstance(answer, Decimal):
        return plain(answer)
    if isinstance(answer, Mapping):
        return "{" + ", ".join(f"{json.dumps(key)}: {to_json(value)}" for key, value in answer.items()) + "}"
    if isinstance(answer, Sequence) and not isinstance(answer, str):
        return "[" + ", ".join(to_json(value) for value in answer) + "]"
    return json.dumps(answer, allow_nan=False)

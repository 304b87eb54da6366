"""Findings as plain values without the noise of the last binary digits: one picture gives one text."""

from dataclasses import asdict
from typing import Any

from service.metrology.hole_image.findings import HoleEvaluation

_DECIMALS = 4
"""Of µm and pixels: a thousandth of what a photograph can tell."""


def rounded_findings(found: HoleEvaluation) -> dict[str, Any]:
    """The evaluation as dictionaries, lists and numbers rounded to a ten-thousandth of their unit."""
    return {name: _rounded(value) for name, value in asdict(found).items()}


def _rounded(value: Any) -> Any:
    match value:
        case float():
            return round(value, _DECIMALS)
        case dict():
            return {key: _rounded(inner) for key, inner in value.items()}
        case list() | tuple():
            return [_rounded(inner) for inner in value]
        case _:
            return value

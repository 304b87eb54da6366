"""A hole's evaluation and the scale it was made with as canonical JSON text, and back."""

import hashlib
from dataclasses import asdict
from functools import cache, lru_cache
from typing import Annotated, Any

from pydantic import Field, TypeAdapter

from service.metrology.hole_image.findings import HoleEvaluation
from service.records.json_text import canonical
from service.workshop.photograph_scale import GivenScale

_DECIMALS = 4
"""Of µm and pixels: a thousandth of what a photograph can tell, and free of the noise of the last binary digits."""


def evaluation_text(found: HoleEvaluation) -> str:
    """Canonical JSON text, numbers rounded to a ten-thousandth."""
    return canonical(_rounded(asdict(found)))


@lru_cache(maxsize=256)
def evaluation_of_text(text: str) -> HoleEvaluation:
    """The evaluation again; rows never change, so that it is kept."""
    return _evaluations().validate_json(text)


def digest_of(text: str) -> str:
    """By which an evaluation that was shown is known again: the SHA-256 of its text."""
    return hashlib.sha256(text.encode()).hexdigest()


def scale_text(scale: GivenScale) -> str:
    """The scale as it was given, as canonical JSON text."""
    return canonical(scale.as_plain())


def scale_of_text(text: str) -> GivenScale:
    """The scale again."""
    return _scales().validate_json(text)


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


@cache
def _evaluations() -> TypeAdapter[HoleEvaluation]:
    return TypeAdapter(HoleEvaluation)


@cache
def _scales() -> TypeAdapter[GivenScale]:
    return TypeAdapter(Annotated[GivenScale, Field(discriminator="kind")])

"""A hole's evaluation and the scale it was made with as canonical JSON text, and back."""

import hashlib
from functools import cache, lru_cache
from typing import Annotated

from pydantic import Field, TypeAdapter

from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.given_scale import GivenScale
from service.metrology.hole_image.rounded_findings import rounded_findings
from service.records.json_text import canonical


def evaluation_text(found: HoleEvaluation) -> str:
    """Canonical JSON text, numbers rounded to a ten-thousandth."""
    return canonical(rounded_findings(found))


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


@cache
def _evaluations() -> TypeAdapter[HoleEvaluation]:
    return TypeAdapter(HoleEvaluation)


@cache
def _scales() -> TypeAdapter[GivenScale]:
    return TypeAdapter(Annotated[GivenScale, Field(discriminator="kind")])

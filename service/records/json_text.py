"""Domain values as JSON text and back. One canonical form: sorted keys, no blanks, decimals as text."""

import json
from functools import cache, lru_cache
from typing import Annotated, Any

from pydantic import Field, TypeAdapter

from service.workshop.entries import Content


def canonical(value: Any) -> str:
    """JSON text with sorted keys and no blanks."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@cache
def _contents() -> TypeAdapter[Content]:
    # The tag picks the one dataclass to try; a plain union would try all seventeen.
    return TypeAdapter(Annotated[Content, Field(discriminator="kind")])


def content_to_json(content: Content) -> str:
    """An entry's content as canonical JSON text."""
    return canonical(_contents().dump_python(content, mode="json"))


@lru_cache(maxsize=8192)
def content_from_json(text: str) -> Content:
    """The entry's content again. Entries never change and every action reads all of an overhaul's: they are kept."""
    return _contents().validate_json(text)

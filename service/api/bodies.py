"""What bodies and answers are made of: exact numbers, texts, counts, forms, pages."""

from decimal import Decimal
from typing import Annotated, Any

from fastapi import Path, Query
from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema

from service.actions.recording import Form
from service.api.exact_json import EndlessNumber
from service.metrology.typed_numbers import plain
from service.metrology.units import parse_quantity


def _as_typed(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return str(value)
    raise ValueError("give a number, or a text such as “0.85” or “0.85 mm”")


def _told(value: Any) -> Any:
    if isinstance(value, EndlessNumber):
        raise ValueError("give a text")
    return value


def _storable(text: str) -> str:
    if "\x00" in text:
        raise ValueError("a text holds no NUL sign")
    return text


Number = Annotated[
    str,
    BeforeValidator(_as_typed),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string", "maxLength": 60}, {"type": "number"}],
            "description": "Read exactly. A text may carry a decimal comma and a unit: 0.85, “0,85”, “850 µm”.",
        }
    ),
]
Exact = Annotated[Decimal, PlainSerializer(plain, return_type=str)]
"""A Decimal in an answer: text, so that no reader rounds it."""
Text = Annotated[str, Field(max_length=2000), BeforeValidator(_told), AfterValidator(_storable)]
Name = Annotated[str, Field(max_length=200), BeforeValidator(_told), AfterValidator(_storable)]
Count = Annotated[int, Field(strict=True, ge=0, le=1_000_000_000)]
Yes = Annotated[bool, Field(strict=True)]
FormKey = Annotated[
    str,
    Field(
        pattern=r"^[A-Za-z0-9_-]{8,64}$",
        description="A key of the client's own, new for each form: sent again, it gives the first answer again.",
    ),
]
InPath = Annotated[str, Path(max_length=60, pattern=r"^[^\x00]+$")]
IdInPath = Annotated[int, Path(ge=1, le=2_000_000_000)]
After = Annotated[int, Query(ge=0, le=2_000_000_000, description="The `next_after` of the page before.")]
Limit = Annotated[int, Query(ge=1, le=200, description="At most so many on a page.")]


class Body(BaseModel):
    """A body with no key that is not described."""

    model_config = ConfigDict(extra="forbid")


class Answer(BaseModel):
    """What is answered, read from a row or a value of the domain."""

    model_config = ConfigDict(from_attributes=True)


class FormBody(Body):
    """What every form carries."""

    form_key: FormKey
    seen: Annotated[Count, Field(description="The `seen` of the overhaul as the person looked at it.")]

    @property
    def form(self) -> Form:
        """For the action."""
        return Form(self.form_key, self.seen)


class SignedBody(FormBody):
    """What a form of a signed act carries besides: the person's own password once more."""

    password: Annotated[str, Field(max_length=1000)]


def quantity(typed: str, given_unit: str | None, wanted_unit: str, field: str) -> Decimal:
    """The typed number in the wanted unit; `given_unit` is that of the whole body. Raises MetrologyError."""
    return parse_quantity(f"{typed} {given_unit}" if given_unit else typed, wanted_unit, field)


def next_after(ids: list[int], limit: int) -> int | None:
    """Where the next page starts, None on the last one."""
    return ids[-1] if len(ids) == limit else None

"""A posted form as it was typed: read with words for people, shown again unchanged when something is wrong."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from fastapi import Depends, Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from service.actions.recording import Form
from service.actions.shop import Conflict, Refused
from service.metrology.errors import DomainError
from service.metrology.units import parse_quantity
from service.pages.rendering import FormState
from service.workshop.shown_pressure import typed_pressure_bar

E = TypeVar("E", bound=StrEnum)
_LONGEST = 4000


@dataclass(frozen=True)
class Typed:
    """The fields of one form, each name with everything typed under it, and its files."""

    fields: Mapping[str, tuple[str, ...]]
    files: Mapping[str, bytes]

    def text(self, name: str) -> str:
        """The field's text without blanks around it, '' when it was not sent."""
        value = (self.fields.get(name) or ("",))[0].strip()
        if len(value) > _LONGEST:
            raise Refused("too-long", f"Shorten this to {_LONGEST} characters.", name)
        return value

    def many(self, name: str) -> tuple[str, ...]:
        """Everything sent under the name, blanks and empty ones left out."""
        return tuple(value.strip() for value in self.fields.get(name, ()) if value.strip())

    def ticked(self, name: str) -> bool:
        """Whether a box was ticked."""
        return self.text(name) == "yes"

    def whole(self, name: str, what: str) -> int:
        """A whole number, refused with words where it is none."""
        text = self.text(name).replace("\u202f", "").replace(" ", "")
        if not text.isascii() or not text.removeprefix("-").isdigit() or len(text) > 12:
            raise Refused("whole-number", f"{what}: enter a whole number.", name)
        return int(text)

    def whole_or_none(self, name: str, what: str) -> int | None:
        """A whole number, None where nothing was typed."""
        return self.whole(name, what) if self.text(name) else None

    def quantity(self, name: str, unit: str) -> Decimal:
        """A number in the unit, other spellings and units converted; see `parse_quantity`."""
        return parse_quantity(self.text(name), unit, name)

    def pressure_bar(self, name: str) -> Decimal:
        """A pressure in bar, another unit converted to a thousandth of it; see `typed_pressure_bar`."""
        return typed_pressure_bar(self.text(name), "bar", name)

    def quantities(self, name: str, unit: str) -> tuple[Decimal, ...]:
        """All numbers typed under the name, several in one box separated by blanks or semicolons."""
        pieces = [piece for value in self.many(name) for piece in value.replace(";", "\n").split("\n")]
        return tuple(parse_quantity(piece.strip(), unit, name) for piece in pieces if piece.strip())

    def choice(self, name: str, kind: type[E], what: str) -> E:
        """One member of an enumeration."""
        try:
            return kind(self.text(name))
        except ValueError:
            raise Refused("choice", f"{what}: choose one.", name) from None

    def day(self, name: str, what: str) -> date:
        """A date in the form 2026-01-31."""
        try:
            return date.fromisoformat(self.text(name))
        except ValueError:
            raise Refused("date", f"{what}: enter a date as YYYY-MM-DD.", name) from None

    @property
    def form(self) -> Form:
        """The form's key and the last entry that the person saw."""
        seen = self.text("seen") or "0"
        if not (seen.isascii() and seen.isdigit() and len(seen) < 10):
            raise Refused("seen", "The form is damaged: open the page again.", "")
        return Form(self.text("form_key"), int(seen))

    @property
    def password(self) -> str:
        """The password as typed, blanks and all: it is nobody's to trim."""
        return (self.fields.get("password") or ("",))[0]

    @property
    def version(self) -> int:
        """The version of the record that the person saw."""
        return self.whole("seen", "Version")

    def shown(self, error: DomainError | None = None) -> FormState:
        """The form as it is shown again, nothing typed lost, the error beside its field."""
        values: dict[str, str | list[str]] = {
            name: list(given) if len(given) > 1 else given[0] for name, given in self.fields.items() if given
        }
        return FormState(values, errors_of(error))


def errors_of(error: DomainError | None) -> dict[str, str]:
    """The error under its field; a conflict's changes stand with the form as a whole."""
    if error is None:
        return {}
    if isinstance(error, Conflict):
        return {"": " ".join((error.sentence, *error.changes))}
    return {error.field or "": error.sentence}


async def typed_form(request: Request) -> Typed:
    """Read the posted form; a body that is none is refused with 400."""
    try:
        async with request.form(max_files=8, max_fields=1500) as data:
            fields: dict[str, list[str]] = {}
            files: dict[str, bytes] = {}
            for name, value in data.multi_items():
                if isinstance(value, UploadFile):
                    files[name] = await value.read()
                else:
                    fields.setdefault(name, []).append(value.replace("\r\n", "\n").replace("\x00", ""))
                    _check_text(name + value)
    except HTTPException as error:
        raise Refused("form", f"The form could not be read: {error.detail}. Send it again.") from error
    except UnicodeError as error:  # the sender names the encoding: it may be one that no text has, or make half signs
        raise Refused("form", "The form could not be read: send it as UTF-8.") from error
    return Typed({name: tuple(values) for name, values in fields.items()}, files)


def _check_text(text: str) -> None:
    """Raise UnicodeError for half of a surrogate pair: no database stores it."""
    text.encode()


TypedForm = Depends(typed_form)

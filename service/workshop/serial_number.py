"""A serial number as it is marked on the injector."""

import re

from service.metrology.errors import DomainError

_ALLOWED = re.compile(r"[A-Z0-9](?:[A-Z0-9 ./-]{0,38}[A-Z0-9])?", re.ASCII)


class SerialNumberError(DomainError):
    """A text that cannot be a serial number."""


def serial_number(text: str, field: str = "serial") -> str:
    """The serial in the one spelling that is stored and searched: capitals, single blanks.

    Raises SerialNumberError: empty, longer than 40, or with others than letters, digits, blank, `.`, `/`, `-`.
    """
    spelled = " ".join(text.upper().split())
    if not _ALLOWED.fullmatch(spelled):
        raise SerialNumberError(
            "serial",
            "Enter the serial number as marked: letters, digits, blank, dot, slash and hyphen, up to 40 characters.",
            field,
        )
    return spelled

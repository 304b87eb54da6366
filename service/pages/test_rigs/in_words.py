"""Reading a typed field under the words that people know it by."""

from collections.abc import Callable
from typing import TypeVar

from service.actions.shop import Refused
from service.metrology.errors import MetrologyError

T = TypeVar("T")


def read_as(words: str, name: str, read: Callable[[str], T]) -> T:
    """What `read` makes of the field that it is told as `words`. Raises Refused, which stands at the field `name`."""
    try:
        return read(words)
    except MetrologyError as error:
        raise Refused(error.code, error.sentence, name) from None

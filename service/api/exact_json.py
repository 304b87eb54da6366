"""Bodies are read without binary floats: 0.85 in JSON is the Decimal 0.85, digit for digit."""

import json
from collections.abc import Callable, Coroutine
from decimal import Decimal
from typing import Any

from fastapi import Request, Response
from fastapi.routing import APIRoute

_MAX_DIGITS = 40
_MAX_EXPONENT = 30


class EndlessNumber(str):
    """A JSON number that no measurement has, as it was written: a field for numbers refuses it by name."""


class ExactRequest(Request):
    """A request whose JSON numbers are exact. NaN, Infinity and the like become EndlessNumber."""

    async def json(self) -> Any:
        """The body. Raises JSONDecodeError, answered as 422."""
        if not hasattr(self, "_json"):
            body = await self.body()
            try:
                self._json = json.loads(body, parse_float=_decimal, parse_int=_integer, parse_constant=EndlessNumber)
            except (UnicodeDecodeError, RecursionError) as error:
                raise json.JSONDecodeError("the body is not UTF-8 or is nested too deeply", "", 0) from error
        return self._json


class ExactRoute(APIRoute):
    """A route that hands ExactRequest on."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The handler over an exact request."""
        handle = super().get_route_handler()

        async def handle_exactly(request: Request) -> Response:
            return await handle(ExactRequest(request.scope, request.receive))

        return handle_exactly


def _decimal(text: str) -> Decimal | EndlessNumber:
    if len(text) > _MAX_DIGITS:
        return EndlessNumber(text)
    number = Decimal(text)
    return number if abs(number.adjusted()) <= _MAX_EXPONENT else EndlessNumber(text)


def _integer(text: str) -> int | EndlessNumber:
    return int(text) if len(text) <= _MAX_DIGITS else EndlessNumber(text)

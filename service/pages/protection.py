"""What stands between the network and every route: size limit, cross-site refusal, security headers."""

import re
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.metrology.typed_numbers import grouped

SECURITY_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "font-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'; manifest-src 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
_SAFE = ("GET", "HEAD", "OPTIONS")
_RAW = [(name.lower().encode(), value.encode()) for name, value in SECURITY_HEADERS.items()]


Refuse = Callable[[Request, Exception], Awaitable[Response]]
"""Answers an error in the caller's language: a page or problem details."""


class BodyTooLarge(HTTPException):
    """More bytes came than the limit allows. As an error of HTTP it reaches the caller through any reader of bodies."""

    def __init__(self, limit: int) -> None:
        super().__init__(413, f"This is larger than {grouped(limit)} bytes, the most taken here. Send less at once.")


class Protection:
    """Refuses bodies over the limit (413) and unsafe requests from another site (403); sets the headers."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        public_origin: str,
        body_limit: int,
        secure: bool,
        refuse: Refuse,
        larger: tuple[tuple[re.Pattern[str], int], ...] = (),
    ) -> None:
        """`larger`: addresses that take files, each with the most bytes that it takes."""
        self._app = app
        self._refuse = refuse
        self._origins = _own_origins(public_origin)
        self._limit = body_limit
        self._larger = larger
        self._headers = list(_RAW)
        if secure:
            self._headers.append((b"strict-transport-security", b"max-age=31536000"))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        started = False

        async def guarded_send(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                message["headers"] = [*message.get("headers", []), *self._headers, *_never_cached(scope, message)]
            await send(message)

        if fault := _faulty_address(scope):
            await self._answer(fault, scope, receive, guarded_send)
            return
        if scope["method"] not in _SAFE:
            headers = Headers(scope=scope)
            limit = self._limit_of(scope["path"])
            length = headers.get("content-length", "")
            if length.isascii() and length.isdigit() and int(length[:20]) > limit:
                await self._answer(BodyTooLarge(limit), scope, receive, guarded_send)
                return
            if not same_site(headers, self._origins):
                sentence = "This form came from another site and was refused. Open the page here and send it again."
                await self._answer(HTTPException(403, sentence), scope, receive, guarded_send)
                return
            receive = _counted(receive, limit)
        try:
            await self._app(scope, receive, guarded_send)
        except BodyTooLarge as error:
            if started:
                raise
            await self._answer(error, scope, receive, guarded_send)

    def _limit_of(self, path: str) -> int:
        found = (limit for addresses, limit in self._larger if addresses.fullmatch(path))
        return max(self._limit, next(found, 0))

    async def _answer(self, error: HTTPException, scope: Scope, receive: Receive, send: Send) -> None:
        answer = await self._refuse(Request(scope), error)
        await answer(scope, receive, send)


def _faulty_address(scope: Scope) -> HTTPException | None:
    """NUL stands in no name of ours, and PostgreSQL takes it in no text: such an address is answered here."""
    if "\x00" in scope["path"]:
        return HTTPException(404, "Not Found")
    if b"%00" in scope["query_string"]:
        return HTTPException(422, "The address holds a NUL sign: type the question again.")
    return None


def same_site(headers: Headers, origins: frozenset[str]) -> bool:
    """Whether an unsafe request comes from our own pages or from a client that has no cookie of ours.

    Browsers send Sec-Fetch-Site only to https and to localhost, so on a workshop's network Origin decides.
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is not None:
        return origin in origins
    return "spindlebook=" not in headers.get("cookie", "")


def _own_origins(public_origin: str) -> frozenset[str]:
    origins = {public_origin}
    if public_origin.startswith("http://127.0.0.1"):
        origins.add(public_origin.replace("127.0.0.1", "localhost", 1))
    return frozenset(origins)


def _never_cached(scope: Scope, message: MutableMapping[str, Any]) -> tuple[tuple[bytes, bytes], ...]:
    """Pages show one person's fleet: no cache keeps them. Static files carry their own rule."""
    ruled = any(name == b"cache-control" for name, _ in message.get("headers", ()))
    return () if ruled or scope["path"].startswith("/static/") else ((b"cache-control", b"no-store"),)


def _counted(receive: Receive, limit: int) -> Receive:
    total = 0

    async def counting() -> Message:
        nonlocal total
        message = await receive()
        if message["type"] == "http.request":
            total += len(message.get("body", b""))
            if total > limit:
                raise BodyTooLarge(limit)
        return message

    return counting

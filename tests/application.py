"""One application for each process of the tests: building its routes takes longer than most tests do."""

from collections.abc import Callable
from datetime import datetime

from fastapi import FastAPI

from service.app import create_app, make_shop, put_shop, utc_now
from service.settings import Settings

_BUILT: dict[tuple[str, int], FastAPI] = {}
"""By what its gate is told once and for all: the public origin, and how large a form may be."""


def application(settings: Settings, now: Callable[[], datetime] = utc_now) -> FastAPI:
    """The application as it is served, with the workshop of those settings behind it and nothing of an earlier one."""
    gate = settings.public_origin, settings.form_limit_bytes
    if gate not in _BUILT:
        _BUILT[gate] = create_app(settings, now)
        return _BUILT[gate]
    app = _BUILT[gate]
    app.state.shop.store.close()
    app.state._state.clear()
    put_shop(app, make_shop(settings, now))
    return app

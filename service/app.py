"""Composes the application: settings, stores, routes. Nothing else stands here."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException
from starlette.staticfiles import StaticFiles

from service.actions.shop import Shop
from service.api import api_router
from service.api.description import describe
from service.api.guards import TokenNeeded
from service.api.problems import problem_for_error
from service.documents.letterhead import read_letterhead
from service.documents.signing.keyring import KeyPlaces, Keyring
from service.documents.signing.signer import Pkcs11Key
from service.metrology.errors import DomainError
from service.pages.error_pages import page_for_error
from service.pages.guards import SignInNeeded
from service.pages.protection import Protection
from service.pages.rendering import Renderer
from service.pages.routes import busy_routes, page_routers, upload_limits
from service.paths import STATIC
from service.records.store import Store
from service.settings import Settings
from service.workshop.measurements import BenchTemperature


async def answer_error(request: Request, error: Exception) -> Response:
    """Problem details under /api, a page elsewhere."""
    answer = problem_for_error if request.url.path.startswith("/api/") else page_for_error
    return await answer(request, error)


def utc_now() -> datetime:
    """The clock of the running service."""
    return datetime.now(UTC)


def make_shop(settings: Settings, now: Callable[[], datetime] = utc_now) -> Shop:
    """The shop that the settings describe."""
    return Shop(
        store=Store(settings.url),
        now=now,
        name=settings.workshop_name,
        address=settings.workshop_address,
        public_origin=settings.public_origin.rstrip("/"),
        session_hours=settings.session_hours,
        demo=settings.demo,
        zone=settings.time_zone,
        bench=BenchTemperature(
            celsius=settings.bench_temperature_c, half_width=settings.bench_temperature_within_k, measured=False
        ),
        letterhead=read_letterhead(settings.paper, settings.workshop_logo),
        keyring=Keyring(key_places(settings)),
    )


def key_places(settings: Settings) -> KeyPlaces:
    """Where the settings say that the keys are."""
    word, token = settings.signing_word, None
    if settings.token_module is not None:
        token = Pkcs11Key(settings.token_module, settings.token_label, settings.token_key, word)
    return KeyPlaces(
        key_file=settings.signing_key,
        password=word,
        token=token,
        time_stamp_url=settings.time_stamp_url,
        time_stamp_roots=settings.time_stamp_roots,
        authority=settings.authority,
        revoked=settings.revoked_keys,
    )


def create_app(settings: Settings, now: Callable[[], datetime] = utc_now) -> FastAPI:
    """The application over a migrated database."""

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        yield
        app.state.shop.store.close()

    app = FastAPI(
        title="Spindlebook",
        version="1",
        summary="Overhaul records of fuel injectors",
        openapi_url="/api/v1/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=lifespan,
    )
    put_shop(app, make_shop(settings, now))
    app.router.routes.extend(busy_routes())
    for router in page_routers():
        app.include_router(router, include_in_schema=False)
    app.include_router(api_router(), prefix="/api/v1")
    describe(app)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for kind in (DomainError, HTTPException, RequestValidationError, SignInNeeded, TokenNeeded, Exception):
        app.add_exception_handler(kind, answer_error)
    app.add_middleware(
        Protection,
        public_origin=app.state.shop.public_origin,
        body_limit=settings.form_limit_bytes,
        secure=settings.secure,
        refuse=answer_error,
        larger=upload_limits(),
    )
    return app


def put_shop(app: FastAPI, shop: Shop) -> None:
    """Let the application serve that shop; every route asks for it anew."""
    app.state.shop = shop
    app.state.renderer = Renderer(shop)

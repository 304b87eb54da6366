"""A served demonstration and a Chromium to walk it with."""

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright

from seed_demo.cast import CastPerson
from seed_demo.keys import make_keys
from seed_demo.scenario import seed_scenario
from service.app import create_app
from service.cli.demonstration import demo_settings
from service.documents.signing.keyring import Keyring
from service.records.migrations import migrate
from service.records.store import Store
from tests.conftest import require_tool

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@contextmanager
def served_demonstration(folder: Path) -> Iterator[str]:
    """The demonstration served on a free port of this machine; gives its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    settings = demo_settings(folder, port)
    store = Store(settings.url)
    migrate(store)
    seed_scenario(
        store,
        keyring=Keyring(make_keys(folder, settings.workshop_name, datetime.now(UTC))),
        public_origin=settings.public_origin,
    )
    store.close()
    server = uvicorn.Server(uvicorn.Config(create_app(settings), host="127.0.0.1", port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    deadline = time.monotonic() + 30
    while not server.started and time.monotonic() < deadline:
        time.sleep(0.02)
    assert server.started, "the server did not start within 30 s"
    try:
        yield settings.public_origin
    finally:
        server.should_exit = True
        thread.join(20)


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where the demonstration is served."""
    require_tool("Chromium", CHROMIUM is not None)
    with served_demonstration(tmp_path_factory.mktemp("demo")) as origin:
        yield origin


@pytest.fixture(scope="session")
def browser(address: str) -> Iterator[Browser]:
    """Headless Chromium."""
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()


class SignIn(Protocol):
    """Signs a person in by the form, in a browser of their own, with or without scripts."""

    def __call__(self, person: CastPerson, *, scripts: bool = True) -> Page: ...


@pytest.fixture
def sign_in(browser: Browser, address: str) -> Iterator[SignIn]:
    """A page of its own for each person, signed in by the form."""
    contexts: list[BrowserContext] = []
    errors: list[str] = []

    def as_person(person: CastPerson, *, scripts: bool = True) -> Page:
        size = ViewportSize(width=1280, height=900)
        context = browser.new_context(base_url=address, viewport=size, java_script_enabled=scripts)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto("/sign-in")
        page.get_by_label("Login").fill(person.login)
        page.get_by_label("Password").fill(person.password)
        page.get_by_role("button", name="Sign in").click()
        page.get_by_role("button", name="Sign out").wait_for()
        return page

    yield as_person
    for context in contexts:
        context.close()
    assert not errors, f"scripts failed in the browser: {errors}"

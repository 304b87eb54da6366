"""What tests share: a database of their own on SQLite and on PostgreSQL, the workshop, its people and its register."""

import gc
import os

# Before NumPy loads: one process for each core is at work already, and threads of its own would only wait for another.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from service.actions import passwords
from service.actions.shop import Shop
from service.records.store import Store
from tests.databases import (
    Databases,
    PostgresqlDatabases,
    SqliteDatabases,
    opened,
    postgresql_server,
    prepared,
    scratch_folder,
)
from tests.registered_fleet import Clock, Fleet, register_fleet, shop_over

NO_CHROMIUM = "Chromium is not installed"


def pytest_configure() -> None:
    """Let every `tmp_path` lie where the databases lie; who sets the place keeps it."""
    if folder := scratch_folder():
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", folder)


def pytest_collection_finish() -> None:
    """Look for garbage less often, and never among what was imported: that took a fifth of the time of every test."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


def require_tool(name: str, available: bool) -> None:
    """Skip the test where the tool is missing; with SPINDLEBOOK_TEST_REQUIRE=all it fails instead."""
    if available:
        return
    if os.environ.get("SPINDLEBOOK_TEST_REQUIRE") == "all":
        pytest.fail(f"{name} is not installed, and SPINDLEBOOK_TEST_REQUIRE=all asks for it")
    pytest.skip(f"{name} is not installed")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end that browser tests were skipped, so that nobody takes them for passed."""
    skipped = terminalreporter.stats.get("skipped", [])
    if any(NO_CHROMIUM in str(report.longrepr) for report in skipped):
        terminalreporter.write_line(f"browser tests were skipped: {NO_CHROMIUM}", yellow=True)


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    """Argon2 at its least cost; what it costs at work is held to RFC 9106 in `tests/published/`."""
    quick = PasswordHash((Argon2Hasher(time_cost=1, memory_cost=8, parallelism=1),))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "hasher", lambda: quick)
        yield


@pytest.fixture(scope="session")
def _databases(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Databases]]:
    """The kinds of database, each started when a test first asks for it."""
    started: dict[str, Databases] = {}

    with ExitStack() as until_the_end:

        def of_kind(kind: str) -> Databases:
            if kind in started:
                return started[kind]
            if kind == "sqlite":
                started[kind] = SqliteDatabases(tmp_path_factory.mktemp("sqlite"))
            else:
                try:
                    uri = until_the_end.enter_context(postgresql_server())
                except (ImportError, OSError, RuntimeError) as error:
                    require_tool(f"PostgreSQL ({error})", False)
                    raise
                databases = PostgresqlDatabases(uri)
                until_the_end.callback(databases.close)
                started[kind] = databases
            return started[kind]

        yield of_kind


@pytest.fixture(scope="session")
def _templates(_databases: Callable[[str], Databases]) -> Callable[[str], tuple[str, str, Fleet]]:
    """By kind: the migrated template, the one with the register in it, and who is registered."""
    made: dict[str, tuple[str, str, Fleet]] = {}

    def of_kind(kind: str) -> tuple[str, str, Fleet]:
        if kind not in made:
            databases, fleets = _databases(kind), list[Fleet]()
            registered = prepared(databases, lambda store: fleets.append(register_fleet(store)))
            made[kind] = prepared(databases), registered, fleets[0]
        return made[kind]

    return of_kind


@pytest.fixture(params=["sqlite", "postgresql"])
def database_kind(request: pytest.FixtureRequest) -> str:
    """Every test that stores something runs on both."""
    return str(request.param)


@pytest.fixture
def empty_url(database_kind: str, _databases: Callable[[str], Databases]) -> Iterator[str]:
    """Address of a database without a single table."""
    databases = _databases(database_kind)
    url = databases.empty()
    yield url
    databases.drop(url)


@pytest.fixture
def store(
    database_kind: str,
    _databases: Callable[[str], Databases],
    _templates: Callable[[str], tuple[str, str, Fleet]],
) -> Iterator[Store]:
    """A migrated database with nothing in it, on SQLite and on PostgreSQL."""
    yield from _fresh(_databases(database_kind), _templates(database_kind)[0])


@pytest.fixture
def registered_store(
    database_kind: str,
    _databases: Callable[[str], Databases],
    _templates: Callable[[str], tuple[str, str, Fleet]],
) -> Iterator[Store]:
    """A database with people, fleets, an approved sheet and instruments in it."""
    yield from _fresh(_databases(database_kind), _templates(database_kind)[1])


def _fresh(databases: Databases, template: str) -> Iterator[Store]:
    url = databases.copy(template)
    with opened(url) as store:
        yield store
    databases.drop(url)


@pytest.fixture
def fleet(database_kind: str, _templates: Callable[[str], tuple[str, str, Fleet]]) -> Fleet:
    """Who and what is in `registered_store`."""
    return _templates(database_kind)[2]


@pytest.fixture
def clock() -> Clock:
    """The workshop's clock: stands still until a test moves it."""
    return Clock()


@pytest.fixture
def shop(registered_store: Store, clock: Clock) -> Shop:
    """The workshop over a registered database."""
    return shop_over(registered_store, clock)

"""The scenario, told once on SQLite and only read by the tests."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from seed_demo.scenario import seed_scenario
from service.records.migrations import migrate
from service.records.overhaul_store import LoadedOverhaul, load_overhaul
from service.records.store import Store
from tests.databases import opened
from tests.signing_keys import keyring

END = datetime(2031, 3, 14, 12, 0, tzinfo=UTC)
"""The moment at which the demonstration is made: any will do, its dates are told from here."""


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """The store of the demonstration."""
    folder = tmp_path_factory.mktemp("demo")
    with opened(f"sqlite:///{folder / 'spindlebook.sqlite3'}") as store:
        migrate(store)
        seed_scenario(store, keyring=keyring(), end=END)
        yield store


@pytest.fixture(scope="session")
def overhauls(demo: Store) -> list[LoadedOverhaul]:
    """Every overhaul of the demonstration with its record."""
    return loaded_overhauls(demo)


def loaded_overhauls(store: Store) -> list[LoadedOverhaul]:
    """Every overhaul of a store, oldest first."""
    numbers = [row[0] for row in store.rows("SELECT number FROM overhaul ORDER BY id")]
    with store.reading() as session:
        found = [load_overhaul(session, number) for number in numbers]
    return [one for one in found if one is not None]

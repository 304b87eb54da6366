"""The scenario is the same wherever and whenever it is told."""

from collections.abc import Callable

import pytest

from seed_demo.scenario import STEPS, seed_scenario
from service.records.store import Store
from tests.databases import Databases, opened, prepared
from tests.seed_demo.conftest import END
from tests.signing_keys import keyring

pytestmark = pytest.mark.xdist_group("demo")

_ENTRIES = "SELECT overhaul_id, seq, at, person_name, title, verdict, sentence FROM entry ORDER BY overhaul_id, seq"


def test_postgresql_holds_the_same_scenario_entry_by_entry(
    demo: Store,
    _databases: Callable[[str], Databases],  # noqa: PT019 - its value is the server
) -> None:
    steps: list[str] = []
    databases = _databases("postgresql")
    url = prepared(databases, lambda store: seed_scenario(store, keyring=keyring(), end=END, progress=steps.append))
    with opened(url) as store:
        assert [tuple(row) for row in store.rows(_ENTRIES)] == [tuple(row) for row in demo.rows(_ENTRIES)]
    assert len(steps) == STEPS

"""The demonstration and what is loaded in bulk leave a journal that holds, and records that are as it tells."""

from datetime import UTC, datetime

import pytest

from seed_demo.bulk import load_units
from service.records.journal_verification import verify_journal
from service.records.record_check import check_records
from service.records.store import Store


@pytest.mark.xdist_group("demo")
def test_the_scenarios_journal_is_one_chain_and_its_records_are_as_it_tells_of_them(demo: Store) -> None:
    report, records = verify_journal(demo), check_records(demo)
    assert (report.faults, records.fault) == ((), "")
    assert report.certificates == demo.rows("SELECT count(*) FROM certificate")[0][0] > 5
    assert records.records == demo.rows("SELECT count(*) FROM entry")[0][0], "each entry has its row"


def test_a_bulk_load_goes_on_with_the_chain(registered_store: Store) -> None:
    before = verify_journal(registered_store)
    load_units(registered_store, 50, end=datetime(2030, 6, 1, 12, 0, tzinfo=UTC))
    after = verify_journal(registered_store, head=before.head)
    assert after.faults == ()
    assert after.rows == before.rows + 2
    assert after.head_row == before.last_row

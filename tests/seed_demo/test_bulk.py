"""Bulk units for scale tests: many, quickly, and true to themselves."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from seed_demo.bulk import BATCH, REMARK, load_units
from seed_demo.bulk_records import SEAL_BATCH
from service.actions.recalling import RecallAsked, look_at_batch_recall, look_at_instrument_recall
from service.actions.shop import NotFound
from service.records.store import Store
from service.workshop.stages import stage_of
from tests.registered_fleet import Fleet, shop_over
from tests.seed_demo.conftest import loaded_overhauls

AT = datetime(2030, 6, 1, 12, 0, tzinfo=UTC)
OLD = date(2020, 1, 1)


def _count(store: Store, table: str, where: str = "1 = 1") -> int:
    return int(store.rows(f"SELECT count(*) FROM {table} WHERE {where}")[0][0])  # noqa: S608


def test_two_thousand_units_are_counted_in_every_table(registered_store: Store) -> None:
    before = {table: _count(registered_store, table) for table in ("unit", "overhaul", "entry", "consignment")}
    steps: list[int] = []
    load_units(registered_store, 2_000, end=AT, progress=steps.append)
    assert sum(steps) == 2_000
    assert _count(registered_store, "unit") - before["unit"] == 2_000
    assert _count(registered_store, "overhaul") - before["overhaul"] == 2_000
    assert _count(registered_store, "consignment") - before["consignment"] == 250
    assert _count(registered_store, "entry") == sum(
        row[0] for row in registered_store.rows("SELECT last_seq FROM overhaul")
    )
    entries = {row[0] for row in registered_store.rows("SELECT count(*) FROM entry GROUP BY overhaul_id")}
    assert entries <= {3, 4, 5, 6}
    assert _count(registered_store, "overhaul", f"remark <> '{REMARK}'") == 0
    assert _count(registered_store, "unit", "serial = 'SN00000001'") == 1
    assert _count(registered_store, "unit", "serial = 'SN00002000'") == 1


def test_every_bulk_record_decodes_and_stands_at_the_stage_that_its_entries_give(registered_store: Store) -> None:
    load_units(registered_store, 60, end=AT)
    overhauls = loaded_overhauls(registered_store)
    assert len(overhauls) == 60
    for one in overhauls:
        assert one.row.stage == stage_of(one.record).value
        assert (one.row.closed_at is not None) is stage_of(one.record).is_exit
        assert one.unit.condemned is (one.row.stage == "condemned")
        assert all(entry.at <= AT for entry in one.record.entries)
    assert {one.row.stage for one in overhauls} == {"released", "stripped", "returned", "condemned"}
    assert len({one.operator.id for one in overhauls}) > 3, "spread over many fleets"


def test_a_second_load_goes_on_with_the_numbers_of_the_first(registered_store: Store) -> None:
    load_units(registered_store, 25, end=AT)
    load_units(registered_store, 25, end=AT)
    serials = [row[0] for row in registered_store.rows("SELECT serial FROM unit ORDER BY id")]
    assert serials == [f"SN{number:08d}" for number in range(1, 51)]


def test_an_ordinary_row_can_be_added_after_a_bulk_load(registered_store: Store) -> None:
    """PostgreSQL allots ids from sequences, which know nothing of ids given by hand."""
    from service.records.tables import Unit

    load_units(registered_store, 10, end=AT)
    with registered_store.change() as session:
        other = session.get_one(Unit, 1)
        session.add(Unit(serial="X-1", injector_type_id=other.injector_type_id, vessel_id=other.vessel_id))
    assert _count(registered_store, "unit") == 11


def test_bulk_readings_and_seals_are_found_by_a_recall(registered_store: Store, fleet: Fleet) -> None:
    load_units(registered_store, 200, end=AT)
    shop = shop_over(registered_store)
    found = look_at_instrument_recall(shop, fleet.manager, "MIC-1", RecallAsked(error=Decimal("0.003"), since=OLD))
    assert len(found.readings) == 200
    assert 0 < sum(one.again.changes for one in found.readings) < 200
    assert {one.injector.certificate for one in found.readings} == {""}, "no certificate was issued"
    batches = [look_at_batch_recall(shop, fleet.manager, f"{SEAL_BATCH}-{number}") for number in (1, 2, 3, 4)]
    assert [len(fitted) for fitted in batches] == [10, 10, 10, 10]


def test_bulk_units_need_an_approved_sheet(store: Store) -> None:
    with pytest.raises(NotFound, match="approved limit sheet"):
        load_units(store, 10, end=AT)


def test_a_load_larger_than_a_batch_is_whole(registered_store: Store) -> None:
    load_units(registered_store, BATCH + 3, end=AT)
    assert _count(registered_store, "unit") == BATCH + 3

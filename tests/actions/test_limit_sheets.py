"""Limit sheets: drafted, approved, superseded, exported; open overhauls stay on what they started under."""

import json
from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.actions.fleets import save_injector_type
from service.actions.sheets import (
    SheetNotReady,
    approve_draft,
    export_sheet,
    import_sheet,
    open_blank_draft,
    open_draft,
    save_draft,
)
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.records.sheet_file import SheetFileFault, sheet_to_json
from tests.actions.at_the_bench import loaded, newest_journal_row, receive
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET, TYPE_CODE

CHANGED = replace(SMALL_SHEET, document_revision="B", torques=(replace(SMALL_SHEET.torques[0], lower=D(95)),))


def test_an_overhaul_stays_on_the_revision_that_it_started_under(shop: Shop, fleet: Fleet) -> None:
    before = receive(shop, fleet, "A-1")[0]
    assert open_draft(shop, fleet.manager, type_code=TYPE_CODE) == 2
    version = save_draft(shop, fleet.manager, CHANGED, version=1)
    assert approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=version) == 2
    after = receive(shop, fleet, "A-2")[0]
    assert loaded(shop, before).record.sheet == SMALL_SHEET
    assert loaded(shop, after).record.sheet == CHANGED
    states = shop.store.rows("SELECT revision, state, approved_by FROM sheet_revision ORDER BY revision")
    assert [tuple(row) for row in states] == [
        (1, "superseded", fleet.manager.name),
        (2, "approved", fleet.manager.name),
    ]
    row = newest_journal_row(shop)
    assert row.action == "received"


def test_an_approval_is_journalled(shop: Shop, fleet: Fleet) -> None:
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=1)
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id) == ("sheet-approved", f"{TYPE_CODE}/2")
    assert (row.before, row.after) == ('{"in_force":1}', '{"in_force":2}')


def test_a_draft_saved_meanwhile_is_not_overwritten(shop: Shop, fleet: Fleet) -> None:
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    save_draft(shop, fleet.manager, CHANGED, version=1)
    with pytest.raises(Conflict):
        save_draft(shop, fleet.second_manager, SMALL_SHEET, version=1)
    with pytest.raises(Conflict):
        approve_draft(shop, fleet.second_manager, type_code=TYPE_CODE, version=1)
    assert json.loads(export_sheet(shop, type_code=TYPE_CODE, revision=2))["document_revision"] == "B"


def test_a_draft_with_faults_is_not_approved_and_every_fault_is_listed(shop: Shop, fleet: Fleet) -> None:
    faulty = replace(SMALL_SHEET, document_reference="", discs_added_max=99)
    import_sheet(shop, fleet.manager, sheet_to_json(faulty), type_code=TYPE_CODE)
    with pytest.raises(SheetNotReady) as refusal:
        approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=1)
    assert [fault.place for fault in refusal.value.faults] == ["document_reference", "discs_added_max"]
    assert shop.store.rows("SELECT count(*) FROM sheet_revision WHERE state = 'approved'")[0][0] == 1


def test_a_sheet_is_exported_as_it_was_imported(shop: Shop, fleet: Fleet) -> None:
    text = sheet_to_json(CHANGED)
    revision = import_sheet(shop, fleet.manager, text, type_code=TYPE_CODE)
    assert export_sheet(shop, type_code=TYPE_CODE, revision=revision) == text
    assert import_sheet(shop, fleet.manager, sheet_to_json(SMALL_SHEET), type_code=TYPE_CODE) == revision


def test_a_file_that_does_not_belong_here_is_refused(shop: Shop, fleet: Fleet) -> None:
    other = sheet_to_json(replace(SMALL_SHEET, injector_type="OTHER"))
    with pytest.raises(Refused, match="The file is for OTHER"):
        import_sheet(shop, fleet.manager, other, type_code=TYPE_CODE)
    with pytest.raises(SheetFileFault):
        import_sheet(shop, fleet.manager, b"\x80" * 5_000_000, type_code=TYPE_CODE)
    with pytest.raises(NotFound):
        import_sheet(shop, fleet.manager, other, type_code="OTHER")
    with pytest.raises(NotFound):
        export_sheet(shop, type_code=TYPE_CODE, revision=9)
    with pytest.raises(NotFound):
        approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=1)


def test_only_a_manager_drafts_and_approves(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            import_sheet(shop, actor, sheet_to_json(SMALL_SHEET), type_code=TYPE_CODE)
        with pytest.raises(Forbidden):
            open_draft(shop, actor, type_code=TYPE_CODE)
        with pytest.raises(Forbidden):
            save_draft(shop, actor, SMALL_SHEET, version=1)
        with pytest.raises(Forbidden):
            approve_draft(shop, actor, type_code=TYPE_CODE, version=1)


def test_a_type_without_a_sheet_starts_from_a_blank_one_and_a_type_with_one_from_its_copy(
    shop: Shop, fleet: Fleet
) -> None:
    save_injector_type(shop, fleet.manager, code="BARE", name="No sheet yet")
    with pytest.raises(Refused):
        open_draft(shop, fleet.manager, type_code="BARE")
    assert open_blank_draft(shop, fleet.manager, type_code="BARE") == 1
    assert open_blank_draft(shop, fleet.manager, type_code="BARE") == 1
    with pytest.raises(SheetNotReady):
        approve_draft(shop, fleet.manager, type_code="BARE", version=1)
    with pytest.raises(Refused):
        open_blank_draft(shop, fleet.manager, type_code=TYPE_CODE)

"""What the registers refuse so that nothing stands in them twice or loses its name; and drafts that begin empty."""

import pytest

from service.actions.fleets import save_engine, save_injector_type
from service.actions.sheets import open_blank_draft, open_draft, save_draft
from service.actions.shop import Conflict, Forbidden, Refused, Shop
from service.records.sheet_reads import stored_draft, type_with_revisions
from service.workshop.limit_sheet import Part
from service.workshop.sheet_editing import Section, insert_item
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET, TYPE_CODE


def test_a_vessel_has_one_engine_of_each_name(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(Refused) as refused:
        save_engine(
            shop,
            fleet.manager,
            vessel_id=fleet.vessel_id,
            designation=" Main engine ",
            cylinders=6,
            injectors_per_cylinder=1,
            injector_type_id=fleet.type_id,
        )
    assert (refused.value.code, refused.value.field) == ("engine-taken", "designation")


def test_the_code_that_limit_sheets_carry_stands_fast(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(Refused) as refused:
        save_injector_type(shop, fleet.manager, code="OTHER-1", name="Other", type_id=fleet.type_id, version=1)
    assert refused.value.code == "code-in-sheet"
    type_id = save_injector_type(shop, fleet.manager, code="NEW-1", name="New")
    assert save_injector_type(shop, fleet.manager, code="NEW-2", name="New", type_id=type_id, version=1) == type_id


@pytest.mark.parametrize("code", ["A/B", "A B", "A?", "X" * 41])
def test_a_code_that_an_address_cannot_carry_is_refused(shop: Shop, fleet: Fleet, code: str) -> None:
    with pytest.raises(Refused) as refused:
        save_injector_type(shop, fleet.manager, code=code, name="New")
    assert refused.value.field == "code"


def test_a_type_without_a_sheet_begins_with_an_empty_draft(shop: Shop, fleet: Fleet) -> None:
    save_injector_type(shop, fleet.manager, code="NEW-1", name="A new type")
    assert open_blank_draft(shop, fleet.manager, type_code="NEW-1") == 1
    assert open_blank_draft(shop, fleet.manager, type_code="NEW-1") == 1
    with shop.store.reading() as session:
        draft = stored_draft(session, "NEW-1")
    assert draft is not None
    assert (draft.sheet.title, draft.sheet.parts, draft.version) == ("A new type", (), 1)


def test_a_type_with_a_sheet_begins_with_a_copy(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(Refused, match="copy"):
        open_blank_draft(shop, fleet.manager, type_code=TYPE_CODE)
    assert open_draft(shop, fleet.manager, type_code=TYPE_CODE) == 2
    with shop.store.reading() as session:
        known, draft = type_with_revisions(session, TYPE_CODE), stored_draft(session, TYPE_CODE)
    assert known is not None
    assert draft is not None
    assert [(line.revision, line.state.value) for line in known.revisions] == [(2, "draft"), (1, "approved")]
    assert draft.sheet == SMALL_SHEET


def test_a_conflict_on_a_draft_tells_who_changed_what(shop: Shop, fleet: Fleet) -> None:
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    grown = insert_item(SMALL_SHEET, Section.PARTS, Part(key="circlip", name="Circlip"))
    save_draft(shop, fleet.second_manager, grown, version=1)
    with pytest.raises(Conflict) as stale:
        save_draft(shop, fleet.manager, SMALL_SHEET, version=1)
    assert any("Milo Manager changed parts › circlip › name: nothing → Circlip." in one for one in stale.value.changes)


def test_only_a_manager_begins_a_draft(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            open_blank_draft(shop, actor, type_code=TYPE_CODE)

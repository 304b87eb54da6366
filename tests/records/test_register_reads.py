"""Reading the registers, the journal and the revisions of a sheet: the same on SQLite and PostgreSQL."""

from service.actions.fleets import save_operator
from service.actions.shop import Shop
from service.records.instrument_reads import instruments
from service.records.journal_reads import PAGE, journal_page
from service.records.register_reads import fleets, injector_types, people
from service.workshop.vocabulary import Disposition, Role
from tests.registered_fleet import IMO, OTHER_IMO, Fleet
from tests.small_sheet import INSTRUMENTS


def test_each_operator_has_its_own_vessels_and_engines(shop: Shop, fleet: Fleet) -> None:
    with shop.store.reading() as session:
        northern, southern = fleets(session)
    assert northern.standing_order == (Disposition.REWORK,)
    assert [vessel.imo_number for vessel in northern.vessels] == [IMO]
    assert [vessel.imo_number for vessel in southern.vessels] == [OTHER_IMO]
    assert [(engine.designation, engine.type_code) for engine in northern.vessels[0].engines] == [
        ("Main engine", "SMALL-1")
    ]


def test_a_type_tells_its_revision_in_force(shop: Shop, fleet: Fleet) -> None:
    with shop.store.reading() as session:
        (line,) = injector_types(session)
    assert (line.code, line.in_force, line.draft) == ("SMALL-1", 1, None)


def test_every_instrument_and_person_is_listed_once(shop: Shop, fleet: Fleet) -> None:
    with shop.store.reading() as session:
        found = people(session)
    assert sorted(line.code for line in instruments(shop.store, shop.now().date())) == sorted(INSTRUMENTS)
    assert [line.name for line in found] == sorted(line.name for line in found)
    assert {line.operator for line in found if line.role is Role.OFFICE} == {
        "Northern Invented Lines",
        "Southern Invented Lines",
    }


def test_the_journal_comes_by_the_page_from_an_id_downwards(shop: Shop, fleet: Fleet) -> None:
    for number in range(PAGE):
        save_operator(shop, fleet.second_manager, name=f"Lines {number}")
    with shop.store.reading() as session:
        first = journal_page(session)
        second = journal_page(session, before=first.older)
        by_second = journal_page(session, person_id=fleet.second_manager.person_id)
        lines = journal_page(session, subject="LINES 1")
    ids = [event.id for event in first.events + second.events]
    assert len(first.events) == PAGE
    assert ids == sorted(set(ids), reverse=True)
    assert {event.person_name for event in by_second.events} == {"Milo Manager"}
    assert {event.subject_id for event in lines.events} == {"Lines 1", *(f"Lines {number}" for number in range(10, 20))}
    assert lines.older is None

"""The journal: newest first, by the page, filtered, readable."""

import re

from sqlalchemy import event

from service.actions.fleets import save_operator
from service.actions.shop import Shop
from service.records.journal_reads import PAGE, changes_between
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.registered_fleet import Fleet


def ids(visitor: Visitor, path: str) -> list[int]:
    """The events of that page in their order."""
    return [int(found) for found in re.findall(r'id="event-(\d+)"', visitor.get(path).text)]


def test_what_was_done_stands_with_who_when_and_what(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    save_operator(
        shop, fleet.second_manager, name="Northern Lines", contact="mail", operator_id=fleet.operator_id, version=1
    )
    words = words_of(manager.get("/journal"))
    first = words[words.index("Operator saved") :][:400]
    for piece in ("Northern Lines", "Milo Manager", "2 Mar 2026, 08:00 UTC", "Northern Invented Lines →", "mail"):
        assert piece in first


def test_an_entry_of_an_overhaul_tells_itself_and_leads_there(manager: Visitor, injector: Injector) -> None:
    injector.examined()
    page = manager.get("/journal?subject=" + injector.number)
    assert f'href="/overhauls/{injector.number}"' in page.text
    words = words_of(page)
    assert "Tove Technician" in words
    assert injector.record.sheet.characteristic_by_key["spring-rate"].title in words


def test_the_pages_together_hold_every_event_once_newest_first(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    for number in range(PAGE + 5):
        save_operator(shop, fleet.manager, name=f"Lines {number}")
    seen, path = [], "/journal"
    while path:
        found = ids(manager, path)
        assert len(found) <= PAGE
        seen += found
        older = re.search(r'href="(/journal\?[^"]*before=\d+)"', manager.get(path).text)
        path = older[1].replace("&amp;", "&") if older else ""
    assert seen == sorted(set(seen), reverse=True)
    assert seen[-1] == 1
    assert len(seen) > PAGE + 5


def test_only_one_page_of_the_table_is_read(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    for number in range(PAGE + 5):
        save_operator(shop, fleet.manager, name=f"Lines {number}")
    asked: list[str] = []

    def note(_1: object, _2: object, statement: str, parameters: object, _3: object, _4: object) -> None:
        if "FROM journal" in statement:
            asked.append(f"{statement} {parameters}")

    engine = manager.client.app.state.shop.store.read_engine
    event.listen(engine, "before_cursor_execute", note)
    manager.get("/journal")
    event.remove(engine, "before_cursor_execute", note)
    assert len(asked) == 1
    assert "LIMIT" in asked[0]
    assert str(PAGE + 1) in asked[0]


def test_the_filters_keep_what_fits(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    save_operator(shop, fleet.second_manager, name="100% Lines_1")
    save_operator(shop, fleet.manager, name="100 Lines")
    everything = ids(manager, "/journal")
    assert len(ids(manager, "/journal?subject=100%25")) == 1
    assert len(ids(manager, "/journal?subject=LINES_1")) == 1
    by_second = ids(manager, f"/journal?person={fleet.second_manager.person_id}")
    assert by_second == [everything[1]]
    assert ids(manager, "/journal?subject=nothing-like-it") == []


def test_an_address_that_makes_no_sense_shows_the_newest(manager: Visitor) -> None:
    assert ids(manager, "/journal?before=yesterday&person=somebody") == ids(manager, "/journal")


def test_only_the_manager_reads_the_journal(technician: Visitor, office: Visitor, passer_by: Visitor) -> None:
    assert technician.get("/journal").status_code == 403
    assert office.get("/journal").status_code == 403
    assert passer_by.get("/journal").status_code == 303


def test_a_moved_item_shows_as_an_order_and_not_as_a_new_sheet() -> None:
    before = '{"parts":[{"key":"a","name":"A"},{"key":"b","name":"B"}]}'
    after = '{"parts":[{"key":"b","name":"B"},{"key":"a","name":"A"}]}'
    changes = [(one.place, one.before, one.after) for one in changes_between(before, after)]
    assert changes == [("parts › order", "a, b", "b, a")]

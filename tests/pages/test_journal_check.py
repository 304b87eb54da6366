"""The manager looks whether the journal is as it was written, and asks for a head that was noted elsewhere."""

import pytest
from sqlalchemy import text

from service.actions.shop import Shop
from service.pages import journal_check
from tests.journals import guards_lifted, stored_rows
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of

ADDRESS = "/journal/check"


def test_a_whole_journal_is_shown_with_its_head(manager: Visitor, shop: Shop, injector: Injector) -> None:
    injector.examined()
    assert f'href="{ADDRESS}"' in manager.get("/journal").text
    rows = stored_rows(shop.store)
    words = words_of(manager.get(ADDRESS))
    assert f"As it was written {len(rows)} rows follow from one another" in words
    assert rows[-1][11] in words


def test_a_head_noted_on_paper_is_looked_for(manager: Visitor, shop: Shop) -> None:
    noted = stored_rows(shop.store)[2][11]
    assert "that of row 3." in words_of(manager.get(f"{ADDRESS}?head={noted[:30].upper()} {noted[30:]}"))
    gone = words_of(manager.get(f"{ADDRESS}?head={'f' * 64}"))
    assert "Not as it was written The given head is in no row" in gone
    damaged = manager.get(f"{ADDRESS}?head=abc")
    assert damaged.status_code == 422
    assert "copy it whole" in words_of(damaged)


def test_a_changed_row_and_a_changed_record_are_named(manager: Visitor, shop: Shop, injector: Injector) -> None:
    injector.examined()
    with guards_lifted(shop.store, "entry") as connection:
        connection.execute(text("UPDATE entry SET title = 'Nothing' WHERE seq = 1"))
    assert f"Record 1 of overhaul {injector.number} is not what row" in words_of(manager.get(ADDRESS))
    with guards_lifted(shop.store) as connection:
        connection.execute(text("UPDATE journal SET reason = 'Nothing' WHERE id = 2"))
    assert "Row 2 was edited: reason is not as it was written." in words_of(manager.get(ADDRESS))


def test_a_long_journal_is_left_to_the_command_line(manager: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal_check, "MOST_ROWS", 1)
    assert "spindlebook journal verify" in words_of(manager.get(ADDRESS))


def test_only_the_manager_looks(technician: Visitor, office: Visitor, passer_by: Visitor) -> None:
    assert [visitor.get(ADDRESS).status_code for visitor in (technician, office, passer_by)] == [403, 403, 303]

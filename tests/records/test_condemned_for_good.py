"""A condemned injector stays condemned, whoever writes to the database."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.course import condemn
from service.actions.shop import Shop
from service.startup_checks import startup_findings
from tests.actions.at_the_bench import form, receive
from tests.registered_fleet import PASSWORD, Fleet


def test_the_database_refuses_to_take_a_condemnation_back(shop: Shop, fleet: Fleet) -> None:
    scrapped, sound = receive(shop, fleet, "A-1", "A-2")
    condemn(shop, fleet.manager, scrapped, form(shop, scrapped), reason="Cracked.", password=PASSWORD)
    with pytest.raises(DBAPIError, match="stays condemned"), shop.store.write_engine.begin() as connection:
        connection.execute(text("UPDATE unit SET condemned = false"))
    assert [tuple(row) for row in shop.store.rows("SELECT serial, condemned FROM unit ORDER BY serial")] == [
        ("A-1", True),
        ("A-2", False),
    ]
    condemn(shop, fleet.manager, sound, form(shop, sound), reason="Cracked too.", password=PASSWORD)


def test_without_that_guard_the_service_does_not_start(shop: Shop) -> None:
    on = "" if shop.store.is_sqlite else " ON unit"
    with shop.store.write_engine.begin() as connection:
        connection.execute(text(f"DROP TRIGGER unit_stays_condemned{on}"))
    (fatal,) = [finding for finding in startup_findings(shop.store) if finding.fatal]
    assert (fatal.code, "unit_stays_condemned" in fatal.sentence) == ("triggers", True)

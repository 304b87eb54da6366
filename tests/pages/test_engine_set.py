"""Matching released injectors into the cylinders of an engine: the manager's page, and the same over JSON."""

import pytest

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.pressure_sheet import strokes
from tests.pages.unit_register import receive
from tests.registered_fleet import PASSWORD, Fleet

OPENING = {"SN-1": "348", "SN-2": "356", "SN-3": "349", "SN-4": "355"}


@pytest.fixture
def page(shop: Shop, fleet: Fleet) -> str:
    """Four injectors of one engine, released; its address."""
    for number, opening in zip(receive(shop, fleet, *OPENING), OPENING.values(), strict=True):
        injector = Injector(shop, fleet.technician, number).rebuilt()
        injector.tested(opening=strokes(opening))
        sign_release(shop, fleet.manager, number, injector.form(), password=PASSWORD)
    return f"/fleets/engines/{fleet.engine_id}/set"


def test_those_that_open_alike_go_together_and_the_order_of_arrival_is_beaten(page: str, manager: Visitor) -> None:
    words = words_of(manager.get(page))
    assert "SN-1: 348 bar, holes not gauged" in words or "SN-1: 348 bar, 2." in words
    told = words.partition("Which injectors go into which cylinder")[2].partition("Released injectors")[0]
    first, second = sorted((told.index("SN-1"), told.index("SN-2")))
    pair = told[first:second]
    assert ("SN-3" in pair) is (told.index("SN-1") < told.index("SN-2"))
    # Spreads 1 and 1 bar instead of 8 and 6, of a mean of 352 bar; the pins found all holes alike.
    assert (
        "come to 0.57 % in all, and no other choice has less. In the order of arrival they would come to 3.98 %"
        in words
    )
    assert "86 % more even" in words


def test_only_those_that_were_taken_are_matched(page: str, manager: Visitor) -> None:
    words = words_of(manager.get(f"{page}?chosen=yes&take=SN-1&take=SN-2"))
    assert "The order of arrival is as good as any: the spreads of the cylinders come to 2.27 % in all" in words
    nothing = words_of(manager.get(f"{page}?chosen=yes&take=SN-1"))
    assert "1 × 2 injectors are needed at least, and 1 can be matched: choose more" in nothing


def test_an_injector_that_came_back_is_not_on_the_shelf(page: str, manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    assert 'value="SN-4"' in manager.get(page).text
    receive(shop, fleet, "SN-4")
    assert 'value="SN-4"' not in manager.get(page).text


def test_the_page_is_found_from_the_fleets_and_closed_to_the_bench(
    page: str, manager: Visitor, technician: Visitor
) -> None:
    assert f'href="{page}"' in manager.get("/fleets").text
    assert technician.get(page).status_code == 403
    assert manager.get("/fleets/engines/999/set").status_code == 404


def test_an_engine_without_released_injectors_says_so(manager: Visitor, fleet: Fleet) -> None:
    words = words_of(manager.get(f"/fleets/engines/{fleet.other_engine_id}/set"))
    assert "No injector of this engine has been released yet" in words

"""The board: what is where, how old, what is late."""

from collections.abc import Callable
from datetime import date

import pytest

from service.actions.course import hold, return_unrepaired
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.shop import Shop
from service.pages import board
from service.workshop.vocabulary import Fuel, Packing, SendReason
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, words_of
from tests.registered_fleet import PASSWORD, Clock, Fleet


def _many(shop: Shop, fleet: Fleet, count: int) -> None:
    receive_consignment(
        shop,
        fleet.technician,
        imo=fleet.imo,
        due_on=date(2026, 3, 20),
        form_key="many-at-once",
        injectors=tuple(
            InjectorReceived(
                serial=f"MANY-{place:03d}",
                engine_id=fleet.engine_id,
                cylinder=1,
                fuel=Fuel.RESIDUAL,
                reason=SendReason.PLANNED,
                packing=Packing.SOUND,
            )
            for place in range(count)
        ),
    )


def test_a_card_tells_serial_vessel_age_and_leads_to_the_overhaul(
    visit: Callable[[str], Visitor], injector: Injector, clock: Clock
) -> None:
    clock.advance(days=3)
    page = visit("tech").get("/board")
    assert f'href="{injector.address}"' in page.text
    words = words_of(page)
    assert "SN-1001" in words
    assert "Invented Star" in words
    assert "3 days here" in words
    assert "1 in the shop" in words
    assert "0 late" in words


def test_what_is_past_its_promised_date_is_flagged_late(
    visit: Callable[[str], Visitor], injector: Injector, clock: Clock
) -> None:
    clock.moment = clock.moment.replace(day=20)
    assert "board-card-late" not in visit("tech").get("/board").text
    clock.advance(days=1)
    technician = visit("tech")
    page = technician.get("/board")
    assert "1 day late" in words_of(page)
    assert "board-card-late" in page.text
    assert "SN-1001" in words_of(technician.get("/board?only=late"))


def test_a_held_injector_is_flagged_and_can_be_listed_alone(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    received(shop, fleet, "SN-2")
    hold(shop, fleet.technician, injector.number, injector.form(), reason="Wrong crate.", password=PASSWORD)
    page = technician.get("/board?only=held")
    assert "board-card-held" in page.text
    assert "SN-1001" in page.text
    assert "SN-2" not in page.text


@pytest.mark.parametrize("question", ["?q=sn-10", "?q=invented+star", "?vessel=9000003", "?q=oh-2026-0001"])
def test_the_board_is_narrowed_by_vessel_or_text(technician: Visitor, injector: Injector, question: str) -> None:
    assert injector.address in technician.get(f"/board{question}").text


@pytest.mark.parametrize("question", ["?q=100%25", "?q=SN_1001", "?vessel=9000015", "?q=%27%3B+DROP"])
def test_signs_of_the_query_language_are_only_text(technician: Visitor, injector: Injector, question: str) -> None:
    page = technician.get(f"/board{question}")
    assert page.status_code == 200
    assert injector.address not in page.text


def test_a_crowded_stage_shows_the_most_pressing_and_leads_to_the_rest(
    technician: Visitor, shop: Shop, fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(board, "_PER_PAGE", 5)
    _many(shop, fleet, 18)
    page = technician.get("/board")
    assert "6 more" in words_of(page)
    assert page.text.count("MANY-") == 12
    first = technician.get("/board?stage=received")
    assert "MANY-004" in first.text
    assert "13 more" in words_of(first)
    last = technician.get("/board?stage=received&skip=15")
    assert "MANY-017" in last.text
    assert "MANY-014" not in last.text
    assert " more" not in words_of(last)


def test_what_has_ended_leaves_its_column_and_stands_among_the_closed(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="The owner asks.")
    words = words_of(technician.get("/board"))
    assert "0 in the shop" in words
    assert "SN-1001 SMALL-1 Invented Star Returned 2 Mar 2026" in words


def test_the_board_is_the_workshops_own(office: Visitor, visit: Callable[[str], Visitor]) -> None:
    assert office.get("/board").status_code == 403
    nobody = visit("").get("/board")
    assert nobody.status_code == 303
    assert nobody.headers["location"] == "/sign-in?back=/board"

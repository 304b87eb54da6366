"""The lists of board, receiving and examination on SQLite and on PostgreSQL: same answers, proper types."""

from datetime import date, timedelta
from decimal import Decimal

from service.actions.course import condemn, hold, return_unrepaired
from service.actions.shop import Shop
from service.records.board_reads import Wanted, board_cards, board_counts, recently_closed, vessels_in_shop
from service.records.examination_reads import earlier_finding, instruments_for
from service.records.receiving_reads import (
    consignment_arrived,
    engines_on_board,
    registered_vessels,
    vessel_with_imo,
)
from service.workshop.vocabulary import InstrumentKind, Stage
from tests.calibrating import calibrate
from tests.pages.at_the_bench import received
from tests.registered_fleet import PASSWORD, START, Fleet

DUE = date(2026, 3, 20)


def test_the_board_counts_what_is_open_late_and_held(shop: Shop, fleet: Fleet) -> None:
    first, second = received(shop, fleet, "SN-1"), received(shop, fleet, "SN-2")
    hold(shop, fleet.manager, first.number, first.form(), reason="Wait.", password=PASSWORD)
    counts = board_counts(shop.store, Wanted(), DUE + timedelta(days=1))
    assert {stage: (one.count, one.late, one.held) for stage, one in counts.items()} == {"received": (2, 2, 1)}
    assert board_counts(shop.store, Wanted(), DUE)["received"].late == 0
    assert board_counts(shop.store, Wanted(held=True), DUE)["received"].count == 1
    assert board_counts(shop.store, Wanted(late_before=DUE), DUE) == {}
    (vessel,) = vessels_in_shop(shop.store)
    assert (vessel.name, vessel.count) == ("Invented Star", 2)
    cards = board_cards(shop.store, Wanted(), per_stage=10)
    assert [(card.number, card.held) for card in cards] == [(first.number, True), (second.number, False)]
    assert (cards[0].opened_at, cards[0].due_on) == (START, DUE)


def test_cards_are_limited_stage_by_stage_and_narrowed_by_text(shop: Shop, fleet: Fleet) -> None:
    numbers = [received(shop, fleet, f"SN-{place}").number for place in range(4)]
    assert [card.number for card in board_cards(shop.store, Wanted(), per_stage=2)] == numbers[:2]
    assert [card.number for card in board_cards(shop.store, Wanted(), per_stage=2, skip=2)] == numbers[2:]
    assert [card.serial for card in board_cards(shop.store, Wanted(text="sn-3"), per_stage=9)] == ["SN-3"]
    assert board_cards(shop.store, Wanted(text="SN_3"), per_stage=9) == ()
    assert board_cards(shop.store, Wanted(imo_number=fleet.other_imo), per_stage=9) == ()
    assert board_cards(shop.store, Wanted(stage=Stage.PROVED.value), per_stage=9) == ()


def test_what_ended_last_stands_first(shop: Shop, fleet: Fleet) -> None:
    first, second = received(shop, fleet, "SN-1"), received(shop, fleet, "SN-2")
    return_unrepaired(shop, fleet.manager, first.number, first.form(), reason="Owner asks.")
    condemn(shop, fleet.manager, second.number, second.form(), reason="Cracked.", password=PASSWORD)
    assert [(row.serial, row.stage) for row in recently_closed(shop.store, 9)] == [
        ("SN-2", "condemned"),
        ("SN-1", "returned"),
    ]
    assert recently_closed(shop.store, 1)[0].closed_at == START


def test_a_consignment_lists_its_injectors(shop: Shop, fleet: Fleet) -> None:
    injector = received(shop, fleet)
    found = consignment_arrived(shop.store, "CN-2026-0001")
    assert found is not None
    assert (found.vessel, found.due_on, found.received_at) == ("Invented Star", DUE, START)
    assert [(one.overhaul, one.serial, bool(one.held)) for one in found.injectors] == [
        (injector.number, "SN-1001", False)
    ]
    assert consignment_arrived(shop.store, "CN-1999-0001") is None


def test_a_vessels_engines_are_its_own(shop: Shop, fleet: Fleet) -> None:
    assert [vessel.name for vessel in registered_vessels(shop.store)] == ["Invented Moon", "Invented Star"]
    vessel = vessel_with_imo(shop.store, fleet.imo)
    assert vessel is not None
    assert [engine.id for engine in engines_on_board(shop.store, vessel.id)] == [fleet.engine_id]
    assert vessel_with_imo(shop.store, "9074729") is None


def test_instruments_are_listed_by_kind_and_unit_and_marked_when_overdue(shop: Shop, fleet: Fleet) -> None:
    kinds = (InstrumentKind.MICROMETER, InstrumentKind.BORE_GAUGE)
    due = date(2027, 1, 31)
    listed = instruments_for(shop.store, kinds, "mm", due)
    assert [(one.code, one.due, one.overdue) for one in listed] == [("BORE-1", due, False), ("MIC-1", due, False)]
    assert all(one.overdue for one in instruments_for(shop.store, kinds, "mm", due + timedelta(days=1)))
    assert instruments_for(shop.store, kinds, "bar", due) == ()
    assert len(instruments_for(shop.store, (), None, due)) == 8


def test_an_instrument_is_offered_with_its_uncertainty_and_a_k_that_is_not_two(shop: Shop, fleet: Fleet) -> None:
    calibrate(shop, fleet, expanded_uncertainty=Decimal("0.003"), k=Decimal(3))
    calibrate(shop, fleet, "BORE-1", expanded_uncertainty=Decimal(0))
    kinds = (InstrumentKind.MICROMETER, InstrumentKind.BORE_GAUGE)
    listed = instruments_for(shop.store, kinds, "mm", START.date())
    assert [one.uncertainty for one in listed] == ["", "U = 0.003 mm (k = 3)"]


def test_an_earlier_finding_is_of_the_same_unit_and_of_an_earlier_overhaul(shop: Shop, fleet: Fleet) -> None:
    first = received(shop, fleet).examined()
    return_unrepaired(shop, fleet.manager, first.number, first.form(), reason="Owner asks.")
    other = received(shop, fleet, "SN-2")
    units = {one.serial: one for one in board_cards(shop.store, Wanted(), per_stage=9)}
    assert set(units) == {"SN-2"}
    found = earlier_finding(shop.store, 1, 99, "body-seat-width", ("body",))
    assert found is not None
    assert (found.overhaul, found.at, found.renewed) == (first.number, START, False)
    assert found.examined.outcome.value.startswith("1.1")
    assert earlier_finding(shop.store, 1, 1, "body-seat-width", ("body",)) is None
    assert earlier_finding(shop.store, 2, 99, "body-seat-width", ("body",)) is None
    assert other.number != first.number

"""The workshop's own recuts on a type, and one seat over its overhauls, on SQLite and on PostgreSQL."""

from collections.abc import Sequence
from decimal import Decimal as D

from service.actions.shop import Shop
from service.records.recut_reads import NEWEST_OVERHAULS, _subjects, cuts_on_type, seat_histories
from service.workshop.seat_metal import seats_of
from tests.architecture.test_query_counts import counted
from tests.pages.at_the_bench import Injector, received
from tests.pages.recutting import recut, rework
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET

(SEAT,) = seats_of(SMALL_SHEET)
BODY = frozenset({"body"})


def overhaul_id(shop: Shop, number: str) -> int:
    return int(shop.store.rows("SELECT id FROM overhaul WHERE number = ?", (number,))[0][0])


def cuts(shop: Shop, injector: Injector) -> Sequence[D]:
    return cuts_on_type(shop.store, overhaul_id(shop, injector.number), SEAT, BODY)


def test_the_cuts_of_a_type_are_collected_over_its_injectors(shop: Shop, fleet: Fleet) -> None:
    first = recut(shop, received(shop, fleet, "SN-1"), "1.050", "1.080", "1.120")
    second = recut(shop, received(shop, fleet, "SN-2"), "1.100", "1.125")
    assert cuts(shop, first) == cuts(shop, second) == (D("0.030"), D("0.040"), D("0.025"))
    back = recut(shop, received(shop, fleet, "SN-3"), "1.400", "1.100")
    assert cuts(shop, back) == cuts(shop, first), "brought back from the limit: nothing was taken towards it"
    waiting = recut(shop, received(shop, fleet, "SN-4"), "1.050")
    rework(shop, waiting)
    assert cuts(shop, waiting) == cuts(shop, first), "not measured since"


def test_another_type_s_cuts_say_nothing_of_this_one(shop: Shop, fleet: Fleet) -> None:
    recut(shop, received(shop, fleet, "SN-1"), "1.050", "1.080")
    other = received(shop, fleet, "SN-2")
    with shop.store.write_engine.begin() as connection:
        connection.exec_driver_sql("INSERT INTO injector_type (code, name, version) VALUES ('T-2', 'Two', 1)")
        connection.exec_driver_sql(
            "UPDATE unit SET injector_type_id = (SELECT id FROM injector_type WHERE code = 'T-2') WHERE serial = 'SN-2'"
        )
    assert cuts(shop, other) == ()


def test_a_seat_s_history_runs_over_its_overhauls(shop: Shop, fleet: Fleet) -> None:
    first = recut(shop, received(shop, fleet), "1.050", "1.080")
    with shop.store.write_engine.begin() as connection:
        connection.exec_driver_sql("UPDATE overhaul SET closed_at = opened_at, stage = 'released'")
    second = recut(shop, received(shop, fleet), "1.090", "1.130")
    ids = [overhaul_id(shop, one.number) for one in (second, first)]
    (history,) = seat_histories(shop.store, ids)
    assert (history.part, history.item.key, history.renewed_as) == ("Injector body", "body-seat-width", BODY)
    assert [passage.overhaul_id for passage in history.passages] == ids
    sizes_left = [
        (str(p.metal.measured.size_mm), p.metal.taken_mm, p.renewed) for p in history.passages if p.metal.measured
    ]
    assert sizes_left == [("1.130", D("0.040"), False), ("1.080", D("0.030"), False)]


def test_a_seat_that_was_never_cut_has_no_history(shop: Shop, fleet: Fleet) -> None:
    injector = received(shop, fleet).examined()
    assert seat_histories(shop.store, [overhaul_id(shop, injector.number)]) == ()


def test_the_forecast_walks_the_index_of_reworks(shop: Shop, fleet: Fleet) -> None:
    number = overhaul_id(shop, recut(shop, received(shop, fleet), "1.050", "1.080").number)
    with counted(shop.store) as sent:
        assert cuts_on_type(shop.store, number, SEAT, BODY)
    (statement,) = sent
    asked = ("rework:body", number, NEWEST_OVERHAULS, *_subjects(SEAT, BODY))
    with shop.store.reading() as session:
        connection = session.connection()
        if not shop.store.is_sqlite:
            connection.exec_driver_sql("SET LOCAL enable_seqscan = off")  # a small table is read through otherwise
        explain = "EXPLAIN QUERY PLAN" if shop.store.is_sqlite else "EXPLAIN"
        assert "ix_entry_reworked" in str(connection.exec_driver_sql(f"{explain} {statement}", asked).all())

"""What the technician reads of a seat's metal: at the settlement, before the cut, after it."""

from service.actions.course import return_unrepaired
from service.actions.rebuilding import fit_part
from service.actions.settling import settle_part
from service.actions.shop import Shop
from service.workshop.vocabulary import Disposition, Phase
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.recutting import agree, recut, rework
from tests.pages.unit_register import receive_from_other_fleet
from tests.registered_fleet import Fleet
from tests.small_findings import REJECTED, sizes

LEFT = "0.2 mm to the rework limit of 1.6 mm (U = 0.001 mm)."


def nine_cuts(shop: Shop, fleet: Fleet) -> None:
    """Nine recuts of 0.005 mm on another injector of the type."""
    recut(shop, received(shop, fleet, "SN-9"), "1.050", *(f"1.{50 + 5 * cut:03d}" for cut in range(1, 10)))


def test_at_the_settlement_the_metal_of_a_worn_seat_is_told(injector: Injector, technician: Visitor) -> None:
    injector.examined(body_seat_width=REJECTED["body-seat-width"])
    page = technician.get(f"{injector.address}/settlement")
    card = page.text.split('id="part-body"')[1].split("</section>")[0]
    assert LEFT in card
    assert "to the rework limit" not in page.text.replace(card, "")
    assert "Likely, no promise" not in words_of(page), "wear that is ground away draws near to no limit"


def test_past_the_rework_limit_it_is_said_that_no_metal_is_left(injector: Injector, technician: Visitor) -> None:
    injector.examined(body_seat_width=sizes("MIC-1", "1.70"))
    words = words_of(technician.get(f"{injector.address}/settlement"))
    assert "The rework limit is passed: no metal is left to rework this." in words
    assert "0.1 mm past the rework limit of 1.6 mm (U = 0.001 mm)." in words


def test_before_the_cut_the_workshop_s_own_cuts_say_how_many_more_are_likely(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor
) -> None:
    nine_cuts(shop, fleet)
    injector.examined(body_seat_width=sizes("MIC-1", "1.580"))
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    words = words_of(technician.get(f"{injector.address}/rebuild"))
    assert "0.02 mm to the rework limit of 1.6 mm (U = 0.001 mm)." in words
    assert "Likely, no promise: 3 to 4 more recuts, 4 as likely as not, going by 9 cuts of 0.005 to 0.005 mm" in words
    assert "leave no metal" not in words


def test_a_recut_that_would_leave_no_metal_is_said_before_it_is_made(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor
) -> None:
    nine_cuts(shop, fleet)
    injector.examined(body_seat_width=sizes("MIC-1", "1.598"))
    warning = (
        "A recut would leave no metal: 0.002 mm is left and the workshop's cuts on this type took 0.005 mm or more."
    )
    assert warning in words_of(technician.get(f"{injector.address}/settlement"))
    technician.fill(f"{injector.address}/settlement", "form=as-proposed")
    assert warning in words_of(technician.get(f"{injector.address}/rebuild"))


def test_after_the_cut_the_size_is_asked_and_then_told_with_what_was_taken(
    shop: Shop, injector: Injector, technician: Visitor
) -> None:
    recut(shop, injector, "1.100")
    rework(shop, injector)
    words = words_of(technician.get(f"{injector.address}/rebuild"))
    assert "1.100 mm, then reworked: not measured since." in words
    assert "Measure again after rework: Width of the body's seat" in words
    injector.examine("body-seat-width", sizes("MIC-1", "1.150"), Phase.AFTER_REWORK)
    for place in ("rebuild", "settlement"):
        words = words_of(technician.get(f"{injector.address}/{place}"))
        assert "1.100 mm before, 1.150 mm after: 0.05 mm taken towards the rework limit." in words
        assert "0.45 mm to the rework limit of 1.6 mm (U = 0.001 mm)." in words
        assert "More recuts: not known: 1 recut of this type on record, and a forecast needs 9." in words


def test_the_unit_s_page_tells_the_seat_over_its_overhauls(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor, office: Visitor
) -> None:
    recut(shop, injector, "1.100", "1.150", "1.180")
    return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="The owner asks.")
    again = recut(shop, received(shop, fleet), "1.200")
    for visitor in (technician, office):
        page = visitor.get("/units/SN-1001")
        words = words_of(page)
        assert "Width of the body's seat over its overhauls" in words
        assert (
            "0.4 mm to the rework limit of 1.6 mm (U = 0.001 mm). More recuts: not known: 2 recuts of this type"
            in words
        )
        assert "1.100 mm before, 1.150 mm after: 0.05 mm taken towards the rework limit." in words
        assert "1.150 mm before, 1.180 mm after: 0.03 mm taken towards the rework limit." in words
        assert "1.200 mm, not recut. 0.4 mm (U = 0.001 mm)" in words
        assert f"{injector.number}: 0.42 ± 0.001 mm left, 0.08 mm taken." in words
        assert f"{again.number}: 0.4 ± 0.001 mm left, 0 mm taken." in words
        assert 'fill="url(#metal-1-hatched)"' in page.text


def test_an_injector_that_was_never_recut_has_no_such_section(injector: Injector, office: Visitor) -> None:
    injector.examined()
    assert "Width of the body's seat over its overhauls" not in words_of(office.get("/units/SN-1001"))


def test_a_ship_s_office_sees_of_a_seat_only_what_came_from_its_own_ships(
    shop: Shop, fleet: Fleet, injector: Injector, office: Visitor
) -> None:
    recut(shop, injector, "1.100", "1.150")
    return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="The owner asks.")
    (sold,) = receive_from_other_fleet(shop, fleet, "SN-1001")
    recut(shop, Injector(shop, fleet.technician, sold), "1.160", "1.190", agreed_by=fleet.other_office)
    words = words_of(office.get("/units/SN-1001"))
    assert "1.150 mm after" in words
    assert "1.190" not in words


def test_a_new_part_begins_the_drawing_anew(shop: Shop, fleet: Fleet, injector: Injector, office: Visitor) -> None:
    recut(shop, injector, "1.100", "1.150")
    settle_part(
        shop, injector.technician, injector.number, injector.form(),
        part="body", chosen=Disposition.REPLACE, reason="Cracked when it was milled.",
    )  # fmt: skip
    agree(shop, injector, fleet.office)
    fit_part(shop, injector.technician, injector.number, injector.form(), item="body", batch="B-7")
    page = office.get("/units/SN-1001")
    assert "A new part was fitted." in words_of(page)
    assert "metal-1-hatched" not in page.text

"""From the ship's crate to the release, through the actions only."""

from service.actions.recording import Form
from service.actions.releasing import sign_release
from service.actions.settling import answer_proposal, settle_as_proposed
from service.actions.shop import Shop
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, examine_all, form, loaded, prove, rebuild, receive, strip
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED


def test_a_sound_injector_goes_all_the_way_to_proved(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    assert loaded(shop, number).row.stage == Stage.PROVED.value


def test_a_worn_injector_goes_by_the_offices_answer(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet, "A-7")[0]
    strip(shop, fleet, number)
    worn = {key: REJECTED[key] for key in ("needle-seat", "body-seat-width")}
    examine_all(shop, fleet, number, worn)
    assert settle_as_proposed(shop, fleet.technician, number, form(shop, number)) == 5
    assert loaded(shop, number).row.stage == Stage.EXAMINED.value
    for part in ("nozzle", "needle"):
        blank: Form = form(shop, number)
        answered = answer_proposal(shop, fleet.office, number, blank, part=part, accepted=True, note="Go ahead.")
    assert answered.stage is Stage.AGREED
    rebuild(shop, fleet, number)
    prove(shop, fleet, number)
    assert loaded(shop, number).row.stage == Stage.PROVED.value


def test_a_crate_of_two_leaves_with_one_certificate_each(shop: Shop, fleet: Fleet) -> None:
    issued = []
    for number in receive(shop, fleet, "A-1", "A-2"):
        strip(shop, fleet, number)
        examine_all(shop, fleet, number, {"body-seat-width": REJECTED["body-seat-width"]})
        settle_as_proposed(shop, fleet.technician, number, form(shop, number))
        rebuild(shop, fleet, number)
        prove(shop, fleet, number)
        issued.append(sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD))
        assert loaded(shop, number).row.stage == Stage.RELEASED.value
    assert [one.number for one in issued] == ["RC-2026-00001", "RC-2026-00002"]
    assert len({one.token for one in issued}) == 2

"""Stripping and cleaning."""

import pytest

from service.actions.examining import record_strip
from service.actions.recording import Form, Recorded
from service.actions.shop import Actor, Refused, Shop
from service.workshop.entries import PartFound
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import PartState, Stage
from tests.actions.at_the_bench import bring_to, form, newest_journal_row
from tests.actions.duties import Act, is_out_of_place, is_recorded_once, keeps_out, knows_no_stranger, refuses
from tests.registered_fleet import Fleet

FREE = tuple(PartFound(part=part, state=PartState.FREE) for part in ("body", "nozzle", "needle", "spring"))


def stripping(shop: Shop) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return record_strip(shop, actor, number, blank, parts=FREE, seals_discarded=True, remark=" Oily. ")

    return act


def test_a_technician_strips_a_received_injector(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    keeps_out(shop, number, stripping(shop), fleet.office)
    knows_no_stranger(shop, fleet, number, stripping(shop), fleet.technician)
    done = is_recorded_once(shop, number, stripping(shop), fleet.technician)
    assert done.stage is Stage.STRIPPED
    assert '"stage":"received"' in newest_journal_row(shop).before
    is_out_of_place(shop, number, stripping(shop), fleet.technician)


def test_a_part_or_a_seal_not_accounted_for_is_refused(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)

    def strip(parts: tuple[PartFound, ...], seals: bool) -> Recorded:
        return record_strip(shop, fleet.technician, number, form(shop, number), parts=parts, seals_discarded=seals)

    odd = (*FREE, PartFound(part="propeller", state=PartState.FREE))
    for parts, seals, field in ((FREE[:3], True, "state-spring"), (FREE, False, "seals_discarded"), (odd, True, None)):
        error = refuses(shop, number, lambda parts=parts, seals=seals: strip(parts, seals), NotPermitted)  # type: ignore[misc]
        assert field in (error.field, None)


@pytest.mark.parametrize("odd_key", ["short", "x" * 65, "has blank", "semi;colon"])
def test_a_form_without_a_proper_key_is_refused(odd_key: str) -> None:
    with pytest.raises(Refused) as refusal:
        Form(odd_key, 0)
    assert refusal.value.field == "form_key"

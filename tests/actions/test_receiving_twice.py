"""One serial number twice in one consignment."""

from datetime import timedelta

import pytest

from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.shop import Refused, Shop
from service.workshop.vocabulary import Fuel, Packing, SendReason
from tests.registered_fleet import Fleet


def test_a_serial_number_twice_in_one_consignment_is_named_as_such(shop: Shop, fleet: Fleet) -> None:
    """Not as open in an overhaul that this very consignment would have opened."""
    one = InjectorReceived(
        serial="TWIN-1",
        engine_id=fleet.engine_id,
        cylinder=1,
        fuel=Fuel.RESIDUAL,
        reason=SendReason.PLANNED,
        packing=Packing.SOUND,
    )
    with pytest.raises(Refused, match="twice in the consignment") as refused:
        receive_consignment(
            shop,
            fleet.technician,
            imo=fleet.imo,
            due_on=(shop.now() + timedelta(days=5)).date(),
            injectors=(one, one),
            form_key="twin-form-1",
        )
    assert refused.value.field == "injectors.1.serial"
    assert shop.store.rows("SELECT count(*) FROM overhaul")[0][0] == 0

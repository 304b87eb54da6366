"""One injector from its crate to the last verdict, page by page, without JavaScript."""

import re

from service.actions.shop import Shop
from service.workshop.vocabulary import Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.typed_at_the_bench import SOUND, injector_row
from tests.registered_fleet import Fleet


def test_an_injector_goes_from_its_crate_to_fully_examined(technician: Visitor, shop: Shop, fleet: Fleet) -> None:
    arrived = technician.fill(
        f"/consignments/new?imo={fleet.imo}", "/consignments", due_on="2026-03-20", **injector_row(0, fleet, "sn 77")
    )
    assert "SN 77" in words_of(arrived)
    number = re.findall(r"/overhauls/(OH-2026-\d{4})\"", arrived.text)[0]
    injector = Injector(shop, fleet.technician, number)
    assert injector.stage is Stage.RECEIVED

    parts = {f"state-{part.key}": "free" for part in injector.record.sheet.parts if not part.seal}
    listed = technician.fill(f"{injector.address}/strip", "/strip", seals_discarded="yes", **parts)
    assert injector.stage is Stage.STRIPPED
    first = _next_address(listed.text)
    assert first.endswith("/body-cracks")

    address, seen = first, []
    while "/examination/" in address:
        key = address.rpartition("/")[2]
        answer = technician.fill(address, address, **SOUND[key])
        assert "Conforms" in words_of(answer), words_of(answer)
        seen.append(key)
        address = _next_address(answer.text)
    assert seen == list(SOUND)
    assert address == f"{injector.address}/settlement"
    assert injector.stage is Stage.EXAMINED


def _next_address(html: str) -> str:
    """Where the one big button leads."""
    found = re.findall(r'<a class="button button-primary" href="([^"]+)"', html)
    assert len(found) == 1, found
    return found[0]

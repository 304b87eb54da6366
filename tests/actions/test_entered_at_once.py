"""Two people who add the same thing at the same moment: one is stored, the other is told."""

import threading
from dataclasses import replace
from typing import Any

import pytest

from service.actions import test_rigs
from service.actions.shop import Shop, status_of
from service.metrology.errors import DomainError
from service.records.rig_reads import known_rigs
from tests.registered_fleet import RIG_CARD, Fleet


@pytest.mark.parametrize("database_kind", ["postgresql"])
def test_a_rig_entered_twice_at_once_is_stored_once_and_the_other_is_told(
    shop: Shop, fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked, look = threading.Barrier(2, timeout=10), test_rigs.rig_row

    def look_and_wait(*asked: Any, **more: Any) -> Any:
        found = look(*asked, **more)
        looked.wait()
        return found

    monkeypatch.setattr(test_rigs, "rig_row", look_and_wait)
    told: list[DomainError] = []

    def enter() -> None:
        try:
            test_rigs.save_test_rig(shop, fleet.manager, replace(RIG_CARD, code="RIG-7"))
        except DomainError as error:
            told.append(error)

    people = [threading.Thread(target=enter) for _ in range(2)]
    for one in people:
        one.start()
    for one in people:
        one.join()
    assert [(status_of(error), error.code) for error in told] == [(409, "taken-meanwhile")]
    with shop.store.reading() as session:
        codes = [known.rig.code for known in known_rigs(session, shop.now().date())]
    assert codes.count("RIG-7") == 1

"""The summary of a consignment: signed, current, and only for the fleet that it came from."""

import pytest

from service.actions.releasing import sign_release
from service.actions.shop import NotFound, Shop
from service.actions.summarising import summarise_consignment
from service.documents.signing.verification import Standing, Trust, examine_file
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, loaded
from tests.documents.printed import words_of
from tests.registered_fleet import PASSWORD, Fleet
from tests.signing_keys import authority


def test_it_names_the_certificate_in_force_and_is_signed_by_the_workshop(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    consignment = loaded(shop, number).consignment.number
    assert "none in force" in words_of(summarise_consignment(shop, fleet.technician, consignment))
    issued = sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    content = summarise_consignment(shop, fleet.office, consignment)
    words = words_of(content)
    assert issued.number in words
    assert "Released" in words
    assert examine_file(content, Trust(authority().public_pem)).standing is Standing.GENUINE


def test_another_fleets_consignment_answers_like_an_unknown_one(shop: Shop, fleet: Fleet) -> None:
    consignment = loaded(shop, bring_to(shop, fleet, Stage.STRIPPED)).consignment.number
    for number in (consignment, "C-2026-9999"):
        with pytest.raises(NotFound, match=f"There is no consignment {number}"):
            summarise_consignment(shop, fleet.other_office, number)

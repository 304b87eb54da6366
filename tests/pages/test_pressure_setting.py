"""The proposal of discs on the pages of the bench, after an opening pressure outside its band."""

import re

import pytest

from service.actions.shop import Shop
from service.workshop.vocabulary import Stage
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.pressure_sheet import put_in_force, strokes
from tests.registered_fleet import Fleet


@pytest.fixture
def weak(shop: Shop, fleet: Fleet) -> Injector:
    """Opened at 335 bar; 345 to 360 bar are wanted."""
    put_in_force(shop, fleet)
    injector = received(shop, fleet).rebuilt()
    injector.tested(opening=strokes("335"))
    return injector


def test_both_pages_of_the_bench_propose_the_fewest_discs(weak: Injector, technician: Visitor) -> None:
    for page in ("proving", "rebuild"):
        words = words_of(technician.get(f"{weak.address}/{page}"))
        assert "2 sets bring it into the band with the fewest changes, one disc each" in words
        assert "Put in 0.5 mm 349.6 bar" in words
        assert "Put in 0.6 mm 352.5 bar" in words
        assert "347 to 358 bar, 2 bar inside the limits so that it is proven" in words
        assert "29.1 bar for each mm (geometry)" in words
        assert "no own adjustment on this type so far, and 5 are wanted" in words
        assert "Closing pressure by the geometry 229 bar" in words
        assert "52 N lost (4.3 %), 0.52 mm against one that gives 350 bar without added discs" in words


def test_a_chosen_set_fills_the_form_and_is_recorded_without_typing(weak: Injector, technician: Visitor) -> None:
    page = technician.get(f"{weak.address}/proving")
    (use,) = re.findall(r'href="([^"]+set=2[^"]*)"', page.text)
    form = form_of(technician.get(use.partition("#")[0]), "/disc-changes")
    assert [disc for disc in form.fields["added"] if disc] == ["0.6"]
    assert form.fields["reason"] == ["Opening pressure 335 bar, 352.5 bar expected."]
    assert technician.send(form).status_code == 303
    assert weak.record.discs_added == 1
    assert "Setting the opening pressure" not in words_of(technician.get(f"{weak.address}/rebuild"))


def test_what_has_run_out_in_the_drawer_is_not_proposed(weak: Injector, technician: Visitor) -> None:
    page = technician.get(f"{weak.address}/rebuild?drawer=seen&there=0.2")
    assert "Put in 3 × 0.2 mm 352.5 bar" in words_of(page)
    assert page.text.count('name="there" value="0.2" checked') == 1
    assert 'name="there" value="0.5" checked' not in page.text
    assert "drawer=seen&amp;there=0.2&amp;set=1#discs" in page.text
    empty = words_of(technician.get(f"{weak.address}/rebuild?drawer=seen"))
    assert "No disc is in stock. Discs of 0.413 to 0.79 mm altogether would bring it there" in empty


@pytest.mark.parametrize("asked", ["?set=9", "?set=x", "?set=-1", "?drawer=seen&there=abc", "?set=99999999999"])
def test_an_address_that_names_no_set_fills_nothing(weak: Injector, technician: Visitor, asked: str) -> None:
    answer = technician.get(f"{weak.address}/rebuild{asked}")
    assert answer.status_code == 200
    assert not [disc for disc in form_of(answer, "/disc-changes").fields["added"] if disc]


def test_a_spring_that_no_disc_can_help_is_replaced(shop: Shop, fleet: Fleet, technician: Visitor) -> None:
    put_in_force(shop, fleet)
    injector = received(shop, fleet).rebuilt()
    injector.tested(opening=strokes("240"))
    words = words_of(technician.get(f"{injector.address}/proving"))
    assert "Even the 5 added discs that are allowed, of the thickest in stock, would bring it only to" in words
    assert "replace the spring" in words


def test_a_sheet_without_geometry_says_why_nothing_is_proposed(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    injector.tested(opening=strokes("335"))
    words = words_of(technician.get(f"{injector.address}/proving"))
    assert "No discs are proposed: the limit sheet gives no spring rate and diameters" in words


def test_a_passed_injector_gets_no_proposal(shop: Shop, fleet: Fleet, technician: Visitor) -> None:
    put_in_force(shop, fleet)
    injector = received(shop, fleet).rebuilt()
    injector.tested()
    assert injector.stage is Stage.PROVED
    assert "Setting the opening pressure" not in words_of(technician.get(f"{injector.address}/proving"))

"""A hole measured in a photograph of it: right by the drawing, decided by a person, kept beside the gauge."""

import json
from decimal import Decimal as D
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.hole_images import decide_hole_evaluation, measure_hole
from service.actions.photographs import add_photograph, look_at_photographs
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.metrology.hole_image.given_scale import BarScale, GivenScale, PitchScale
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, entry_count, key, newest_journal_row
from tests.photographs_taken import HOLE, of_a_hole, plain
from tests.registered_fleet import Fleet

PITCH = PitchScale(um_per_pixel=D("5.7"), expanded_uncertainty=D("0.02"))


def taken(shop: Shop, fleet: Fleet, content: bytes | None = None, subject: str = "nozzle-holes") -> tuple[str, int]:
    """A stripped injector with a photograph; gives both numbers."""
    number = bring_to(shop, fleet, Stage.STRIPPED)
    content = of_a_hole() if content is None else content
    return number, add_photograph(shop, fleet.technician, number, form_key=key(), subject=subject, content=content)


def decide(shop: Shop, fleet: Fleet, number: str, picture: int, **changes: Any) -> int:
    """The evaluation of hole 3, accepted unless said otherwise."""
    digest = measure_hole(shop, fleet.technician, number, picture, hole=3, scale=PITCH).digest
    asked = {"form_key": key(), "hole": 3, "scale": PITCH, "digest": digest, "accepted": True} | changes
    return decide_hole_evaluation(shop, fleet.technician, number, picture, **asked)


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_the_hole_is_as_wide_as_it_was_drawn(shop: Shop, fleet: Fleet, kind: str) -> None:
    """Within the 0.2 pixel of diameter and 0.3 pixel of ovality that are stated for nominal conditions."""
    number, picture = taken(shop, fleet, of_a_hole(kind))
    found = measure_hole(shop, fleet.technician, number, picture, hole=3, scale=PITCH).found
    assert found.mean_diameter.value_um == pytest.approx(5.7 * HOLE.mean_diameter, abs=0.2 * 5.7)
    assert found.ovality.value_um == pytest.approx(5.7 * HOLE.ovality, abs=0.3 * 5.7)
    assert look_at_photographs(shop, fleet.technician, number).evaluations == (), "measuring alone keeps nothing"


def test_a_scale_bar_gives_the_scale_that_it_is_long(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet)
    bar = BarScale(length_um=D(1140), length_uncertainty_um=D(1), start_px=(D(20), D(10)), end_px=(D(220), D(10)))
    found = measure_hole(shop, fleet.technician, number, picture, hole=1, scale=bar).found
    assert found.um_per_pixel == pytest.approx(5.7)


def test_an_accepted_evaluation_is_kept_as_it_was_shown_and_judges_nothing(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet)
    entries = entry_count(shop, number)
    form_key = key()
    made = decide(shop, fleet, number, picture, form_key=form_key)
    assert decide(shop, fleet, number, picture, form_key=form_key) == made
    (kept,) = look_at_photographs(shop, fleet.office, number).evaluations
    assert (kept.hole, kept.accepted, kept.scale, kept.person_name) == (3, True, PITCH, "Tove Technician")
    assert kept.found == measure_hole(shop, fleet.manager, number, picture, hole=3, scale=PITCH).found
    assert entry_count(shop, number) == entries, "the gauge alone gives the verdict"
    journal = newest_journal_row(shop)
    assert (journal.action, journal.subject_id) == ("hole-evaluation", number)
    assert json.loads(journal.after)["mean_diameter_um"] == f"{kept.found.mean_diameter.value_um:.1f}"


def test_a_rejection_says_why(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet)
    with pytest.raises(Refused) as refusal:
        decide(shop, fleet, number, picture, accepted=False, reason=" ")
    assert refusal.value.field == "reason"
    decide(shop, fleet, number, picture, accepted=False, reason="A burr at the rim.")
    (kept,) = look_at_photographs(shop, fleet.technician, number).evaluations
    assert (kept.accepted, kept.reason) == (False, "A burr at the rim.")
    assert newest_journal_row(shop).reason == "A burr at the rim."


def test_what_was_not_shown_is_not_kept(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet)
    with pytest.raises(Conflict):
        decide(shop, fleet, number, picture, digest="0" * 64)
    with pytest.raises(Conflict):
        decide(shop, fleet, number, picture, scale=PitchScale(um_per_pixel=D(6), expanded_uncertainty=D(0)))
    assert look_at_photographs(shop, fleet.technician, number).evaluations == ()


@pytest.mark.parametrize(
    ("scale", "hole", "code", "field"),
    [
        (PitchScale(um_per_pixel=D(0), expanded_uncertainty=D(0)), 1, "scale-not-positive", "um_per_pixel"),
        (
            PitchScale(um_per_pixel=D(5), expanded_uncertainty=D(-1)),
            1,
            "scale-uncertainty-negative",
            "expanded_uncertainty",
        ),
        (
            BarScale(length_um=D(0), length_uncertainty_um=D(0), start_px=(D(0), D(0)), end_px=(D(90), D(0))),
            1,
            "bar-length-not-positive",
            "length_um",
        ),
        (
            BarScale(length_um=D(90000), length_uncertainty_um=D(0), start_px=(D(0), D(0)), end_px=(D(90), D(0))),
            1,
            "scale-absurd",
            "length_um",
        ),
        (PITCH, 5, "no-hole-number", "hole"),
        (PITCH, 0, "no-hole-number", "hole"),
    ],
)
def test_a_scale_or_a_hole_that_cannot_be_is_refused_in_words(
    shop: Shop, fleet: Fleet, scale: GivenScale, hole: int, code: str, field: str
) -> None:
    number, picture = taken(shop, fleet)
    with pytest.raises(DomainError) as refusal:
        measure_hole(shop, fleet.technician, number, picture, hole=hole, scale=scale)
    assert (refusal.value.code, refusal.value.field) == (code, field)


def test_a_photograph_without_a_hole_is_refused_and_one_of_something_else_too(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet, plain())
    with pytest.raises(DomainError) as refusal:
        measure_hole(shop, fleet.technician, number, picture, hole=1, scale=PITCH)
    assert refusal.value.code == "no-hole"
    other = add_photograph(shop, fleet.technician, number, form_key=key(), subject="arrival", content=of_a_hole())
    with pytest.raises(DomainError, match="shows no spray holes"):
        measure_hole(shop, fleet.technician, number, other, hole=1, scale=PITCH)


def test_only_the_bench_measures_and_only_what_is_there(shop: Shop, fleet: Fleet) -> None:
    number, picture = taken(shop, fleet)
    with pytest.raises(Forbidden):
        measure_hole(shop, fleet.office, number, picture, hole=1, scale=PITCH)
    with pytest.raises(NotFound):
        measure_hole(shop, fleet.technician, number, picture + 9, hole=1, scale=PITCH)


def test_no_evaluation_is_ever_changed_or_deleted(shop: Shop, fleet: Fleet) -> None:
    decide(shop, fleet, *taken(shop, fleet))
    for statement in ("UPDATE hole_evaluation SET hole = 1", "DELETE FROM hole_evaluation"):
        with pytest.raises(DBAPIError, match="never changed"), shop.store.change() as session:
            session.execute(text(statement))

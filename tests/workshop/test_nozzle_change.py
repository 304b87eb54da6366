"""The change of a nozzle's flow area from one gauging to the next."""

import math

import pytest

from service.workshop.nozzle_change import change_between
from service.workshop.nozzle_found import NozzleFound
from tests.workshop.gauged_holes import ITEM, gauged, judged, nozzle


def found(hole: str) -> NozzleFound:
    return nozzle(judged(ITEM, gauged(*[hole] * 4)))


def test_the_change_is_in_per_cent_of_what_it_was_with_both_uncertainties() -> None:
    was, now = found("eennn"), found("eeenn")
    change = change_between(was, now)
    assert change is not None
    assert float(change.value) == pytest.approx(100 * ((0.865 / 0.855) ** 2 - 1), abs=0.02)
    assert float(change.least) == pytest.approx(100 * ((0.859 / 0.861) ** 2 - 1), abs=0.02)
    assert float(change.most) == pytest.approx(100 * ((0.871 / 0.849) ** 2 - 1), abs=0.02)
    # Four rectangles of 10 µm and a common doubt of 0.5 µm in each of the two areas: JCGM 100, 5.1.3 and 5.2.2.
    each = [2 / size * math.hypot(0.01 / math.sqrt(12) / 2, 0.0005) for size in (0.855, 0.865)]
    assert float(change.uncertainty) == pytest.approx(200 * (0.865 / 0.855) ** 2 * math.hypot(*each), abs=0.02)


def test_a_nozzle_that_did_not_change_shows_none_that_is_certain() -> None:
    change = change_between(found("eeenn"), found("eeenn"))
    assert change is not None
    assert change.value == 0
    assert change.least < 0 < change.most


def test_an_area_that_was_never_known_has_no_change() -> None:
    assert change_between(None, found("eeenn")) is None
    assert change_between(found("eeenn"), found("eeeee")) is None

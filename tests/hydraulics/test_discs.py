"""Discs added under the spring. Not more than five: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.discs import USUAL_MOST_DISCS, added_discs
from service.hydraulics.errors import HydraulicsError

counts = st.integers(0, 12)


@pytest.mark.parametrize(
    ("fitted", "to_add", "allowed", "room"),
    [(0, 5, True, 5), (3, 2, True, 2), (3, 3, False, 2), (5, 0, True, 0), (5, 1, False, 0), (6, 0, False, 0)],
)
def test_not_more_than_five_discs_adjust_the_pressure(fitted: int, to_add: int, allowed: bool, room: int) -> None:
    # Common practice, no source.
    found = added_discs(fitted, to_add)
    assert (found.allowed, found.room, found.most) == (allowed, room, USUAL_MOST_DISCS)


@given(counts, counts, counts)
def test_the_number_of_the_limit_sheet_counts_however_the_discs_came_in(first: int, second: int, most: int) -> None:
    assert added_discs(first, second, most).allowed == added_discs(0, first + second, most).allowed
    assert added_discs(first, second, most).allowed == (first + second <= most)


def test_one_disc_too_many_says_what_to_do() -> None:
    sentence = added_discs(4, 2, 5).sentence
    assert "6 added discs are more than the 5 of the limit sheet, with room for 1" in sentence
    assert added_discs(4, 1, 5).sentence == "5 of at most 5 added discs."


@pytest.mark.parametrize(("fitted", "to_add", "most"), [(-1, 0, 5), (0, -1, 5), (0, 0, -1)])
def test_a_count_below_zero_is_refused(fitted: int, to_add: int, most: int) -> None:
    with pytest.raises(HydraulicsError) as refusal:
        added_discs(fitted, to_add, most)
    assert refusal.value.code == "disc-count-negative"

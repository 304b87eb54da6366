"""Opening pressure from the spring and the diameters it works against."""

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening_geometry import NeedleGeometry, needle_geometry, opening_from_spring, spring_set

rates = st.decimals(D("0.5"), D(2000), places=2)
guides = st.decimals(D(3), D(60), places=2)
shares = st.decimals(D("0.05"), D("0.95"), places=2)
preloads = st.decimals(D("0.1"), D(80), places=2)


def _geometry(rate: D, guide: D, share: D) -> NeedleGeometry:
    return needle_geometry(rate, guide, guide * share)


@given(rates, guides, shares, preloads, preloads)
def test_a_disc_raises_the_opening_pressure_by_its_thickness_times_the_slope(
    rate: D, guide: D, share: D, preload: D, disc: D
) -> None:
    geometry = _geometry(rate, guide, share)
    before, after = (opening_from_spring(geometry, preload + more) for more in (D(0), disc))
    raised = after.opening_bar - before.opening_bar
    assert abs(raised - disc * geometry.bar_per_mm) <= after.opening_bar * D("1e-24")


@given(rates, guides, shares, preloads)
def test_a_needle_shuts_below_its_opening_pressure_by_the_share_of_the_seat(
    rate: D, guide: D, share: D, preload: D
) -> None:
    geometry = _geometry(rate, guide, share)
    found = opening_from_spring(geometry, preload)
    assert found.closing_bar < found.opening_bar
    assert abs(found.closing_bar / found.opening_bar - (1 - share**2)) < D("1e-20")
    assert abs(geometry.closing_bar(found.opening_bar) - found.closing_bar) <= found.closing_bar * D("1e-24")


@given(rates, guides, shares, preloads)
def test_the_force_behind_the_opening_pressure_is_hookes(rate: D, guide: D, share: D, preload: D) -> None:
    geometry = _geometry(rate, guide, share)
    force = geometry.force_n(opening_from_spring(geometry, preload).opening_bar)
    assert abs(force - rate * preload) <= rate * preload * D("1e-24")


@pytest.mark.parametrize(
    ("rate", "guide", "seat", "code", "field"),
    [
        ("0", "8", "4", "rate-absurd", "rate"),
        ("-5", "8", "4", "rate-absurd", "rate"),
        ("NaN", "8", "4", "rate-absurd", "rate"),
        ("1e9", "8", "4", "rate-absurd", "rate"),
        ("150", "0", "0", "diameter-absurd", "guide"),
        ("150", "9000", "4", "diameter-absurd", "guide"),
        ("150", "8", "-1", "diameter-absurd", "seat"),
        ("150", "8", "Infinity", "diameter-absurd", "seat"),
        ("150", "8", "8", "seat-not-smaller", "seat"),
        ("150", "4", "8", "seat-not-smaller", "seat"),
    ],
)
def test_a_geometry_that_cannot_be_is_refused_by_its_field(
    rate: str, guide: str, seat: str, code: str, field: str
) -> None:
    with pytest.raises(HydraulicsError) as refusal:
        needle_geometry(D(rate), D(guide), D(seat))
    assert (refusal.value.code, refusal.value.field) == (code, field)


@pytest.mark.parametrize("preload", ["-0.1", "NaN", "Infinity", "501"])
def test_a_preload_that_no_spring_has_is_refused(preload: str) -> None:
    with pytest.raises(HydraulicsError) as refusal:
        opening_from_spring(needle_geometry(D(150), D(8), D(4)), D(preload))
    assert (refusal.value.code, refusal.value.field) == ("preload-absurd", "preload")


def test_a_springs_set_is_the_force_it_lost_and_the_disc_that_makes_it_up() -> None:
    found = spring_set(D(150), D(1050), D(945))
    assert (found.lost_n, found.lost_percent, found.set_mm) == (D(105), D(10), D("0.7"))


@pytest.mark.parametrize(("rate", "new", "now"), [("0", "1", "1"), ("150", "0", "1"), ("150", "1", "-1")])
def test_a_spring_without_force_has_no_set(rate: str, new: str, now: str) -> None:
    with pytest.raises(HydraulicsError):
        spring_set(D(rate), D(new), D(now))

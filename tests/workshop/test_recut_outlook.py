"""How many more recuts a seat bears, in words, and what is said before one is made."""

from decimal import Decimal as D

import pytest

from service.workshop.limit_sheet import SizeLimits
from service.workshop.recut_outlook import RecutOutlook, cuts_of, recut_outlook, recut_words
from service.workshop.recuts import RecutsLikely, TooFewCuts
from tests.workshop.test_seat_metal import after, cut, metal, seat, size

FIVE = [D("0.05")] * 12
WORN = seat(SizeLimits(upper=D("0.05")), "0.20")


def outlook(found: str, cuts: list[D] | None = FIVE) -> RecutOutlook:
    return recut_outlook(metal(size(found)), cuts)


def test_the_metal_left_is_told_with_its_uncertainty_and_the_cuts_that_it_bears() -> None:
    found = outlook("12.39")
    assert found.remaining_words == "0.21 mm to the rework limit of 12.6 mm (U = 0.001 mm)."
    assert isinstance(found.forecast, RecutsLikely)
    assert (
        found.forecast_words == "Likely, no promise: 4 more recuts, going by 12 cuts of 0.05 to 0.05 mm on this type."
    )
    assert found.warning == ""


def test_with_too_few_cuts_on_record_it_says_so_and_gives_no_number() -> None:
    found = outlook("12.39", FIVE[:3])
    assert isinstance(found.forecast, TooFewCuts)
    assert found.forecast_words == ("More recuts: not known: 3 recuts of this type on record, and a forecast needs 9.")


@pytest.mark.parametrize(
    ("found", "cuts", "warning"),
    [
        ("12.60", FIVE, "A recut would leave no metal: the rework limit is reached."),
        ("12.62", FIVE, "A recut would leave no metal: the rework limit is reached."),
        ("12.599", FIVE, "A recut may leave no metal: what is left is no more than its uncertainty."),
        (
            "12.57",
            FIVE,
            "A recut would leave no metal: 0.03 mm is left and the workshop's cuts on this type took 0.05 mm or more.",
        ),
        (
            "12.57",
            [*FIVE, *[D("0.02")] * 4],
            "A recut may leave no metal: 0.03 mm is left and the workshop's cuts on this type took up to 0.05 mm.",
        ),
        (
            "12.57",
            [D("0.02"), D("0.05")],
            "A recut may leave no metal: 0.03 mm is left and the workshop's cuts on this type took up to 0.05 mm.",
        ),
        ("12.54", FIVE, ""),
        ("12.54", [], ""),
        ("12.60", None, ""),
    ],
)
def test_a_recut_that_would_leave_no_metal_is_said_before_it_is_made(
    found: str, cuts: list[D] | None, warning: str
) -> None:
    assert outlook(found, cuts).warning == warning


def test_nothing_measured_gives_no_figure() -> None:
    assert recut_outlook(metal(), FIVE).remaining_words == "Not measured yet."
    waiting = recut_outlook(metal(size("12.30"), cut()), FIVE)
    assert (waiting.remaining_words, waiting.forecast_words) == ("Reworked, and not measured since.", "")


def test_past_the_limit_no_metal_is_left_whatever_is_asked() -> None:
    found = recut_outlook(metal(size("0.21"), item=WORN), None)
    assert found.remaining_words == "0.01 mm past the rework limit of 0.2 mm (U = 0.001 mm)."
    assert found.warning == "The rework limit is passed: no metal is left to rework this."


def test_wear_that_is_ground_away_has_no_forecast_unless_the_workshop_s_cuts_show_that_they_draw_near() -> None:
    ground = metal(size("0.09"), cut(), after("0.01"), item=WORN)
    assert recut_outlook(ground, []).forecast is None
    assert recut_outlook(ground, FIVE).forecast is not None


def test_a_limit_that_lies_absurdly_far_is_said_and_not_forecast() -> None:
    far = recut_outlook(metal(size("12.30"), item=seat(SizeLimits(upper=D(60)), "60")), FIVE)
    assert (far.forecast, "20 mm" in far.warning) == (None, True)


def test_the_workshop_s_cuts_are_those_that_took_metal() -> None:
    seats = [
        metal(size("12.30"), cut(), after("12.36"), cut(), after("12.40")),
        metal(size("12.30"), cut(), after("12.30")),
        metal(size("12.30"), cut(), after("12.29")),
        metal(size("12.30"), cut()),
    ]
    assert cuts_of(seats) == (D("0.06"), D("0.04"))


def test_where_rework_brings_a_size_back_a_step_within_its_doubt_is_no_cut() -> None:
    # Two sizes with U = 1 µm each: their difference is uncertain by 1.4 µm (JCGM 100:2008, 5.1.2, uncorrelated).
    by_error = metal(size("0.020"), cut(), after("0.021"), item=WORN)
    by_cut = metal(size("0.020"), cut(), after("0.022"), item=WORN)
    assert cuts_of([by_error, by_cut]) == (D("0.002"),)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            (size("12.30"), cut(), after("12.36")),
            "12.30 mm before, 12.36 mm after: 0.06 mm taken towards the rework limit.",
        ),
        ((size("12.30"), cut(), after("12.10")), "12.30 mm before, 12.10 mm after: brought back by 0.2 mm."),
        ((size("12.30"), cut(), after("12.30")), "12.30 mm before, 12.30 mm after: nothing taken."),
        ((size("12.30"), cut()), "12.30 mm, then reworked: not measured since."),
        ((cut(),), "size not known, then reworked: not measured since."),
        ((cut(), after("12.10")), "New part, 12.10 mm after rework."),
    ],
)
def test_a_recut_is_told_from_size_to_size(told: tuple, words: str) -> None:  # type: ignore[type-arg]
    found = metal(*told)
    assert recut_words(found.recuts[-1], found) == words

"""The figures that the package states, over 240 drawn photographs: the truth is the outline that was drawn."""

import pytest

from service.metrology.hole_image.findings import Measured
from tests.metrology.hole_image.nominal_pictures import A_GROUP, GROUPS, Nominal, group

ALL = range(GROUPS)


def errors(pictures: tuple[Nominal, ...]) -> dict[str, list[tuple[float, Measured]]]:
    """For each figure the error in pixels of every picture, and the figure as it was stated."""
    pairs: dict[str, list[tuple[float, Measured]]] = {}
    for picture in pictures:
        hole, found = picture.hole, picture.found
        for name, truth, stated in (
            ("mean diameter", hole.mean_diameter, found.mean_diameter),
            ("major", hole.major, found.major),
            ("minor", hole.minor, found.minor),
            ("ovality", hole.ovality, found.ovality),
            ("ovality by harmonic", hole.ovality_by_harmonic, found.ovality_by_harmonic),
            ("roundness", hole.roundness, found.roundness),
        ):
            pairs.setdefault(name, []).append((stated.value_px - truth, stated))
    return pairs


@pytest.mark.xdist_group("hole grid")
@pytest.mark.parametrize("number", ALL)
def test_the_diameter_is_right_within_a_fifth_of_a_pixel_in_every_nominal_picture(number: int) -> None:
    found = [abs(error) for error, _ in errors(group(number))["mean diameter"]]
    assert len(found) == A_GROUP
    assert max(found) <= 0.2


@pytest.mark.xdist_group("hole grid")
@pytest.mark.parametrize("number", ALL)
def test_the_ovality_is_right_within_three_tenths_of_a_pixel_in_every_nominal_picture(number: int) -> None:
    found = errors(group(number))
    assert max(abs(error) for error, _ in found["ovality"]) <= 0.3
    assert max(abs(error) for error, _ in found["ovality by harmonic"]) <= 0.3


@pytest.mark.xdist_group("hole grid")
@pytest.mark.parametrize("figure", ["mean diameter", "major", "minor", "ovality", "ovality by harmonic", "roundness"])
def test_the_stated_uncertainty_covers_the_truth_in_at_least_95_pictures_of_100(figure: str) -> None:
    pictures = tuple(picture for number in ALL for picture in group(number))
    covered = [abs(error) <= stated.expanded_px for error, stated in errors(pictures)[figure]]
    assert len(covered) == GROUPS * A_GROUP >= 200
    assert sum(covered) / len(covered) >= 0.95


@pytest.mark.xdist_group("hole grid")
def test_the_major_axis_of_an_oval_hole_lies_where_it_was_drawn() -> None:
    pictures = [picture for number in ALL for picture in group(number) if picture.hole.ovality > 3]
    away = [abs((picture.found.angle_deg - picture.hole.angle + 90) % 180 - 90) for picture in pictures]
    assert len(away) > 80
    assert max(away) < 3


@pytest.mark.xdist_group("hole grid")
def test_a_hole_is_told_dark_or_bright_and_a_nominal_picture_is_called_nominal() -> None:
    pictures = [picture for number in ALL for picture in group(number)]
    assert all(picture.found.hole_is_dark == (picture.shot.hole < picture.shot.ground) for picture in pictures)
    unmarked = [picture for picture in pictures if not (picture.shot.scratches or picture.shot.glints)]
    assert [picture.found.quality.not_nominal for picture in unmarked if picture.found.quality.not_nominal] == []
    assert {picture.found.hole_is_dark for picture in pictures} == {True, False}

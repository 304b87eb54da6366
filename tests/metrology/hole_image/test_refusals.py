"""Photographs that no hole can be measured from, and scales without meaning: each refused in words."""

import math

import numpy as np
import pytest

from seed_demo.rendered_hole import Array, Hole, Photograph, photograph
from service.metrology.hole_image.conditions import HoleImageError
from service.metrology.hole_image.evaluation import evaluate_hole
from service.metrology.hole_image.scale import Scale, calibrated_scale, scale_from_bar

SCALE = Scale(1.0, 0.0)
SHOT = Photograph(320, 260, noise=0.01)


def noise_alone() -> Array:
    return np.clip(np.random.default_rng(3).normal(0.5, 0.05, (260, 320)), 0, 1)


def slope_alone() -> Array:
    return np.asarray(np.linspace(0.2, 0.8, 320)[None, :] * np.ones((260, 1)))


def square_alone(left: int = 20, right: int = 300) -> Array:
    picture = noise_alone() * 0.2 + 0.6
    picture[60:200, left:right] = 0.1
    return picture


REFUSED = {
    "even grey": (lambda: np.full((260, 320), 0.5), "no-hole"),
    "all black": (lambda: np.zeros((260, 320)), "no-hole"),
    "noise alone": (noise_alone, "no-hole"),
    "a slope of light alone": (slope_alone, "no-hole"),
    "a square": (lambda: square_alone(90, 230), "no-hole"),
    "a long slot": (square_alone, "no-hole"),
    "a hole cut by the border": (lambda: photograph(Hole(20, 130, 120, 120), SHOT), "hole-touches-border"),
    "two holes": (lambda: photograph([Hole(85, 130, 100, 100), Hole(235, 130, 100, 100)], SHOT), "two-holes"),
    "a hole of few pixels": (lambda: photograph(Hole(160, 130, 30, 30), SHOT), "hole-too-small"),
    "a hole of hardly any contrast": (
        lambda: photograph(Hole(160, 130, 120, 120), SHOT.with_(hole=0.63, noise=0.005)),
        "contrast-too-low",
    ),
    "a hole out of focus": (lambda: photograph(Hole(160, 130, 120, 120), SHOT.with_(blur=12)), "blur-too-wide"),
    "an overexposed ground": (lambda: photograph(Hole(160, 130, 120, 120), SHOT.with_(ground=1.1)), "overexposed"),
    "an overexposed hole": (
        lambda: photograph(Hole(160, 130, 120, 120), SHOT.with_(ground=0.1, hole=1.2)),
        "overexposed",
    ),
    "a hole with a third of its rim under glare": (
        lambda: photograph(Hole(160, 130, 120, 120), SHOT.with_(glints=((222, 130, 55),), ground=0.8)),
        "edge-too-little",
    ),
    "a colour picture": (lambda: np.zeros((260, 320, 3)), "picture-unreadable"),
    "whole numbers": (lambda: np.zeros((260, 320), dtype=np.uint8), "picture-unreadable"),
    "light beyond full scale": (lambda: np.full((260, 320), 200.0), "picture-unreadable"),
    "light that is no number": (lambda: np.full((260, 320), math.nan), "picture-unreadable"),
    "a thumbnail": (lambda: np.zeros((40, 40)), "picture-too-small"),
    "sixty million pixels": (lambda: np.zeros((6000, 10000), dtype=np.float16), "picture-too-large"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_picture_that_shows_no_whole_clear_hole_is_refused_in_words(name: str) -> None:
    draw, code = REFUSED[name]
    with pytest.raises(HoleImageError) as refusal:
        evaluate_hole(draw(), SCALE)
    assert refusal.value.code == code
    assert refusal.value.field == "picture"
    assert refusal.value.sentence.endswith(".")


def test_what_is_beyond_nominal_but_not_refused_is_measured_and_said() -> None:
    hole = Hole(160.3, 130.2, 120, 118)
    found = evaluate_hole(photograph(hole, SHOT.with_(blur=5, hole=0.5)), SCALE)
    assert found.mean_diameter.value_px == pytest.approx(hole.mean_diameter, abs=found.mean_diameter.expanded_px)
    assert len(found.quality.not_nominal) == 2
    assert "blurred" in found.quality.not_nominal[0]
    assert "contrast" in found.quality.not_nominal[1]


@pytest.mark.parametrize("pitch", [0.0, -1.0, math.nan, math.inf, 1e-6, 5000.0])
def test_a_scale_of_zero_or_without_sense_is_refused(pitch: float) -> None:
    with pytest.raises(HoleImageError) as refusal:
        calibrated_scale(pitch, 0.001)
    assert refusal.value.code in {"scale-not-positive", "scale-absurd"}
    assert refusal.value.field == "um_per_pixel"


@pytest.mark.parametrize(
    ("expanded", "k", "code"),
    [
        (-0.1, 2, "scale-uncertainty-negative"),
        (math.nan, 2, "scale-uncertainty-negative"),
        (0.1, 0, "scale-uncertainty-negative"),
        (0.5, 2, "scale-too-uncertain"),
    ],
)
def test_an_uncertainty_of_the_scale_without_sense_is_refused(expanded: float, k: float, code: str) -> None:
    with pytest.raises(HoleImageError) as refusal:
        calibrated_scale(1.0, expanded, k)
    assert refusal.value.code == code


@pytest.mark.parametrize(
    ("length", "end", "code"),
    [
        (0, (600, 0), "bar-length-not-positive"),
        (-500, (600, 0), "bar-length-not-positive"),
        (math.nan, (600, 0), "bar-length-not-positive"),
        (500, (0, 0), "bar-too-short"),
        (500, (20, 20), "bar-too-short"),
        (500, (math.nan, 0), "bar-points-unreadable"),
        (1e9, (600, 0), "scale-absurd"),
    ],
)
def test_a_scale_bar_without_sense_is_refused(length: float, end: tuple[float, float], code: str) -> None:
    with pytest.raises(HoleImageError) as refusal:
        scale_from_bar(length, (0, 0), end)
    assert refusal.value.code == code


def test_a_scale_bar_gives_the_pitch_and_what_its_ends_leave_open() -> None:
    """1000 µm over 800 px (480, 640, 800: a Pythagorean triple); ends ± 1 px: √2/√3/800 of the pitch (GUM 4.3.7)."""
    scale = scale_from_bar(1000, (10, 20), (490, 660), expanded_uncertainty_um=2.0)
    assert scale.um_per_pixel == pytest.approx(1.25)
    assert scale.relative == pytest.approx(math.hypot(0.001, math.sqrt(2 / 3) / 800))

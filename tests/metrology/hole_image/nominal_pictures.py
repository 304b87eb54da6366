"""A seeded grid of 240 photographs over the nominal conditions that the package states."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from seed_demo.rendered_hole import Hole, Photograph, photograph
from service.metrology.hole_image import conditions
from service.metrology.hole_image.evaluation import evaluate_hole
from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.scale import Scale

SIZES = (60, 75, 100, 140, 200, 290, 400, 560, 800)
GROUPS = 12
A_GROUP = 20
UM_PER_PIXEL = 1.25


@dataclass(frozen=True)
class Nominal:
    """One picture: the hole that was drawn, how it was taken, what the evaluation found."""

    hole: Hole
    shot: Photograph
    found: HoleEvaluation


def drawn(number: int) -> tuple[Hole, Photograph]:
    """The hole and the circumstances of the picture of that number, over the whole of each nominal range."""
    chance = np.random.default_rng(7000 + number)
    size = float(SIZES[number % len(SIZES)]) + float(chance.uniform(0, 1) if number % len(SIZES) < 8 else -1)
    side = size * float(chance.uniform(1.35, 2.2))
    width, height = int(side * 1.2), int(side)
    ovality = 0.0 if number % 3 == 0 else float(chance.uniform(0, conditions.NOMINAL_OVALITY_SHARE * size))
    hole = Hole(
        width / 2 + float(chance.uniform(-0.05, 0.05)) * size,
        height / 2 + float(chance.uniform(-0.05, 0.05)) * size,
        size + ovality / 2,
        size - ovality / 2,
        float(chance.uniform(0, 180)),
    )
    contrast = float(chance.choice([conditions.NOMINAL_CONTRAST, chance.uniform(0.3, 0.65)]))
    noisiest = min(conditions.NOMINAL_NOISE, conditions.NOMINAL_NOISE_SHARE * contrast)
    blurriest = min(conditions.NOMINAL_BLUR_PX[1], conditions.NOMINAL_BLUR_SHARE * size)
    dark = number % 4 != 0
    bright_level = float(chance.uniform(contrast + 0.02, 0.75))
    across, down, fall = chance.dirichlet((1, 1, 1)) * 0.3 * chance.uniform(0, 1)
    shot = Photograph(
        width,
        height,
        ground=bright_level if dark else bright_level - contrast,
        hole=bright_level - contrast if dark else bright_level,
        blur=float(chance.choice([conditions.NOMINAL_BLUR_PX[0], blurriest, chance.uniform(0.7, blurriest)])),
        noise=float(chance.choice([noisiest, chance.uniform(0, noisiest)])),
        tilt_of_light=(float(across), float(-down)),
        fall_of_light=float(fall),
        seed=number,
    )
    return hole, _marked(hole, shot, number, chance)


def _marked(hole: Hole, shot: Photograph, number: int, chance: np.random.Generator) -> Photograph:
    """Every fifth picture with a scratch across the rim, every fifth with a glint on it."""
    theta = float(chance.uniform(0, 2 * np.pi))
    radius = float(hole.radius(np.array(theta)))
    x, y = hole.x + radius * np.cos(theta), hole.y + radius * np.sin(theta)
    if number % 5 == 1:
        reach = 0.2 * radius
        out, across = (np.cos(theta) * reach, np.sin(theta) * reach), float(chance.uniform(-0.5, 0.5)) * reach
        ends = (x - out[0] - across, y - out[1], x + out[0], y + out[1] + across)
        return shot.with_(scratches=((*ends, 0.05 if number % 2 else 0.8),))
    if number % 5 == 2:
        return shot.with_(glints=((x, y, max(1.5, 0.02 * hole.mean_diameter)),))
    return shot


@cache
def group(number: int) -> tuple[Nominal, ...]:
    """Twenty pictures of the grid, drawn and evaluated once."""
    pictures = [drawn(number * A_GROUP + place) for place in range(A_GROUP)]
    scale = Scale(UM_PER_PIXEL, 0.0)
    return tuple(Nominal(hole, shot, evaluate_hole(photograph(hole, shot), scale)) for hole, shot in pictures)

"""Invented photographs of spray holes, drawn when the demonstration is made: one to accept and one to reject.

Each shows a scale bar of half a millimetre; a pixel is 4 µm wide. No camera and no nozzle was there.
"""

from io import BytesIO

import numpy as np
from PIL import Image

from seed_demo.rendered_hole import Array, Hole, Photograph, photograph

UM_PER_PIXEL = 4
_BAR_FROM, _BAR_TO, _BAR_ROW, _BAR_HEIGHT = 60, 185, 360, 12
_WARM = (1.0, 0.97, 0.92)
"""Parts of red, green and blue in the light of the lamp."""


def sound_hole() -> bytes:
    """Sharp and evenly lit: a hole of 1.064 mm that is oval by 16 µm, as PNG."""
    hole = Hole(254.3, 198.7, 268, 264, 35)
    shot = Photograph(520, 400, ground=0.55, hole=0.06, blur=1.6, noise=0.006, bits=16, scratches=_bar())
    return _packed(photograph(hole, shot.with_(tilt_of_light=(0.15, -0.1), fall_of_light=0.12)))


def spoiled_hole() -> bytes:
    """Out of focus, with two drops of oil that shine on the rim: nothing to rely on, as PNG."""
    hole = Hole(262.0, 180.0, 276, 258, 80, ((3, 3.0, 10), (7, 1.5, 40)))
    drops = ((372.0, 120.0, 30.0), (160.0, 262.0, 22.0))
    shot = Photograph(520, 400, ground=0.5, hole=0.12, blur=4.5, noise=0.015, bits=16, glints=drops, seed=3)
    return _packed(photograph(hole, shot.with_(tilt_of_light=(0.3, 0.15), fall_of_light=0.15, scratches=_bar())))


def _bar() -> tuple[tuple[float, float, float, float, float], ...]:
    """A dark bar with an upright stroke at each end, from lines two pixels wide."""
    half = _BAR_HEIGHT / 2
    along = tuple((_BAR_FROM, row, _BAR_TO, row, 0.02) for row in range(_BAR_ROW - 2, _BAR_ROW + 3))
    ends = tuple(
        (end + aside, _BAR_ROW - half, end + aside, _BAR_ROW + half, 0.02)
        for end, inwards in ((_BAR_FROM, 1), (_BAR_TO, -1))
        for aside in (0, 2 * inwards)
    )
    return along + ends


def _packed(light: Array) -> bytes:
    """Linear light coded as sRGB (IEC 61966-2-1)."""
    coloured = np.clip(light[..., None] * np.array(_WARM), 0, 1)
    root = 1.055 * np.maximum(coloured, 1e-9) ** (1 / 2.4) - 0.055
    coded = np.where(coloured <= 0.0031308, 12.92 * coloured, root)
    content = BytesIO()
    Image.fromarray(np.round(255 * coded).astype(np.uint8)).save(content, "PNG", compress_level=1)
    return content.getvalue()

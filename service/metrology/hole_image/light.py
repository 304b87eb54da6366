"""From what a picture file holds to light: the sRGB coding undone, colours weighed to one brightness.

An edge blurred by a lens is half bright in light, not in coded values: read as coded, a dark hole would come out larger
by more than one blur.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]

_WEIGHTS = (0.2126, 0.7152, 0.0722)  # ITU-R BT.709, of red, green and blue in linear light


def linear_light(coded: Array) -> Array:
    """Linear light 0 to 1, shape (rows, columns), of an sRGB coded picture (IEC 61966-2-1).

    `coded` holds whole numbers of 8 or 16 bits, shape (rows, columns) or (rows, columns, 3).
    """
    steps = np.iinfo(coded.dtype).max + 1
    x = np.arange(steps) / (steps - 1)
    table = np.where(x <= 0.04045, x / 12.92, ((x + 0.055) / 1.055) ** 2.4).astype(np.float32)
    if coded.ndim == 2:
        return np.asarray(table[coded])
    light = np.zeros(coded.shape[:2], dtype=np.float32)
    for channel, weight in enumerate(_WEIGHTS):
        light += (table * np.float32(weight))[coded[:, :, channel]]
    return np.clip(light, 0, 1, out=light)

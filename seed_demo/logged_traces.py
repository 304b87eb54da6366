"""Invented logger's files of a bench run, seeded: no real injector opened so."""

import random
from collections.abc import Sequence
from dataclasses import dataclass

RATE_HZ = 200
_NOISE_BAR = 0.6
_CLOSES_AT = 0.86  # of the opening pressure


@dataclass(frozen=True)
class Logged:
    """A file of the opening pressure: a hold, then strokes; one slip of the lever where it is asked for."""

    openings_bar: Sequence[float]
    seed: int
    slip_bar: float | None = None
    """Where the lever slips in the rise to the third stroke."""


def logged_file(asked: Logged) -> bytes:
    """The logger's CSV, some thousand rows of s and bar; its first line says that it is invented."""
    chance, rows, level = random.Random(asked.seed), [], 0.0

    def go(to_bar: float, seconds: float) -> None:
        nonlocal level
        steps = max(1, round(seconds * RATE_HZ))
        rows.extend(level + (to_bar - level) * step / steps for step in range(steps))
        level = to_bar

    held = min(asked.openings_bar) - 40
    for to_bar, seconds in ((0, 0.5), (held, 3), (held - 2.5, 12)):
        go(to_bar, seconds)
    for number, bar in enumerate(asked.openings_bar):
        if number == 2 and asked.slip_bar is not None:
            go(asked.slip_bar, 0.9)
            go(asked.slip_bar * 0.88, 0.02)
            go(asked.slip_bar * 0.88, 0.2)
        go(bar, 1.1)
        go(bar * _CLOSES_AT, 0.01)
        go(bar * _CLOSES_AT, 0.3)
    go(0, 0.8)
    lines = [f"{at / RATE_HZ:.3f};{bar + chance.gauss(0, _NOISE_BAR):.2f}" for at, bar in enumerate(rows)]
    head = f"Invented for the demonstration: no real injector, seed {asked.seed}"
    return "\n".join((head, "time [s];pressure [bar]", *lines, "")).encode()

"""Which injectors go together into one cylinder, so that they inject alike: an exact choice for a whole engine.

Injectors of one cylinder that open at different pressures, or whose holes differ, share the fuel unevenly. A group is
as good as its spreads are small: largest less smallest opening pressure, and the same of the hole flow area, each in
per cent of the mean of all injectors. Both count alike, and the sum over the cylinders is made as small as it can be.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb, isfinite

import numpy as np

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.set_partition import cheapest_groups

MOST_GROUPS = 40_000
"""Groups that can be formed of the injectors at the most: 42 injectors by three have 11,480."""
_STEPS = 10_000
"""Spreads are compared in whole ten-thousandths of a per cent, so that equal sums are equal."""


@dataclass(frozen=True, slots=True)
class MatchedInjector:
    """One injector that may be shipped: opening pressure, bar; hole flow area, mm², None where it is not known.

    `cylinder` is the one that it came from, None where that is not known.
    """

    key: str
    opening_bar: float
    area_mm2: float | None
    cylinder: int | None = None


@dataclass(frozen=True, slots=True)
class CylinderSet:
    """The injectors for one cylinder and their spreads in per cent of the mean of all."""

    cylinder: int
    injectors: tuple[MatchedInjector, ...]
    opening_spread_percent: float
    area_spread_percent: float

    @property
    def mismatch(self) -> float:
        """Both spreads together, per cent."""
        return self.opening_spread_percent + self.area_spread_percent


@dataclass(frozen=True, slots=True)
class EngineSet:
    """The best choice for all cylinders, and the mismatch that the order of arrival would have, per cent in all."""

    cylinders: tuple[CylinderSet, ...]
    arrival_mismatch: float

    @property
    def mismatch(self) -> float:
        """The sum over the cylinders, per cent; no other choice has less."""
        return sum(one.mismatch for one in self.cylinders)

    @property
    def left_over(self) -> float:
        """The mismatch as a share of that of the order of arrival, 0 to 1; 1 where that one had none either."""
        return self.mismatch / self.arrival_mismatch if self.arrival_mismatch else 1.0


def match_sets(
    injectors: Sequence[MatchedInjector], cylinders: int, per_cylinder: int, of_cylinders: int | None = None
) -> EngineSet:
    """The injectors (in the order of arrival) shared out to `cylinders` with `per_cylinder` each.

    `of_cylinders` are those of the engine where only some of them are filled.

    The groups are chosen by integer programming over every group that can be formed (set partitioning; solved to the
    end, not to a gap), and then given to cylinders so that as few injectors as possible change theirs (assignment).
    Raises HydraulicsError with code `set-too-small`, `set-too-large`, `set-alone` or `pressure-not-positive`.
    """
    _check(injectors, cylinders, per_cylinder)
    spreads = _Spreads(injectors)
    costs = {group: spreads.steps(group) for group in combinations(range(len(injectors)), per_cylinder)}
    chosen = cheapest_groups(costs, len(injectors), cylinders)
    places = _places(injectors, chosen, max(cylinders, of_cylinders or 0))
    sets = [spreads.of(place + 1, group) for place, group in zip(places, chosen, strict=True)]
    arrival = [
        spreads.of(place + 1, tuple(range(place * per_cylinder, (place + 1) * per_cylinder)))
        for place in range(cylinders)
    ]
    return EngineSet(tuple(sorted(sets, key=lambda one: one.cylinder)), sum(one.mismatch for one in arrival))


class _Spreads:
    """The spreads of a group against the means of all injectors."""

    def __init__(self, injectors: Sequence[MatchedInjector]) -> None:
        self.injectors = injectors
        self.opening = sum(one.opening_bar for one in injectors) / len(injectors)
        areas = [one.area_mm2 for one in injectors if one.area_mm2 is not None]
        self.area = sum(areas) / len(areas) if areas else 1.0

    def of(self, cylinder: int, group: tuple[int, ...]) -> CylinderSet:
        """The group as the set of one cylinder."""
        members = tuple(self.injectors[place] for place in group)
        areas = [one.area_mm2 for one in members if one.area_mm2 is not None]
        return CylinderSet(
            cylinder,
            members,
            _spread([one.opening_bar for one in members], self.opening),
            _spread(areas, self.area) if areas else 0.0,
        )

    def steps(self, group: tuple[int, ...]) -> int:
        """Its mismatch in whole steps."""
        return round(self.of(0, group).mismatch * _STEPS)


def _spread(values: Sequence[float], mean: float) -> float:
    return 100 * (max(values) - min(values)) / mean


def _places(injectors: Sequence[MatchedInjector], chosen: Sequence[tuple[int, ...]], cylinders: int) -> tuple[int, ...]:
    """The cylinder (from 0) of each group, so that as many injectors as possible go back where they came from."""
    from scipy.optimize import linear_sum_assignment

    stays = np.zeros((len(chosen), cylinders))
    for row, group in enumerate(chosen):
        for place in group:
            cylinder = injectors[place].cylinder
            if cylinder is not None and 1 <= cylinder <= cylinders:
                stays[row, cylinder - 1] += 1
    _, places = linear_sum_assignment(stays, maximize=True)
    return tuple(int(place) for place in places)


def _check(injectors: Sequence[MatchedInjector], cylinders: int, per_cylinder: int) -> None:
    if per_cylinder < 2:
        raise HydraulicsError(
            "set-alone", "With one injector to a cylinder there is nothing to match within it.", "per_cylinder"
        )
    wanted = cylinders * per_cylinder
    if cylinders < 1 or len(injectors) < wanted:
        raise HydraulicsError(
            "set-too-small",
            f"{cylinders} × {per_cylinder} injectors are needed at least, and {len(injectors)} can be matched: "
            "choose more.",
            "take",
        )
    if comb(len(injectors), per_cylinder) > MOST_GROUPS:
        raise HydraulicsError(
            "set-too-large", f"{len(injectors)} injectors are too many to try every group: choose fewer.", "take"
        )
    for one in injectors:
        for value in (one.opening_bar, 1.0 if one.area_mm2 is None else one.area_mm2):
            if not (isfinite(value) and value > 0):
                raise HydraulicsError(
                    "pressure-not-positive", f"{one.key} has a pressure or an area that is not above zero.", "take"
                )

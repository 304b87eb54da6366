"""The cheapest disjoint groups out of all that can be formed: set partitioning, solved to the end.

Most groups are ruled out first, by a proof and not by a guess: where the relaxed problem's bound and a group's reduced
cost come to more than a choice that is known already, no best choice can hold that group (Nemhauser and Wolsey, Integer
and Combinatorial Optimization, reduced cost fixing; from memory). What is left is small enough to be solved at once.
"""

from collections.abc import Mapping
from itertools import combinations

import numpy as np
import numpy.typing as npt

from service.hydraulics.errors import HydraulicsError

Group = tuple[int, ...]
_SECONDS = 60
_HAIR = 0.5
"""Costs are whole numbers: half of one is far more than the optimiser's rounding, and rules nothing out wrongly."""


def cheapest_groups(costs: Mapping[Group, int], things: int, wanted: int) -> list[Group]:
    """So many disjoint groups of the things 0, 1, …, whose costs, whole numbers, come to the least.

    `costs` holds every group of one size, its things in rising order. Raises HydraulicsError with code
    `set-too-large` where the proof takes longer than a minute.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # loads with the first engine that is matched

    known = _good_choice(costs, things, wanted)
    groups = _still_possible(costs, things, wanted, sum(costs[group] for group in known))
    found = milp(
        np.array([costs[group] for group in groups], dtype=float),
        integrality=np.ones(len(groups)),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(_members(groups, things), -np.inf, 1),
            LinearConstraint(np.ones((1, len(groups))), wanted, wanted),
        ],
        options={"mip_rel_gap": 0, "time_limit": _SECONDS},
    )
    if found.status != 0:
        raise HydraulicsError(
            "set-too-large", "The best choice could not be proven in a minute: choose fewer injectors.", "take"
        )
    return [group for group, share in zip(groups, found.x, strict=True) if share > 0.5]


def _still_possible(costs: Mapping[Group, int], things: int, wanted: int, reached: int) -> list[Group]:
    """The groups that a choice no dearer than `reached` may hold."""
    from scipy.optimize import linprog

    groups = list(costs)
    prices = np.array([costs[group] for group in groups], dtype=float)
    members = _members(groups, things)
    relaxed = linprog(prices, A_ub=members, b_ub=np.ones(things), A_eq=np.ones((1, len(groups))), b_eq=[wanted])
    if relaxed.status != 0:
        return groups  # no bound, nothing is ruled out
    reduced = prices - members.T @ relaxed.ineqlin.marginals - relaxed.eqlin.marginals[0]
    kept = relaxed.fun + reduced <= reached + _HAIR
    return [group for group, keep in zip(groups, kept, strict=True) if keep]


def _members(groups: list[Group], things: int) -> npt.NDArray[np.float64]:
    """A row for each thing, a column for each group, 1 where the group holds the thing."""
    table = np.zeros((things, len(groups)))
    table[np.array(groups).T, np.arange(len(groups))] = 1
    return table


def _good_choice(costs: Mapping[Group, int], things: int, wanted: int) -> list[Group]:
    """A choice that no exchange of two things makes cheaper: a bound from above, seldom far from the best."""
    size = len(next(iter(costs)))
    order = list(range(things))

    def cost(place: int) -> int:
        """Of the group that stands there; what stands behind the last group is left over."""
        return costs[_group(order, place, size)] if place < wanted else 0

    better = True
    while better:
        better = False
        for one, other in combinations(range(things), 2):
            first, second = one // size, min(other // size, wanted)
            if first >= wanted or first == second:
                continue
            before = cost(first) + cost(second)
            order[one], order[other] = order[other], order[one]
            if cost(first) + cost(second) < before:
                better = True
            else:
                order[one], order[other] = order[other], order[one]
    return [_group(order, place, size) for place in range(wanted)]


def _group(order: list[int], place: int, size: int) -> Group:
    return tuple(sorted(order[place * size : (place + 1) * size]))

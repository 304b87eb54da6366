"""Where the injectors of a recall are now: the vessels they sail on, and what of it concerns each operator."""

from collections.abc import Iterable
from dataclasses import dataclass

from service.records.recall_reads import RecalledInjector


@dataclass(frozen=True)
class VesselReached:
    """A vessel with the injectors of the recall that sail on it; `changed` of them have a verdict that would change."""

    name: str
    imo_number: str
    operator_id: int
    operator: str
    injectors: int
    changed: int


@dataclass(frozen=True)
class OperatorReached:
    """An operator with all its injectors of the recall, at sea or in the shop."""

    id: int
    name: str
    injectors: int


def where_now(injector: RecalledInjector) -> str:
    """Where the injector is, as far as the register knows: the vessel is the one that it last came from."""
    if injector.shop_number:
        return f"In the shop, {injector.shop_number}"
    return "Condemned" if injector.condemned else injector.vessel


def sails(injector: RecalledInjector) -> bool:
    """Whether the injector is with its vessel."""
    return not injector.shop_number and not injector.condemned


def vessels_reached(found: Iterable[tuple[RecalledInjector, bool]]) -> tuple[VesselReached, ...]:
    """Vessels with an injector of the recall on board, most changed first; each injector with whether it is changed."""
    by_vessel: dict[str, tuple[RecalledInjector, dict[str, bool]]] = {}
    for injector, changed in found:
        if sails(injector):
            units = by_vessel.setdefault(injector.imo_number, (injector, {}))[1]
            unit = f"{injector.type_code} {injector.serial}"
            units[unit] = units.get(unit, False) or changed
    reached = [
        VesselReached(one.vessel, imo, one.operator_id, one.operator, len(units), sum(units.values()))
        for imo, (one, units) in by_vessel.items()
    ]
    return tuple(sorted(reached, key=lambda one: (-one.changed, one.operator, one.name)))


def operators_reached(found: Iterable[RecalledInjector]) -> tuple[OperatorReached, ...]:
    """Operators by name, each with the number of its injectors."""
    units: dict[tuple[str, int], set[str]] = {}
    for one in found:
        units.setdefault((one.operator, one.operator_id), set()).add(f"{one.type_code} {one.serial}")
    return tuple(OperatorReached(number, name, len(units[name, number])) for name, number in sorted(units))

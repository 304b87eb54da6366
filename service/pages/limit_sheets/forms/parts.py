"""Parts, matched assemblies and torques."""

from service.pages.limit_sheets.forms.fields import Values, key_of, number, tick, words
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import Assembly, LimitSheet, Part, TorquePoint
from service.workshop.sheet_editing import Section


def part_values(item: Part) -> Values:
    """The part as its form shows it."""
    return {
        "key": item.key,
        "name": item.name,
        "assembly": item.assembly or "",
        "seal": tick(item.seal),
        "nox_relevant": tick(item.nox_relevant),
        "replaced_singly": tick(item.replaced_singly),
    }


def read_part(typed: Typed, sheet: LimitSheet, old_key: str | None) -> Part:
    """The part that was typed."""
    name = words(typed, "name", "Name the part.")
    return Part(
        key=key_of(typed, sheet, Section.PARTS, name, old_key),
        name=name,
        assembly=typed.text("assembly") or None,
        seal=typed.ticked("seal"),
        nox_relevant=typed.ticked("nox_relevant"),
        replaced_singly=typed.ticked("replaced_singly"),
    )


def assembly_values(item: Assembly) -> Values:
    """The assembly as its form shows it."""
    return {"key": item.key, "name": item.name}


def read_assembly(typed: Typed, sheet: LimitSheet, old_key: str | None) -> Assembly:
    """The assembly that was typed."""
    name = words(typed, "name", "Name the matched assembly.")
    return Assembly(key=key_of(typed, sheet, Section.ASSEMBLIES, name, old_key), name=name)


def torque_values(item: TorquePoint) -> Values:
    """The torque as its form shows it."""
    return {"key": item.key, "title": item.title, "lower": number(item.lower), "upper": number(item.upper)}


def read_torque(typed: Typed, sheet: LimitSheet, old_key: str | None) -> TorquePoint:
    """The torque that was typed, in N·m."""
    title = words(typed, "title", "Name the thread that is tightened.")
    return TorquePoint(
        key=key_of(typed, sheet, Section.TORQUES, title, old_key),
        title=title,
        lower=typed.quantity("lower", "N·m"),
        upper=typed.quantity("upper", "N·m"),
    )

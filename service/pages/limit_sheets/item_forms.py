"""Which form belongs to which item of a sheet, and what it lets people choose from."""

from collections.abc import Callable
from dataclasses import dataclass

from service.actions.shop import NotFound
from service.pages.choices import Option, options_of
from service.pages.limit_sheets.forms.characteristics import (
    CONSEQUENCES,
    characteristic_values,
    read_characteristic,
)
from service.pages.limit_sheets.forms.fields import Values
from service.pages.limit_sheets.forms.parts import (
    assembly_values,
    part_values,
    read_assembly,
    read_part,
    read_torque,
    torque_values,
)
from service.pages.limit_sheets.forms.rows import MOST, SPARE
from service.pages.limit_sheets.forms.steps import read_step, step_values
from service.pages.limit_sheets.limit_words import CHARACTERISTIC_KINDS, STEP_KINDS
from service.pages.rendering import FormState
from service.pages.typed_forms import Typed
from service.workshop.cautions import CAUTIONS
from service.workshop.limit_sheet import Assembly, LimitSheet, Part, TorquePoint
from service.workshop.sheet_checks import UNITS
from service.workshop.sheet_editing import Item, Section, SheetEditError, item_of
from service.workshop.test_plan import (
    BackLeakageStep,
    EmissionStep,
    ExternalTightnessStep,
    FlushStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    StrokesStep,
    VentStep,
)
from service.workshop.vocabulary import Disposition, FindingOutcome, InstrumentKind, RoundnessReference

_STEPS = (
    VentStep,
    FlushStep,
    StrokesStep,
    SeatTightnessStep,
    OpeningPressureStep,
    EmissionStep,
    QuickDropStep,
    ExternalTightnessStep,
    BackLeakageStep,
)
_SINGLE = {Section.PARTS: "part", Section.ASSEMBLIES: "assembly", Section.TORQUES: "torque"}
_LISTS = ("cautions", "instruments")
_PLAIN_STEPS = ("vent", "quick-drop")
"""Steps that ask for nothing beyond what all share."""


@dataclass(frozen=True)
class ItemForm:
    """One item's form; `key` None for a new item. `read` makes the item of what was typed."""

    section: Section
    key: str | None
    kind: str
    kind_label: str
    heading: str
    template: str
    kind_template: str
    values: Values
    lists: tuple[str, ...]
    read: Callable[[Typed, LimitSheet], Item]


@dataclass(frozen=True)
class ItemChoices:
    """Everything that a form of an item lets people choose from."""

    parts: tuple[Option, ...]
    assemblies: tuple[Option, ...]
    consequences: tuple[Option, ...]
    dispositions: tuple[Option, ...]
    cautions: tuple[Option, ...]
    units: tuple[Option, ...]
    ways: tuple[Option, ...]
    instruments: tuple[Option, ...]
    outcomes: tuple[Option, ...]
    answers: tuple[Option, ...]
    references: tuple[Option, ...]
    rows: tuple[int, ...]


def new_form(section: Section, kind: str) -> ItemForm:
    """The empty form for an item of that kind. Raises NotFound."""
    if section is Section.CHARACTERISTICS and kind in CHARACTERISTIC_KINDS:
        values: Values = {"readings": "1", "directions": "2", "beyond_rework": "replace"}
        values |= {"undersize_consequence": "rework", "unit": "mm", "section_name": "hole", "limits_as": "limits"}
        values |= {"reference": RoundnessReference.MINIMUM_ZONE.value}
        return _form(section, None, kind, "Add a characteristic", values)
    if section is Section.STEPS and kind in STEP_KINDS:
        values = {"title": STEP_KINDS[kind]}
        if kind == "strokes":
            values |= {"strokes_min": "5", "strokes_max": "10"}
        if kind == "opening-pressure":
            values |= {"strokes_min": "3"}
        return _form(section, None, kind, "Add a test step", values)
    if section in _SINGLE and not kind:
        return _form(section, None, "", f"Add a {section.noun}", {})
    raise NotFound("kind", "There is no such form.")


def existing_form(sheet: LimitSheet, section: Section, key: str) -> ItemForm:
    """The form of the item with that key. Raises NotFound."""
    try:
        item = item_of(sheet, section, key)
    except SheetEditError as error:
        raise NotFound(error.code, error.sentence) from error
    match item:
        case Part():
            return _form(section, key, "", item.name, part_values(item))
        case Assembly():
            return _form(section, key, "", item.name, assembly_values(item))
        case TorquePoint():
            return _form(section, key, "", item.title, torque_values(item))
        case _ if isinstance(item, _STEPS):
            return _form(section, key, item.kind, item.title, step_values(item))
        case _:
            return _form(section, key, item.kind, item.title, characteristic_values(item))


def item_choices(sheet: LimitSheet, form: FormState) -> ItemChoices:
    """What there is to choose from on this sheet; a part that is no longer listed stays, so that it shows."""
    parts = [Option(part.key, part.name) for part in sheet.parts if not part.seal]
    assemblies = [Option(one.key, one.name) for one in sheet.assemblies]
    for name, options in (("part", parts), ("assembly", assemblies)):
        chosen = form.values.get(name, "")
        if isinstance(chosen, str) and chosen and all(option.value != chosen for option in options):
            options.append(Option(chosen, f"{chosen} (not listed)"))
    filled = sum(1 for name, value in form.values.items() if name.endswith("-label") and value)
    return ItemChoices(
        parts=tuple(parts),
        assemblies=tuple(assemblies),
        consequences=options_of(CONSEQUENCES),
        dispositions=options_of(Disposition),
        cautions=tuple(Option(one.key, one.title, one.text) for one in CAUTIONS.values()),
        units=tuple(Option(unit, unit) for unit in UNITS),
        ways=(
            Option("class", "ISO 286 class", "Such as 0.85 H9"),
            Option("deviations", "Deviations", "In µm from a nominal size"),
            Option("limits", "Plain limits", "One side or both"),
        ),
        instruments=options_of(InstrumentKind),
        outcomes=tuple(Option(one.value, one.value.capitalize()) for one in FindingOutcome),
        answers=(Option("yes", "Yes"), Option("no", "No")),
        references=options_of(RoundnessReference),
        rows=tuple(range(1, min(filled + SPARE, MOST) + 1)),
    )


def _form(section: Section, key: str | None, kind: str, heading: str, values: Values) -> ItemForm:
    def read(typed: Typed, sheet: LimitSheet) -> Item:
        match section:
            case Section.PARTS:
                return read_part(typed, sheet, key)
            case Section.ASSEMBLIES:
                return read_assembly(typed, sheet, key)
            case Section.TORQUES:
                return read_torque(typed, sheet, key)
            case Section.STEPS:
                return read_step(typed, sheet, kind, key)
            case Section.CHARACTERISTICS:
                return read_characteristic(typed, sheet, kind, key)

    labels = {**CHARACTERISTIC_KINDS, **STEP_KINDS}
    name = _SINGLE.get(section) or ("step" if section is Section.STEPS else "characteristic")
    return ItemForm(
        section=section,
        key=key,
        kind=kind,
        kind_label=labels.get(kind, section.noun.capitalize()),
        heading=heading,
        template=f"limit_sheets/_{name}.html",
        kind_template=f"limit_sheets/_{kind.replace('-', '_')}.html" if kind and kind not in _PLAIN_STEPS else "",
        values=values,
        lists=_LISTS,
        read=read,
    )

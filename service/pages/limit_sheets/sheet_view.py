"""A limit sheet as people read it: the same lines for a revision and for the draft in its editor."""

from collections.abc import Iterator
from dataclasses import dataclass

from service.metrology.typed_numbers import grouped, plain
from service.pages.limit_sheets.limit_words import CHARACTERISTIC_KINDS, STEP_KINDS, asked, notes, step_asks
from service.workshop.cautions import CAUTIONS
from service.workshop.limit_sheet import AnyCharacteristic, LimitSheet, Part
from service.workshop.test_plan import AnyStep, ExternalTightnessStep, LeakPlace, SeatTightnessStep, TestPlan


@dataclass(frozen=True)
class Fact:
    """A word and what it says."""

    label: str
    value: str


@dataclass(frozen=True)
class PartLine:
    """A part."""

    key: str
    name: str
    assembly: str
    notes: str


@dataclass(frozen=True)
class AssemblyLine:
    """A matched assembly with the parts in it."""

    key: str
    name: str
    members: str


@dataclass(frozen=True)
class CharacteristicLine:
    """A characteristic in its place of the examination."""

    key: str
    number: int
    title: str
    part: str
    kind: str
    how: str
    asked: tuple[str, ...]
    consequence: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class TorqueLine:
    """A tightening torque."""

    key: str
    title: str
    limits: str


@dataclass(frozen=True)
class StepLine:
    """A step of the test plan."""

    key: str
    number: int
    title: str
    kind: str
    how: str
    asks: str
    on_fail: str
    causes: tuple[str, ...]
    places: tuple[Fact, ...]


@dataclass(frozen=True)
class SheetView:
    """The sheet."""

    title: str
    notice: str
    head: tuple[Fact, ...]
    parts: tuple[PartLine, ...]
    assemblies: tuple[AssemblyLine, ...]
    characteristics: tuple[CharacteristicLine, ...]
    torques: tuple[TorqueLine, ...]
    plan: tuple[Fact, ...]
    steps: tuple[StepLine, ...]


def sheet_view(sheet: LimitSheet) -> SheetView:
    """The sheet in words. Takes a draft with faults as well."""
    plan = sheet.test_plan
    return SheetView(
        title=sheet.title or "Without a title",
        notice=sheet.notice,
        head=(
            Fact("Injector type", sheet.injector_type),
            Fact("Document", sheet.document_reference or "not given yet"),
            Fact("Its revision", sheet.document_revision or "not given yet"),
            Fact("Discs added at most", str(sheet.discs_added_max)),
            Fact("Next overhaul after", f"{grouped(sheet.overhaul_hours)} h" if sheet.overhaul_hours else "not stated"),
        ),
        parts=tuple(_part(sheet, part) for part in sheet.parts),
        assemblies=tuple(
            AssemblyLine(one.key, one.name, ", ".join(part.name for part in sheet.members(one.key)))
            for one in sheet.assemblies
        ),
        characteristics=tuple(
            _characteristic(sheet, item, number) for number, item in enumerate(sheet.characteristics, 1)
        ),
        torques=tuple(
            TorqueLine(one.key, one.title, f"{plain(one.lower)} to {plain(one.upper)} N·m") for one in sheet.torques
        ),
        plan=(
            Fact("Set opening pressure", f"{plain(plan.opening_set_bar)} bar"),
            Fact("Band", f"{plain(plan.opening_lower_bar)} to {plain(plan.opening_upper_bar)} bar"),
            *_setting(plan),
        ),
        steps=tuple(_step(step, number) for number, step in enumerate(plan.steps, 1)),
    )


def _setting(plan: TestPlan) -> Iterator[Fact]:
    """What the opening pressure is set by, as far as the sheet gives it."""
    for label, value, unit in (
        ("Spring rate", plan.spring_rate_n_per_mm, "N/mm"),
        ("Guide", plan.guide_mm, "mm"),
        ("Seat", plan.seat_mm, "mm"),
    ):
        if value is not None:
            yield Fact(label, f"{plain(value)} {unit}")
    if plan.discs_mm:
        yield Fact("Discs kept", f"{', '.join(plain(disc) for disc in plan.discs_mm)} mm")


def _part(sheet: LimitSheet, part: Part) -> PartLine:
    marks = [
        words
        for words, marked in (
            ("Seal, renewed at each overhaul", part.seal),
            ("NOx-relevant", part.nox_relevant),
            ("May be renewed alone", part.replaced_singly),
        )
        if marked
    ]
    return PartLine(part.key, part.name, _assembly_name(sheet, part.assembly), ", ".join(marks))


def _assembly_name(sheet: LimitSheet, key: str | None) -> str:
    if key is None:
        return ""
    found = sheet.assembly_by_key.get(key)
    return found.name if found else f"{key} (not listed)"


def _characteristic(sheet: LimitSheet, item: AnyCharacteristic, number: int) -> CharacteristicLine:
    part = sheet.part_by_key.get(item.part)
    dangers = tuple(CAUTIONS[key].title for key in item.cautions if key in CAUTIONS)
    return CharacteristicLine(
        key=item.key,
        number=number,
        title=item.title,
        part=part.name if part else f"{item.part} (not listed)",
        kind=CHARACTERISTIC_KINDS[item.kind],
        how=item.how,
        asked=asked(item),
        consequence=item.consequence.label,
        notes=(*notes(item), *(f"Caution: {danger.lower()}" for danger in dangers)),
    )


def _accused(place: LeakPlace) -> str:
    return f"{place.points_to}. {place.action}".strip() if place.action else place.points_to


def _step(step: AnyStep, number: int) -> StepLine:
    places = step.places if isinstance(step, ExternalTightnessStep | SeatTightnessStep) else ()
    return StepLine(
        key=step.key,
        number=number,
        title=step.title,
        kind=STEP_KINDS[step.kind],
        how=step.how,
        asks=step_asks(step),
        on_fail=step.on_fail,
        causes=step.causes,
        places=tuple(Fact(f"Oil shows {place.label}", _accused(place)) for place in places),
    )

"""A limit sheet with a fault is not approved; each fault is told with its place."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from service.workshop.limit_sheet import Assembly, LimitSheet, SizeLimits
from service.workshop.sheet_checks import SheetFault, sheet_faults
from service.workshop.test_plan import (
    AnyStep,
    EmissionStep,
    ExternalTightnessStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    VentStep,
)
from service.workshop.vocabulary import Disposition, FindingOutcome
from tests.longer_plan import FLUSH, LEAKAGE, LONGER_SHEET, PLACES
from tests.small_sheet import PARTS, PLAN, SMALL_SHEET


def changed(**fields: Any) -> LimitSheet:
    return replace(SMALL_SHEET, **fields)


def item(key: str, **fields: Any) -> LimitSheet:
    """The sheet with one characteristic changed."""
    return changed(
        characteristics=tuple(replace(c, **fields) if c.key == key else c for c in SMALL_SHEET.characteristics)
    )


def part(key: str, **fields: Any) -> LimitSheet:
    return changed(parts=tuple(replace(p, **fields) if p.key == key else p for p in PARTS))


def plan(**fields: Any) -> LimitSheet:
    return changed(test_plan=replace(PLAN, **fields))


def step(key: str, **fields: Any) -> LimitSheet:
    return plan(steps=tuple(replace(s, **fields) if s.key == key else s for s in PLAN.steps))


def with_step(one: AnyStep, **fields: Any) -> LimitSheet:
    return plan(steps=(*PLAN.steps, replace(one, **fields)))


def without(kind: type) -> LimitSheet:
    return plan(steps=tuple(s for s in PLAN.steps if not isinstance(s, kind)))


def finding(key: str, outcome: FindingOutcome) -> LimitSheet:
    choices = SMALL_SHEET.characteristic_by_key[key].findings  # type: ignore[union-attr]
    return item(key, findings=tuple(replace(choice, outcome=outcome) for choice in choices))


TWICE = (*SMALL_SHEET.characteristics, SMALL_SHEET.characteristics[0])
SEAT_FINDINGS = SMALL_SHEET.characteristic_by_key["needle-seat"].findings  # type: ignore[union-attr]

FAULTS: list[tuple[str, str, Callable[[], LimitSheet]]] = [
    ("title", "Give a title", lambda: changed(title=" ")),
    ("document_reference", "maker's document", lambda: changed(document_reference="")),
    ("document_revision", "maker's document", lambda: changed(document_revision="")),
    ("parts.body", "used 2 times", lambda: changed(parts=(*PARTS, PARTS[0]))),
    ("parts.body", "used 2 times", lambda: changed(assemblies=(Assembly(key="body", name="Body again"),))),
    ("characteristics.body-cracks", "used 2 times", lambda: changed(characteristics=TWICE)),
    ("torques.nut", "used 2 times", lambda: changed(torques=SMALL_SHEET.torques * 2)),
    ("test_plan.steps.vent", "used 2 times", lambda: plan(steps=(*PLAN.steps, PLAN.steps[0]))),
    ("parts", "List the parts", lambda: changed(parts=())),
    ("characteristics", "List the characteristics", lambda: changed(characteristics=())),
    ("parts", "No seal is listed", lambda: part("seal-ring", seal=False)),
    ("parts.nozzle", "is not listed", lambda: part("nozzle", assembly="pump")),
    ("assemblies.lone", "at least two", lambda: changed(assemblies=(Assembly(key="lone", name="Lone"),))),
    ("characteristics.body-pin", "is not listed", lambda: item("body-pin", part="propeller")),
    ("characteristics.body-pin", "A seal is renewed", lambda: item("body-pin", part="seal-ring")),
    ("characteristics.body-pin", "no matched", lambda: item("body-pin", consequence=Disposition.REPLACE_ASSEMBLY)),
    ("characteristics.body-pin", "needs a consequence", lambda: item("body-pin", consequence=Disposition.KEEP)),
    ("characteristics.body-seat-width", "cannot ask for rework", lambda: item("body-seat-width", replace_only=True)),
    ("characteristics.body-pin", "caution", lambda: item("body-pin", cautions=("sharks",))),
    ("characteristics.spring-rate", "The unit is one of", lambda: item("spring-rate", unit="furlong")),
    ("characteristics.spring-rate", "At least one reading", lambda: item("spring-rate", readings=0)),
    ("characteristics.spring-rate", "one reading repeats nothing", lambda: item("spring-rate", repeats=True)),
    ("characteristics.spring-rate", "kinds of instrument", lambda: item("spring-rate", instruments=())),
    ("characteristics.spring-rate", "Give at least one limit", lambda: item("spring-rate", limits=SizeLimits())),
    (
        "characteristics.spring-rate",
        "is above the upper",
        lambda: item("spring-rate", limits=SizeLimits(lower=D(9), upper=D(8))),
    ),
    (
        "characteristics.needle-guide",
        "no tolerance class I",
        lambda: item("needle-guide", limits=SizeLimits(designation="25 I7")),
    ),
    ("characteristics.nozzle-holes", "1 to 40 spray holes", lambda: item("nozzle-holes", holes=0)),
    (
        "characteristics.nozzle-holes",
        "smallest to the largest",
        lambda: item("nozzle-holes", pins=(D("0.88"), D("0.85"))),
    ),
    ("characteristics.nozzle-holes", "both be among the pins", lambda: item("nozzle-holes", go_pin=D("0.50"))),
    ("characteristics.nozzle-ovality", "Ovality needs", lambda: item("nozzle-ovality", directions=1)),
    ("characteristics.needle-seat", "a key of its own", lambda: item("needle-seat", findings=SEAT_FINDINGS * 2)),
    ("characteristics.body-cracks", "must be acceptable", lambda: finding("body-cracks", FindingOutcome.REJECT)),
    (
        "characteristics.needle-seat",
        "finding that asks for rework",
        lambda: finding("needle-seat", FindingOutcome.REWORK),
    ),
    ("characteristics.needle-seat", "above the greatest", lambda: item("needle-seat", magnification_min=D(50))),
    ("torques.nut", "0 < lower", lambda: changed(torques=(replace(SMALL_SHEET.torques[0], lower=D(0)),))),
    ("test_plan", "0 < lower", lambda: plan(opening_lower_bar=D(999))),
    ("test_plan", "or none of the three", lambda: plan(spring_rate_n_per_mm=D(200), guide_mm=D(12))),
    ("test_plan", "no pressure lifts", lambda: plan(spring_rate_n_per_mm=D(200), guide_mm=D(6), seat_mm=D(12))),
    ("test_plan", "A disc of 20 mm is none", lambda: plan(discs_mm=(D(20),))),
    ("test_plan", "listed twice", lambda: plan(discs_mm=(D("0.1"), D("0.10")))),
    ("test_plan.steps", "fill and vent", lambda: without(VentStep)),
    ("test_plan.steps", "seat tightness", lambda: without(SeatTightnessStep)),
    ("test_plan.steps", "opening pressure", lambda: without(OpeningPressureStep)),
    ("test_plan.steps", "emission", lambda: without(EmissionStep)),
    ("test_plan.steps", "quick pressure drop", lambda: without(QuickDropStep)),
    ("test_plan.steps", "external tightness", lambda: without(ExternalTightnessStep)),
    ("test_plan.opening", "at least three strokes", lambda: step("opening", strokes_min=2)),
    ("test_plan.seat", "The margin lies", lambda: step("seat", margin_bar=D(0))),
    ("test_plan.seat", "The time lies", lambda: step("seat", hold_s=0)),
    ("test_plan.seat", "a key of its own", lambda: step("seat", places=(PLACES[0], PLACES[0]))),
    ("test_plan.external", "a key of its own", lambda: step("external", places=(PLACES[0], PLACES[0]))),
    (
        "test_plan.external",
        "says what it points to",
        lambda: step("external", places=(replace(PLACES[0], points_to=" "),)),
    ),
    ("test_plan.external", "The pressure lies", lambda: step("external", pressure_bar=D(0))),
    ("test_plan.flush", "The time lies", lambda: with_step(FLUSH, flush_s=0)),
    ("test_plan.leakage", "The time lies", lambda: with_step(LEAKAGE, time_s=3601)),
    ("test_plan.leakage", "while the valve is shut", lambda: with_step(LEAKAGE, pressure_bar=D(350))),
    ("test_plan.leakage", "The largest volume", lambda: with_step(LEAKAGE, volume_max_ml=D(0), volume_min_ml=None)),
    ("test_plan.leakage", "The least volume", lambda: with_step(LEAKAGE, volume_min_ml=D(10))),
    ("test_plan.leakage", "The least volume", lambda: with_step(LEAKAGE, volume_min_ml=D(0))),
    ("discs_added_max", "0 to 20", lambda: changed(discs_added_max=21)),
    ("overhaul_hours", "100 to 100\N{NO-BREAK SPACE}000", lambda: changed(overhaul_hours=99)),
    ("overhaul_hours", "100 to 100\N{NO-BREAK SPACE}000", lambda: changed(overhaul_hours=100_001)),
]


def test_the_small_sheet_has_no_fault() -> None:
    assert sheet_faults(SMALL_SHEET) == ()
    assert sheet_faults(LONGER_SHEET) == ()


@pytest.mark.parametrize(("place", "words", "spoilt"), FAULTS, ids=lambda one: one if isinstance(one, str) else "")
def test_each_fault_is_told_with_its_place(place: str, words: str, spoilt: Callable[[], LimitSheet]) -> None:
    faults = sheet_faults(spoilt())
    assert [fault for fault in faults if fault.place == place and words in fault.sentence], faults


def test_every_fault_is_listed_at_once() -> None:
    sheet = changed(title="", document_reference="", torques=(replace(SMALL_SHEET.torques[0], lower=D(0)),))
    assert sheet_faults(sheet) == (
        SheetFault("title", "Give a title."),
        SheetFault("document_reference", "Give the maker's document that these limits come from."),
        SheetFault("torques.nut", "The torque needs 0 < lower ≤ upper, in N·m."),
    )

"""The small sheet with the roundness of the needle's guide, a roundness instrument, and profiles. All invented."""

import math
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal as D

from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Actor, Shop
from service.records.registers import draft_sheet, type_by_code
from service.records.sheet_file import sheet_to_json
from service.workshop.limit_sheet import LimitSheet, RoundnessCharacteristic
from service.workshop.measurements import InstrumentUse, RoundnessMeasurement
from service.workshop.vocabulary import Disposition, InstrumentKind, ProfileColumns, RoundnessReference
from tests.registered_fleet import register_instrument
from tests.small_sheet import CALIBRATED_ON, DUE, INSTRUMENTS, SMALL_SHEET, TYPE_CODE

KEY = "needle-roundness"
RADIUS_MM = 3.0
ROUNDNESS = RoundnessCharacteristic(
    key=KEY,
    part="needle",
    title="Roundness of the needle's guide",
    how="Turn the needle once in the instrument.",
    consequence=Disposition.REPLACE_ASSEMBLY,
    limit=D("0.004"),
    instruments=(InstrumentKind.ROUNDNESS_INSTRUMENT, InstrumentKind.MICROMETER),
)
ROUND_SHEET = replace(SMALL_SHEET, document_revision="B", characteristics=(*SMALL_SHEET.characteristics, ROUNDNESS))
FORM_TESTER = InstrumentUse(
    code="ROUND-1",
    kind=InstrumentKind.ROUNDNESS_INSTRUMENT,
    expanded_uncertainty=D("0.0004"),
    unit="mm",
    calibration="CAL-ROUND-1",
    due=DUE,
    calibrated_on=CALIBRATED_ON,
    resolution=D("0.00001"),
    lower=D(0),
    upper=D("0.1"),
)


def with_roundness(
    reference: RoundnessReference = RoundnessReference.MINIMUM_ZONE, cutoff_upr: int | None = None
) -> RoundnessCharacteristic:
    """The same characteristic, judged about another circle or after a filter."""
    return replace(ROUNDNESS, reference=reference, cutoff_upr=cutoff_upr)


def points_of(
    lobes_um: Mapping[int, float],
    count: int = 72,
    *,
    at: tuple[float, float] = (0.0, 0.0),
    turned_deg: float = 0.0,
    radius_mm: float = RADIUS_MM,
) -> list[tuple[float, float]]:
    """Points of a section with those amplitudes in µm by undulations per revolution; RONt of one is twice as large."""
    found = []
    for step in range(count):
        turn = math.tau * step / count
        radius = radius_mm + sum(um / 1000 * math.cos(upr * turn) for upr, um in lobes_um.items())
        to = turn + math.radians(turned_deg)
        found.append((at[0] + radius * math.cos(to), at[1] + radius * math.sin(to)))
    return found


def text_of(points: list[tuple[float, float]]) -> str:
    """Points as an instrument writes them, to a nanometre."""
    return "\n".join(f"{x:.6f};{y:.6f}" for x, y in points)


def profile(lobes_um: Mapping[int, float], instrument: InstrumentUse = FORM_TESTER) -> RoundnessMeasurement:
    """A measured section."""
    return RoundnessMeasurement(columns=ProfileColumns.POINTS, rows=text_of(points_of(lobes_um)), instrument=instrument)


ROUND, THREE_LOBED, NEAR = profile({2: 0.5}), profile({3: 4.0}), profile({3: 1.9})
"""Deviations of 1, 8 and 3.8 µm against 4 µm with U = 0.4 µm: conforms, fails, is not proven."""
BY_MICROMETER = profile({2: 0.5}, INSTRUMENTS["MIC-1"])


def put_in_force(shop: Shop, manager: Actor, sheet: LimitSheet = ROUND_SHEET) -> None:
    """Approve the sheet as the type's next revision, and register the roundness instrument."""
    import_sheet(shop, manager, sheet_to_json(sheet), type_code=TYPE_CODE)
    with shop.store.reading() as session:
        kind = type_by_code(session, TYPE_CODE)
        draft = draft_sheet(session, kind.id or 0) if kind else None
    assert draft is not None
    approve_draft(shop, manager, type_code=TYPE_CODE, version=draft.version)
    register_instrument(shop, manager, FORM_TESTER)

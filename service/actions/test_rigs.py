"""The register of test rigs: adding a rig, correcting its card, taking it out of use."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlmodel import Session, col, delete

from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop, require
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.records.journal import append_journal
from service.records.registers import instrument_by_code
from service.records.rig_reads import gauges_of, rig_row
from service.records.tables import RigGauge, TestRigRow
from service.workshop.test_rig import HIGHEST_BAR, LONGEST_S, PRESSURE_UNITS, BlankedLine, ClampSprings
from service.workshop.vocabulary import InstrumentKind, Role

_MOST_SPRINGS, _LONGEST_DAYS = 20, 3650
_LARGEST_N, _LARGEST_CM3 = Decimal(1_000_000), Decimal(10_000)


@dataclass(frozen=True, kw_only=True)
class RigCard:
    """What a manager states of a rig. `springs` None: it clamps without springs."""

    code: str
    description: str
    unit: str
    gauges: tuple[str, ...]
    line: BlankedLine
    springs: ClampSprings | None
    oil_days: int | None
    volume_cm3: Decimal | None
    in_use: bool = True


def save_test_rig(shop: Shop, actor: Actor, card: RigCard, *, version: int | None = None) -> str:
    """Add a rig (`version` None) or correct the one that the person saw at `version`; gives its code.

    Raises Refused or MetrologyError by the field, NotFound, Conflict.
    """
    require(actor, Role.MANAGER)
    code = card.code.strip().upper()
    _check_card(code, card)
    with shop.store.change() as session:
        row = rig_row(session, code, lock=True)
        before = None if row is None else as_journalled(session, row)
        if row is None:
            if version is not None:
                raise NotFound("no-rig", f"There is no test rig {code}.")
            row = TestRigRow(
                code=code, description="", unit="", line_pressure_bar="", line_hold_s=0, line_drop_max_bar="",
                springs=0, in_use=True,
            )  # fmt: skip
        elif version is None:
            raise Refused("code-taken", f"{code} is in the register already.", "code")
        else:
            _check_version(session, row, version)
            row.version += 1
        _put(row, card)
        session.add(row)
        session.flush()
        _put_gauges(session, row, card.gauges)
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="test-rig",
            subject=("test_rig", code),
            before=before,
            after=as_journalled(session, row),
        )
        return code


def locked_rig(session: Session, code: str) -> TestRigRow:
    """The rig for a change. Raises NotFound."""
    row = rig_row(session, code.strip().upper(), lock=True)
    if row is None:
        raise NotFound("no-rig", f"There is no test rig {code}.")
    return row


def as_journalled(session: Session, row: TestRigRow) -> dict[str, Any]:
    """The rig's card with its gauges as the journal keeps it."""
    return row.model_dump(mode="json", exclude={"id"}) | {"gauges": " ".join(gauges_of(session, row))}


def _check_card(code: str, card: RigCard) -> None:
    if not code or len(code) > 20:
        raise Refused("code", "Give the rig a code of up to 20 characters, as it is marked.", "code")
    if len(card.description) > 200:
        raise Refused("description", "Keep the description to 200 characters.", "description")
    if card.unit not in PRESSURE_UNITS:
        raise Refused("unit", f"The dial shows {', '.join(PRESSURE_UNITS[:-1])} or {PRESSURE_UNITS[-1]}.", "unit")
    check_magnitude(card.line.pressure_bar, Decimal(1), HIGHEST_BAR, "line_pressure_bar", "bar")
    check_magnitude(card.line.drop_max_bar, Decimal(0), card.line.pressure_bar, "line_drop_max_bar", "bar")
    if not 1 <= card.line.hold_s <= LONGEST_S:
        raise Refused("hold", f"Say for how many seconds the line is held, 1 to {LONGEST_S}.", "line_hold_s")
    if card.springs is not None:
        if not 1 <= card.springs.count <= _MOST_SPRINGS:
            raise Refused("springs", f"Say how many clamp springs there are, 0 to {_MOST_SPRINGS}.", "springs")
        check_magnitude(card.springs.lower_n, Decimal(0), _LARGEST_N, "spring_lower_n", "N")
        check_magnitude(card.springs.upper_n, Decimal(0), _LARGEST_N, "spring_upper_n", "N")
        if card.springs.lower_n > card.springs.upper_n:
            raise Refused("spring-band", "The least force is above the greatest: exchange them.", "spring_lower_n")
    if card.oil_days is not None and not 1 <= card.oil_days <= _LONGEST_DAYS:
        raise Refused("oil-days", f"Say how many days the oil lasts, 1 to {_LONGEST_DAYS}, or nothing.", "oil_days")
    if card.volume_cm3 is not None:
        check_magnitude(card.volume_cm3, Decimal("0.1"), _LARGEST_CM3, "volume_cm3", "cm³")


def _put(row: TestRigRow, card: RigCard) -> None:
    row.description, row.unit, row.in_use = card.description.strip(), card.unit, card.in_use
    row.line_pressure_bar, row.line_hold_s = plain(card.line.pressure_bar), card.line.hold_s
    row.line_drop_max_bar = plain(card.line.drop_max_bar)
    row.springs = 0 if card.springs is None else card.springs.count
    row.spring_lower_n = None if card.springs is None else plain(card.springs.lower_n)
    row.spring_upper_n = None if card.springs is None else plain(card.springs.upper_n)
    row.oil_days, row.volume_cm3 = card.oil_days, None if card.volume_cm3 is None else plain(card.volume_cm3)


def _put_gauges(session: Session, row: TestRigRow, codes: Iterable[str]) -> None:
    """Make these the gauges of the rig."""
    ids = [_pressure_gauge(session, code) for code in sorted({code.strip().upper() for code in codes})]
    if not ids:
        raise Refused("no-gauge", "Choose at least one pressure gauge of the rig.", "gauges")
    session.exec(delete(RigGauge).where(col(RigGauge.rig_id) == row.id))
    session.add_all(RigGauge(rig_id=row.id or 0, instrument_id=one) for one in ids)
    session.flush()


def _pressure_gauge(session: Session, code: str) -> int:
    found = instrument_by_code(session, code)
    if found is None or found.id is None:
        raise Refused("no-instrument", f"{code} is not in the register of instruments: choose from the list.", "gauges")
    if found.kind != InstrumentKind.PRESSURE_GAUGE.value:
        raise Refused("instrument-kind", f"{code} is no pressure gauge: choose from the list.", "gauges")
    return found.id


def _check_version(session: Session, row: TestRigRow, version: int) -> None:
    if row.version != version:
        told = ", ".join(f"{name} {value}" for name, value in as_journalled(session, row).items() if value is not None)
        raise Conflict("changed", "Somebody changed this rig since you opened it.", (told.replace("_", " "),))

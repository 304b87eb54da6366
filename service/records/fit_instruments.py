"""Which instruments of the register may be used today, for the lists at the bench."""

from dataclasses import dataclass
from datetime import date

from sqlmodel import Session, col, select

from service.records.tables import Instrument
from service.workshop.vocabulary import InstrumentKind


@dataclass(frozen=True, slots=True)
class FitInstrument:
    """An instrument in use, of the right kind and unit, its calibration not run out."""

    code: str
    description: str
    expanded_uncertainty: str
    unit: str
    due: date

    @property
    def label(self) -> str:
        """Words for a list."""
        uncertainty = f"U = {self.expanded_uncertainty} {self.unit}"
        return " · ".join(word for word in (self.code, self.description, uncertainty) if word)


def fit_instruments(session: Session, kind: InstrumentKind, unit: str, on: date) -> tuple[FitInstrument, ...]:
    """Those fit for a reading in `unit` on that day, by code."""
    found = session.exec(
        select(Instrument)
        .where(
            Instrument.kind == kind.value,
            Instrument.unit == unit,
            Instrument.due >= on,
            col(Instrument.active).is_(True),
        )
        .order_by(col(Instrument.code))
    )
    return tuple(FitInstrument(row.code, row.description, row.expanded_uncertainty, row.unit, row.due) for row in found)

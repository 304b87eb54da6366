"""Whether something could be recorded now, asked of the one table of transitions before a form is shown."""

from datetime import date
from decimal import Decimal

from service.workshop.entries import BenchRunStarted, Content
from service.workshop.measurements import InstrumentUse
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import STAGES_FOR, NotPermitted, check_permitted
from service.workshop.stages import stage_of
from service.workshop.vocabulary import InstrumentKind, RunPurpose


def refusal_of(record: OverhaulRecord, content: Content) -> str:
    """Why the content could not be recorded now, with the remedy; empty where it could."""
    try:
        check_permitted(record, content)
    except NotPermitted as error:
        return error.sentence
    return ""


def stage_allows(record: OverhaulRecord, kind: type) -> bool:
    """Whether entries of that kind have a place at this stage and nothing holds the injector."""
    return record.held is None and stage_of(record) in STAGES_FOR[kind]


def run_asked(purpose: RunPurpose) -> BenchRunStarted:
    """A run to ask with and never to store: whether one may start does not hang on its gauge."""
    gauge = InstrumentUse(
        code="",
        kind=InstrumentKind.PRESSURE_GAUGE,
        expanded_uncertainty=Decimal(0),
        unit="bar",
        calibration="",
        due=date.max,
    )
    return BenchRunStarted(purpose=purpose, gauge=gauge)

"""What people do to one injector, through the actions only; each form has a key of its own."""

import itertools
from datetime import date

from sqlmodel import select

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.examining import (
    Measure,
    ovality_reading,
    pin_reading,
    record_examination,
    record_strip,
    size_reading,
    visual_finding,
    yes_no_answer,
)
from service.actions.rebuilding import fit_part, record_rework, record_torque
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.recording import Form, Recorded
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.records.overhaul_store import LoadedOverhaul, load_overhaul
from service.records.tables import JournalRow, Overhaul
from service.workshop.disposition import propose
from service.workshop.entries import PartFound
from service.workshop.measurements import (
    Measurement,
    OvalityMeasurement,
    PinMeasurement,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.rebuild import rebuild_gaps
from service.workshop.vocabulary import Fuel, Packing, PartState, Phase, RunPurpose, SendReason, Stage
from tests.registered_fleet import Fleet
from tests.small_findings import PASSING, SOUND
from tests.small_sheet import SMALL_SHEET

_keys = itertools.count(1)


def key() -> str:
    """A form key never used before."""
    return f"form-{next(_keys):06d}"


def injector(fleet: Fleet, serial: str, cylinder: int = 1, engine_id: int | None = None) -> InjectorReceived:
    """One injector as it is identified."""
    return InjectorReceived(
        serial=serial,
        engine_id=fleet.engine_id if engine_id is None else engine_id,
        cylinder=cylinder,
        running_hours=8000,
        fuel=Fuel.RESIDUAL,
        reason=SendReason.PLANNED,
        packing=Packing.SOUND,
    )


def receive(shop: Shop, fleet: Fleet, *serials: str) -> tuple[str, ...]:
    """A consignment from the first fleet's vessel; gives the overhauls' numbers."""
    injectors = tuple(injector(fleet, serial) for serial in serials or ("A-1",))
    return receive_consignment(
        shop, fleet.technician, imo=fleet.imo, due_on=date(2026, 4, 1), injectors=injectors, form_key=key()
    ).overhauls


def loaded(shop: Shop, number: str) -> LoadedOverhaul:
    """The overhaul as it stands."""
    with shop.store.reading() as session:
        found = load_overhaul(session, number)
    assert found is not None
    return found


def form(shop: Shop, number: str) -> Form:
    """A fresh form that has seen everything."""
    with shop.store.reading() as session:
        seen = session.exec(select(Overhaul.last_seq).where(Overhaul.number == number)).first()
    return Form(key(), seen or 0)


def strip(shop: Shop, fleet: Fleet, number: str) -> Recorded:
    """Everything came out freely."""
    parts = tuple(PartFound(part=part.key, state=PartState.FREE) for part in SMALL_SHEET.parts if not part.seal)
    return record_strip(shop, fleet.technician, number, form(shop, number), parts=parts, seals_discarded=True)


def as_typed(shop: Shop, measured: Measurement) -> Measure:
    """The measurement as a form gives it."""
    match measured:
        case SizeMeasurement():
            return size_reading(shop, measured.readings, measured.instrument.code)
        case PinMeasurement():
            return pin_reading(shop, measured.passes, measured.instrument.code)
        case OvalityMeasurement():
            return ovality_reading(shop, measured.diameters, measured.instrument.code)
        case VisualMeasurement():
            code = measured.instrument.code if measured.instrument else ""
            return visual_finding(shop, measured.findings, measured.magnification, code, measured.remark)
        case YesNoMeasurement():
            return yes_no_answer(measured.answer)


def examine(
    shop: Shop, fleet: Fleet, number: str, characteristic: str, measured: Measurement, phase: Phase = Phase.FOUND
) -> Recorded:
    """Record one characteristic."""
    return record_examination(
        shop,
        fleet.technician,
        number,
        form(shop, number),
        characteristic=characteristic,
        phase=phase,
        measure=as_typed(shop, measured),
    )


def examine_all(shop: Shop, fleet: Fleet, number: str, found: dict[str, Measurement] | None = None) -> None:
    """Record every characteristic of the sheet."""
    for item in SMALL_SHEET.characteristics:
        examine(shop, fleet, number, item.key, {**SOUND, **(found or {})}[item.key])


def rebuild(shop: Shop, fleet: Fleet, number: str) -> None:
    """Do every task that is left."""
    while gaps := rebuild_gaps((record := loaded(shop, number).record), propose(record)):
        task, blank = gaps[0], form(shop, number)
        match task.kind:
            case "fit":
                fit_part(shop, fleet.technician, number, blank, item=task.key, batch="B-1")
            case "rework":
                record_rework(shop, fleet.technician, number, blank, part=task.key, method="Ground.")
            case "recheck":
                examine(shop, fleet, number, task.key, SOUND[task.key], Phase.AFTER_REWORK)
            case _:
                torque(shop, fleet, number, blank)


def torque(shop: Shop, fleet: Fleet, number: str, blank: Form | None = None, wrench: str = "WRENCH-1") -> Recorded:
    """Tighten the nut."""
    value = SMALL_SHEET.torques[0].lower + 10
    blank = blank or form(shop, number)
    return record_torque(shop, fleet.technician, number, blank, point="nut", value=value, wrench=wrench)


def prove(shop: Shop, fleet: Fleet, number: str) -> int:
    """A whole passing run; gives its number."""
    started = start_bench_run(
        shop, fleet.technician, number, form(shop, number), purpose=RunPurpose.PROVING, gauge="GAUGE-1"
    )
    for step in SMALL_SHEET.test_plan.steps:
        record_bench_step(
            shop,
            fleet.technician,
            number,
            form(shop, number),
            run=started.seq,
            step=step.key,
            result=PASSING[step.key],
        )
    return started.seq


def bring_to(shop: Shop, fleet: Fleet, stage: Stage, found: dict[str, Measurement] | None = None) -> str:
    """An injector brought to that stage; gives its overhaul's number."""
    number = receive(shop, fleet)[0]
    steps = {
        Stage.STRIPPED: lambda: strip(shop, fleet, number),
        Stage.EXAMINED: lambda: examine_all(shop, fleet, number, found),
        Stage.AGREED: lambda: settle_as_proposed(shop, fleet.technician, number, form(shop, number)),
        Stage.REBUILT: lambda: rebuild(shop, fleet, number),
        Stage.PROVED: lambda: prove(shop, fleet, number),
    }
    for reached, step in steps.items():
        if list(Stage).index(reached) <= list(Stage).index(stage):
            step()
    return number


def newest_journal_row(shop: Shop) -> JournalRow:
    """The last thing that was journalled."""
    with shop.store.reading() as session:
        return session.exec(select(JournalRow).order_by(JournalRow.id.desc())).first()  # type: ignore[union-attr,return-value]


def entry_count(shop: Shop, number: str) -> int:
    """How many entries the overhaul has."""
    return len(loaded(shop, number).record.entries)

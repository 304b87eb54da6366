"""An injector brought to a stage by the actions, so that a page's test starts where its page does. All invented."""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.examining import record_examination, record_strip
from service.actions.looking import look_at_overhaul
from service.actions.rebuilding import fit_part, record_torque
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.recording import Form
from service.actions.settling import settle_as_proposed
from service.actions.shop import Actor, Shop
from service.workshop.disposition import propose
from service.workshop.entries import PartFound
from service.workshop.measurements import Measurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.rebuild import rebuild_gaps
from service.workshop.stages import stage_of
from service.workshop.step_results import StepResult
from service.workshop.vocabulary import Fuel, Packing, PartState, Phase, RunPurpose, SendReason, Stage
from tests.registered_fleet import Fleet
from tests.small_findings import PASSING, SOUND

_KEYS = itertools.count(1)


@dataclass
class Injector:
    """One overhaul with the technician at it."""

    shop: Shop
    technician: Actor
    number: str

    @property
    def address(self) -> str:
        """Of its pages."""
        return f"/overhauls/{self.number}"

    @property
    def record(self) -> OverhaulRecord:
        """As it stands."""
        return look_at_overhaul(self.shop, self.technician, self.number).record

    @property
    def stage(self) -> Stage:
        """How far it is."""
        return stage_of(self.record)

    def form(self) -> Form:
        """A fresh form that has seen everything."""
        return Form(f"setup-{next(_KEYS):06d}", self.record.last_seq)

    def examine(self, key: str, measurement: Measurement, phase: Phase = Phase.FOUND) -> None:
        """One characteristic."""
        record_examination(
            self.shop,
            self.technician,
            self.number,
            self.form(),
            characteristic=key,
            phase=phase,
            measure=lambda session, item: measurement,
        )

    def examined(self, **instead: Measurement) -> "Injector":
        """Stripped and examined; other findings by their key, with _ for -."""
        found = tuple(
            PartFound(part=part.key, state=PartState.FREE) for part in self.record.sheet.parts if not part.seal
        )
        record_strip(self.shop, self.technician, self.number, self.form(), parts=found, seals_discarded=True)
        others: Mapping[str, Measurement] = {key.replace("_", "-"): one for key, one in instead.items()}
        for key, measurement in (SOUND | others).items():
            self.examine(key, measurement)
        return self

    def rebuilt(self) -> "Injector":
        """Examined without a defect, settled as proposed, everything fitted and tightened."""
        self.examined()
        settle_as_proposed(self.shop, self.technician, self.number, self.form())
        self.finish_rebuild()
        return self

    def finish_rebuild(self) -> None:
        """Do what is open."""
        while gaps := rebuild_gaps(record := self.record, propose(record)):
            if gaps[0].kind == "fit":
                fit_part(self.shop, self.technician, self.number, self.form(), item=gaps[0].key, batch="B-1")
            else:
                point = next(one for one in record.sheet.torques if one.key == gaps[0].key)
                record_torque(
                    self.shop,
                    self.technician,
                    self.number,
                    self.form(),
                    point=point.key,
                    value=(point.lower + point.upper) / 2,
                    wrench="WRENCH-1",
                )

    def tested(self, **instead: StepResult) -> int:
        """A proving run to its end or its first failure; gives its number."""
        run = start_bench_run(
            self.shop, self.technician, self.number, self.form(), purpose=RunPurpose.PROVING, gauge="GAUGE-1"
        ).seq
        for step, result in (PASSING | instead).items():
            made = record_bench_step(
                self.shop, self.technician, self.number, self.form(), run=run, step=step, result=result
            )
            if not made.content.outcome.passed:  # type: ignore[union-attr]
                break
        return run


def received(shop: Shop, fleet: Fleet, serial: str = "SN-1001") -> Injector:
    """One injector out of its crate."""
    made = receive_consignment(
        shop,
        fleet.technician,
        imo=fleet.imo,
        due_on=date(2026, 3, 20),
        form_key=f"crate-{next(_KEYS):06d}",
        injectors=(
            InjectorReceived(
                serial=serial,
                engine_id=fleet.engine_id,
                cylinder=1,
                fuel=Fuel.RESIDUAL,
                reason=SendReason.PLANNED,
                packing=Packing.SOUND,
            ),
        ),
    )
    return Injector(shop, fleet.technician, made.overhauls[0])

"""One invented injector on its way through the shop, every step by the action that a person would take."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from seed_demo.clock import Clock
from seed_demo.instruments import USUAL
from seed_demo.logged_traces import Logged
from seed_demo.readings import opening, passing, sound
from seed_demo.rigs import GAUGES, USUAL_RIG, check_before_the_first_run
from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.examining import Measure, record_examination, record_strip
from service.actions.rebuilding import fit_part, record_rework, record_torque
from service.actions.recording import Form, Recorded, load_in_scope
from service.actions.settling import settle_as_proposed
from service.actions.shop import Actor, Shop
from service.workshop.disposition import propose
from service.workshop.entries import BenchStepRecorded, PartFound
from service.workshop.limit_sheet import AnyCharacteristic, LimitSheet
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.rebuild import RebuildTask, rebuild_gaps
from service.workshop.stages import unexamined
from service.workshop.step_results import StepResult
from service.workshop.test_plan import OpeningPressureStep
from service.workshop.vocabulary import InstrumentKind, PartState, Phase, RunPurpose


@dataclass
class Passage:
    """One overhaul with the technician at it; each method goes as far as its name says."""

    shop: Shop
    clock: Clock
    number: str
    technician: Actor
    variant: int = 0
    _keys: int = field(default=0, init=False)

    def form(self) -> Form:
        """A fresh form that has seen everything recorded so far."""
        self._keys += 1
        seen = self.shop.store.rows("SELECT last_seq FROM overhaul WHERE number = ?", (self.number,))[0][0]
        return Form(f"demo-{self.number}-{self._keys:03d}", seen)

    @property
    def record(self) -> OverhaulRecord:
        """The record as it stands."""
        with self.shop.store.reading() as session:
            return load_in_scope(session, self.technician, self.number).record

    @cached_property
    def sheet(self) -> LimitSheet:
        """The limit sheet that the overhaul is pinned to."""
        return self.record.sheet

    def item(self, key: str) -> AnyCharacteristic:
        """The characteristic with that key."""
        return self.sheet.characteristic_by_key[key]

    def strip(self, states: Mapping[str, PartState] | None = None, remark: str = "") -> None:
        """Every part out freely, apart from those in `states`."""
        self.clock.wait(25)
        found = tuple(
            PartFound(part=part.key, state=(states or {}).get(part.key, PartState.FREE))
            for part in self.sheet.parts
            if not part.seal
        )
        record_strip(
            self.shop, self.technician, self.number, self.form(), parts=found, seals_discarded=True, remark=remark
        )

    def examine(self, defects: Mapping[str, Measure] | None = None, *, stop_after: int | None = None) -> None:
        """Examine in the sheet's order, with the given defects; `stop_after` leaves the rest unexamined."""
        still_open, rejected = self._unexamined(), False
        for item in self.sheet.characteristics[:stop_after]:
            if item.key not in still_open:
                continue
            found = (defects or {}).get(item.key)
            self.measure(item, found or sound(self.shop, item, self.variant))
            rejected = rejected or found is not None
            if rejected:  # such a part may take its whole assembly along, which is not examined further then
                still_open = self._unexamined()

    def _unexamined(self) -> tuple[str, ...]:
        record = self.record
        return unexamined(record, propose(record))

    def measure(self, item: AnyCharacteristic, measure: Measure, phase: Phase = Phase.FOUND) -> Recorded:
        """Record one characteristic."""
        self.clock.wait(4)
        return record_examination(
            self.shop,
            self.technician,
            self.number,
            self.form(),
            characteristic=item.key,
            phase=phase,
            measure=measure,
        )

    def settle(self) -> None:
        """Confirm what the rules propose, part by part."""
        self.clock.wait(5)
        settle_as_proposed(self.shop, self.technician, self.number, self.form())

    def rebuild(self) -> None:
        """Do every task that is open, the threads last."""
        while gaps := rebuild_gaps(record := self.record, propose(record)):
            self.clock.wait(6)
            self._do(gaps[0])

    def _do(self, task: RebuildTask) -> None:
        form = self.form()
        match task.kind:
            case "fit":
                batch = self._batch(task.key)
                fit_part(self.shop, self.technician, self.number, form, item=task.key, batch=batch)
            case "rework":
                method = "Ground flat and cleaned, sharp edges broken"
                record_rework(self.shop, self.technician, self.number, form, part=task.key, method=method)
            case "recheck":
                item = self.item(task.key)
                self.measure(item, sound(self.shop, item, self.variant), Phase.AFTER_REWORK)
            case _:
                point = next(one for one in self.sheet.torques if one.key == task.key)
                middle = (point.lower + point.upper) / 2
                wrench = USUAL[InstrumentKind.TORQUE_WRENCH]
                record_torque(
                    self.shop, self.technician, self.number, form, point=point.key, value=middle, wrench=wrench
                )

    def _batch(self, item: str) -> str:
        """Seals come by the bag, one for all injectors of a quarter; every other part has a number of its own."""
        if any(part.key == item and part.seal for part in self.sheet.parts):
            now = self.clock()
            return f"INV-SEALS-{now:%Y}-Q{(now.month + 2) // 3}"
        return f"INV-{self.number[-4:]}-{item[:12].upper()}"

    def test(
        self,
        results: Mapping[str, StepResult] | None = None,
        *,
        purpose: RunPurpose = RunPurpose.PROVING,
        stop_after: int | None = None,
        rig: str = USUAL_RIG,
        logged: Logged | None = None,
    ) -> None:
        """Run the test plan, with the given results; it ends at the first step that fails.

        A `logged` file is kept at the opening pressure, and its strokes are the step's when it is that one's turn.
        """
        self.clock.wait(15)
        check_before_the_first_run(self.shop, self.technician, rig)
        gauge = GAUGES[rig]
        run = start_bench_run(self.shop, self.technician, self.number, self.form(), purpose=purpose, gauge=gauge).seq
        plan = self.sheet.test_plan
        for step in plan.steps[:stop_after]:
            self.clock.wait(3)
            result = (results or {}).get(step.key) or passing(plan, step, self.variant)
            if logged is not None and isinstance(step, OpeningPressureStep):
                result = opening(*self.keep_logged(run, step.key, logged))
            made = record_bench_step(
                self.shop,
                self.technician,
                self.number,
                self.form(),
                run=run,
                step=step.key,
                result=result,
                cylinder=USUAL[InstrumentKind.MEASURING_CYLINDER],
            )
            if isinstance(made.content, BenchStepRecorded) and not made.content.outcome.passed:
                return

    def keep_logged(self, run: int, step: str, logged: Logged) -> tuple[Decimal, ...]:
        """Keep a logger's file at a step; gives the strokes that count."""
        # Arrays load on first use: whoever reads the other stories does not wait for them.
        from seed_demo.kept_traces import keep_logged

        return keep_logged(self.shop, self.technician, self.number, run, step, logged)

    def through(self, defects: Mapping[str, Measure] | None = None, logged: Logged | None = None) -> None:
        """Strip, examine, settle, rebuild and prove: ready to sign where nobody needs to be asked."""
        self.strip()
        self.examine(defects)
        self.settle()
        self.rebuild()
        self.test(logged=logged)

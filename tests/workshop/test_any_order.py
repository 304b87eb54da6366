"""Whatever people record, in any order: no way leads to a release past the rules.

A machine tries entries of every kind at random. It looks at the entries themselves, not at the rules' own answers,
to tell whether the injector was opened after its test or whether a part that stays was never examined.
"""

import contextlib
import random
from collections.abc import Callable
from datetime import date
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from service.metrology.errors import DomainError
from service.workshop.disposition import propose
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    Condemned,
    DiscsChanged,
    Examined,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartFitted,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Returned,
    Stripped,
    Torqued,
)
from service.workshop.permitted import NotPermitted, check_permitted
from service.workshop.rebuild import rebuild_gaps
from service.workshop.release_gate import Blocker
from service.workshop.step_results import QuickDropResult, StepResult, VentResult
from service.workshop.vocabulary import Disposition, PartState, Phase, RunPurpose, Stage
from tests.small_findings import FAILING, PASSING, REJECTED, SOUND
from tests.small_sheet import SMALL_SHEET
from tests.workshop.overhaul_by_hand import ByHand, at_stage

KEYS = st.sampled_from([item.key for item in SMALL_SHEET.characteristics])
PARTS = st.sampled_from([part.key for part in SMALL_SHEET.parts])
ITEMS = st.sampled_from([part.key for part in SMALL_SHEET.parts] + ["nozzle-set"])
CHOICES = st.sampled_from(list(Disposition))
SIGNED = Released(certificate="RC-2026-00001", signed_on=date(2026, 3, 3))
UNCHECKED = st.sampled_from(["", "Rig R-1 had not been checked."])
UNCLEAR: dict[str, StepResult] = {"vent": VentResult(air_free=None), "drop": QuickDropResult(seen=None)}
OPENINGS = (DiscsChanged, Reopened, PartFitted, PartReworked, Torqued)


class AnyOrder(RuleBasedStateMachine):
    """Entries of every kind in any order; refusals are part of the game."""

    @initialize(stage=st.sampled_from([Stage.RECEIVED, Stage.STRIPPED, Stage.EXAMINED, Stage.AGREED, Stage.PROVED]))
    def begin(self, stage: Stage) -> None:
        """Start somewhere on the way."""
        self.hand = at_stage(stage)
        if stage in (Stage.RECEIVED, Stage.STRIPPED):
            self.hand.record = type(self.hand.record)(SMALL_SHEET, frozenset(), self.hand.record.entries)

    def attempt(self, act: Callable[[], Any]) -> None:
        """Do it, or be refused and leave the record as it was."""
        before = self.hand.record.entries
        with contextlib.suppress(DomainError):
            act()
        assert self.hand.record.entries[: len(before)] == before

    @rule(state=st.sampled_from(list(PartState)), part=st.sampled_from(["body", "nozzle", "needle", "spring"]))
    def strip(self, state: PartState, part: str) -> None:
        self.attempt(lambda: self.hand.strip(**{part: state}))

    @rule(key=KEYS, sound=st.booleans(), phase=st.sampled_from(list(Phase)))
    def examine(self, key: str, sound: bool, phase: Phase) -> None:
        self.attempt(lambda: self.hand.examine(key, (SOUND if sound else REJECTED)[key], phase))

    @rule(
        times=st.integers(1, 40),
        rejected=st.sets(KEYS, max_size=2),
        state=st.sampled_from([PartState.FREE, PartState.MISSING]),
        part=st.sampled_from(["body", "nozzle", "spring"]),
        choice=st.none() | st.tuples(PARTS, CHOICES),
    )
    def go_on(
        self,
        times: int,
        rejected: set[str],
        state: PartState,
        part: str,
        choice: tuple[str, Disposition] | None,
    ) -> None:
        """Do what the gate asks for next, so that the machine gets far."""
        for _ in range(times):
            if not self.hand.blockers:
                return
            todo = next((b for b in self.hand.blockers if b.place != "hold"), self.hand.blockers[0])
            self.mend(todo, rejected, {part: state}, choice)

    def mend(
        self,
        todo: Blocker,
        rejected: set[str],
        states: dict[str, PartState],
        choice: tuple[str, Disposition] | None,
    ) -> None:
        found = REJECTED if todo.key in rejected else SOUND
        acts: dict[str, Callable[[], Any]] = {
            "strip": lambda: self.hand.strip(**states),
            "examination": lambda: self.hand.examine(todo.key, found[todo.key]),
            "settlement": lambda: self.settle_one(todo.key, choice),
            "concession": lambda: self.hand.concede(todo.key),
            "agreement": lambda: self.hand.answer(todo.key),
            "rebuild": self.hand.rebuild,
            "proving": self.hand.prove,
        }
        if todo.place in acts:
            self.attempt(acts[todo.place])

    def settle_one(self, part: str, choice: tuple[str, Disposition] | None) -> None:
        if choice is not None and choice[0] == part:
            with contextlib.suppress(DomainError):
                self.hand.settle(part, choice[1], "Weighed.")
                return
        self.hand.settle(part)

    @rule(part=PARTS, chosen=st.none() | CHOICES, reason=st.sampled_from(["", "Weighed."]))
    def settle(self, part: str, chosen: Disposition | None, reason: str) -> None:
        self.attempt(lambda: self.hand.settle(part, chosen, reason))

    @rule(part=PARTS, granted=st.booleans())
    def concede(self, part: str, granted: bool) -> None:
        if part in self.hand.record.settled:
            self.attempt(lambda: self.hand.concede(part, granted))

    @rule(part=PARTS, disposition=CHOICES, accepted=st.booleans())
    def answer(self, part: str, disposition: Disposition, accepted: bool) -> None:
        content = OfficeAnswered(part=part, disposition=disposition, accepted=accepted)
        self.attempt(lambda: self.hand.put(content))

    @rule(part=PARTS)
    def rework(self, part: str) -> None:
        self.attempt(lambda: self.hand.put(PartReworked(part=part, method="Ground.")))

    @rule(item=ITEMS)
    def fit(self, item: str) -> None:
        self.attempt(lambda: self.hand.put(PartFitted(item=item, batch="B-1")))

    @rule(value=st.sampled_from(["100", "80"]))
    def torque(self, value: str) -> None:
        self.attempt(lambda: self.hand.torque(value))

    @rule(added=st.integers(0, 4), removed=st.integers(0, 2))
    def discs(self, added: int, removed: int) -> None:
        self.attempt(lambda: self.hand.discs(added, removed))

    @rule()
    def reopen(self) -> None:
        self.attempt(self.hand.reopen)

    @rule(purpose=st.sampled_from(list(RunPurpose)), indicative=UNCHECKED)
    def start_run(self, purpose: RunPurpose, indicative: str) -> None:
        self.attempt(lambda: self.hand.start_run(purpose, indicative))

    @rule(
        key=st.sampled_from(sorted(PASSING)),
        results=st.sampled_from([PASSING, FAILING, PASSING | UNCLEAR]),
        chance=st.randoms(use_true_random=False),
    )
    def step(self, key: str, results: dict[str, StepResult], chance: random.Random) -> None:
        runs = [seq for seq, _ in self.hand.record.all_of(BenchRunStarted)]
        if runs:
            run = chance.choice(runs)
            self.attempt(lambda: self.hand.step(run, key, results[key]))

    @rule(indicative=UNCHECKED)
    def prove(self, indicative: str) -> None:
        self.attempt(lambda: self.hand.prove(indicative))

    @rule()
    def hold(self) -> None:
        self.attempt(lambda: self.hand.put(Held(reason="Wait.")))

    @rule()
    def lift(self) -> None:
        self.attempt(lambda: self.hand.put(HoldLifted(reason="Go on.")))

    @rule(odds=st.integers(0, 9), condemned=st.booleans())
    def leave(self, odds: int, condemned: bool) -> None:
        if odds == 0:
            self.attempt(
                lambda: self.hand.put(Condemned(reason="Cracked.") if condemned else Returned(reason="Asked."))
            )

    @rule()
    def release(self) -> None:
        self.attempt(lambda: self.hand.put(SIGNED))

    @invariant()
    def the_gate_is_open_exactly_where_signing_is_permitted(self) -> None:
        if hasattr(self, "hand"):
            assert (self.hand.blockers == ()) is permits(self.hand, SIGNED)

    @invariant()
    def a_release_rests_on_a_whole_passed_run_after_the_last_opening(self) -> None:
        if hasattr(self, "hand") and self.hand.stage in (Stage.PROVED, Stage.RELEASED):
            assert passed_after_the_last_opening(self.hand)

    @invariant()
    def a_part_that_stays_was_examined_whole(self) -> None:
        if hasattr(self, "hand") and self.hand.stage in (Stage.PROVED, Stage.RELEASED):
            assert unexamined_parts_that_stay(self.hand) == []

    @invariant()
    def a_part_ground_and_kept_was_measured_afterwards(self) -> None:
        if hasattr(self, "hand") and self.hand.stage in (Stage.PROVED, Stage.RELEASED):
            assert ground_and_not_measured(self.hand) == []

    @invariant()
    def no_more_discs_went_in_than_the_sheet_allows(self) -> None:
        if hasattr(self, "hand"):
            assert self.hand.record.discs_added <= SMALL_SHEET.discs_added_max

    @invariant()
    def every_gap_of_the_rebuild_is_a_blocker(self) -> None:
        if hasattr(self, "hand") and not self.hand.stage.is_exit:
            gaps = rebuild_gaps(self.hand.record, propose(self.hand.record))
            assert {task.key for task in gaps} <= {blocker.key for blocker in self.hand.blockers}


def permits(hand: ByHand, content: Released) -> bool:
    try:
        check_permitted(hand.record, content)
    except NotPermitted:
        return False
    return True


def passed_after_the_last_opening(hand: ByHand) -> bool:
    entries = hand.record.entries
    opened = max((e.seq for e in entries if isinstance(e.content, OPENINGS)), default=0)
    runs = [e.seq for e in entries if isinstance(e.content, BenchRunStarted) and e.seq > opened]
    steps = {
        e.content.step: e.content.outcome.passed
        for e in entries
        if isinstance(e.content, BenchStepRecorded) and runs and e.content.run == runs[-1]
    }
    checked = {e.seq for e in entries if isinstance(e.content, BenchRunStarted) and not e.content.indicative}
    return bool(runs) and runs[-1] in checked and steps == {step.key: True for step in SMALL_SHEET.test_plan.steps}


def newest(hand: ByHand, kind: type, **like: object) -> Any:
    found = [
        e for e in hand.record.entries if isinstance(e.content, kind)
        and all(getattr(e.content, name) == value for name, value in like.items())
    ]  # fmt: skip
    return found[-1] if found else None


def stays(hand: ByHand, part: str) -> bool:
    settled = newest(hand, PartSettled, part=part)
    return settled is None or settled.content.chosen in (Disposition.KEEP, Disposition.REWORK)


def unexamined_parts_that_stay(hand: ByHand) -> list[str]:
    return [
        item.key
        for item in SMALL_SHEET.characteristics
        if stays(hand, item.part) and newest(hand, Examined, characteristic=item.key) is None
    ]


def ground_and_not_measured(hand: ByHand) -> list[str]:
    missing = []
    for item in SMALL_SHEET.characteristics:
        ground = newest(hand, PartReworked, part=item.part)
        again = newest(hand, Examined, characteristic=item.key, phase=Phase.AFTER_REWORK)
        wanted = item.recheck_after_rework and ground is not None and stays(hand, item.part)
        if wanted and (again is None or again.seq < ground.seq):
            missing.append(item.key)
    return missing


TestAnyOrder = AnyOrder.TestCase
TestAnyOrder.settings = settings(
    max_examples=60, stateful_step_count=30, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def test_the_machine_can_reach_a_release() -> None:
    hand = at_stage(Stage.RELEASED)
    assert passed_after_the_last_opening(hand)
    assert unexamined_parts_that_stay(hand) == []
    assert newest(hand, Stripped) is not None

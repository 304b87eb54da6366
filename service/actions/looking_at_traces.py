"""Looking at the pressure traces of a bench run: what is kept, and what it shows."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from sqlmodel import Session

from service.actions.looking import run_and_step
from service.actions.recording import load_in_scope
from service.actions.shop import BENCH, Actor, NotFound, Shop, require
from service.hydraulics.trace.accepted import without
from service.hydraulics.trace.analysis import TraceAnalysis
from service.hydraulics.trace.answer import TraceFound
from service.records.bench_trace_reads import KeptTrace, trace_bytes, traces_of
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.decision_rule import DecisionRule
from service.workshop.proving import BenchRun
from service.workshop.test_plan import AnyStep


@dataclass(frozen=True)
class TraceInRun:
    """A trace with its run and its step, and what is asked of its bytes; they are read only when they are needed."""

    shop: Shop
    loaded: LoadedOverhaul
    kept: KeptTrace
    run: BenchRun
    step: AnyStep
    asked: Mapping[str, str]

    @property
    def content(self) -> bytes:
        """The whole file as it was when the trace was looked at."""
        with self.shop.store.reading() as session:
            return trace_bytes(session, self.kept.id, len(self.kept.digests))

    @property
    def sha256(self) -> str:
        """The digest of the whole file."""
        digests = self.kept.digests
        return digests[0] if len(digests) == 1 else hashlib.sha256(self.content).hexdigest()

    def analysed(self) -> TraceFound:
        """What the trace shows, with every event detected. Raises HydraulicsError where it shows nothing."""
        return self.shop.traces.found(self.kept.digests, self.asked, lambda: self.content)

    def accepted(self, found: TraceFound) -> TraceAnalysis:
        """Only what was not rejected."""
        return without(found.analysis, [one.event for one in self.kept.rejections])


@dataclass(frozen=True)
class TracesOfStep:
    """The traces kept at one step of one run."""

    loaded: LoadedOverhaul
    run: BenchRun
    step: AnyStep
    kept: tuple[KeptTrace, ...]


def look_at_traces(shop: Shop, actor: Actor, number: str, run: int, step: str) -> TracesOfStep:
    """The traces of a step, oldest first. Raises NotFound."""
    require(actor, *BENCH)
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
        found_run, found_step = run_and_step(loaded.record, run, step)
        kept = traces_of(session, loaded.row.id or 0)
    here = tuple(one for one in kept if (one.run, one.step) == (run, step))
    return TracesOfStep(loaded, found_run, found_step, here)


def look_at_trace(shop: Shop, actor: Actor, number: str, trace_id: int) -> tuple[TraceInRun, DecisionRule]:
    """One trace, and the rule that would judge it now. Raises NotFound."""
    require(actor, *BENCH)
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
        return trace_in_run(shop, loaded, kept_trace(session, loaded, trace_id)), rule_in_force(session)


def trace_in_run(shop: Shop, loaded: LoadedOverhaul, kept: KeptTrace) -> TraceInRun:
    """A trace of the overhaul with its run and its step. Raises NotFound."""
    run, step = run_and_step(loaded.record, kept.run, kept.step)
    return TraceInRun(shop, loaded, kept, run, step, kept.asked)


def kept_trace(session: Session, loaded: LoadedOverhaul, trace_id: int) -> KeptTrace:
    """A trace if it is one of the overhaul. Raises NotFound."""
    kept = next((one for one in traces_of(session, loaded.row.id or 0) if one.id == trace_id), None)
    if kept is None:
        raise NotFound("no-trace", "There is no such trace.")
    return kept

"""Pressure traces of a bench run: kept, appended to, confirmed, an event rejected. Nobody invents an event."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlmodel import Session, SQLModel, select

from service.actions.looking import run_and_step
from service.actions.looking_at_traces import TraceInRun, kept_trace, look_at_trace, trace_in_run
from service.actions.recording import Form, load_in_scope
from service.actions.shop import BENCH, Actor, Conflict, Refused, Shop, require
from service.hydraulics.trace.accepted import EventAt, event_of, events_meant
from service.hydraulics.trace.asked import FIELDS, asked_of
from service.hydraulics.trace.recognition import recognise
from service.records.bench_trace_reads import traces_of
from service.records.journal import append_journal
from service.records.json_text import canonical
from service.records.overhaul_store import LoadedOverhaul
from service.records.tables import BenchTracePiece, BenchTraceReading, BenchTraceRejection, BenchTraceRow
from service.workshop.run_traces import check_traceable, stated_by_rig

TRACE_LIMIT_BYTES = 80_000_000
"""Largest trace that is kept, all its pieces together."""
_MOST = 20
_LEAST_REASON, _LONGEST_REASON = 3, 500


@dataclass(frozen=True)
class _Writing:
    """The transaction of one change to the traces of an overhaul, and who makes it."""

    session: Session
    shop: Shop
    actor: Actor
    loaded: LoadedOverhaul
    form: Form

    @property
    def signed(self) -> dict[str, Any]:
        """What every row carries."""
        return {
            "recorded_at": self.shop.now(),
            "person_id": self.actor.person_id,
            "person_name": self.actor.name,
            "form_key": self.form.key,
        }

    def add(self, row: SQLModel) -> None:
        """Store a row and know its number."""
        self.session.add(row)
        self.session.flush()

    def journal(self, action: str, after: Mapping[str, object], reason: str = "") -> None:
        """Tell the journal."""
        append_journal(
            self.session,
            at=self.shop.now(),
            person=self.actor.signature,
            action=action,
            subject=("overhaul", self.loaded.row.number),
            reason=reason,
            after=dict(after),
        )


def keep_trace(
    shop: Shop,
    actor: Actor,
    number: str,
    *,
    form_key: str,
    run: int,
    step: str,
    content: bytes,
    asked: Mapping[str, str],
) -> int:
    """Keep a logger's file at a step of a run; gives the trace's number. The same form sent again gives it again.

    Its columns must be recognised, with what is `asked` (see `asked_of`); the volume and the oil of the run's rig are
    asked with it where nobody states others. That it is long enough is seen later, since more may be appended.
    Raises NotFound, NotPermitted, HydraulicsError or Refused.
    """
    require(actor, *BENCH)
    form, told = Form(form_key, 0), _told(asked)
    _check_size(len(content))
    recognise(content, asked_of(told).given)
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        again = session.exec(select(BenchTraceRow).where(BenchTraceRow.form_key == form.key)).first()
        if again is not None:
            return _same(again.overhaul_id, loaded, again.id)
        of_run, wanted = run_and_step(loaded.record, run, step)
        check_traceable(loaded.record, run, wanted)
        told = stated_by_rig(of_run.started.rig, told) | told
        if sum(one.run == run for one in traces_of(session, loaded.row.id or 0)) >= _MOST:
            raise Refused("traces-many", f"{_MOST} traces are kept with this run already.", "file")
        writing = _Writing(session, shop, actor, loaded, form)
        row = BenchTraceRow(overhaul_id=loaded.row.id or 0, run=run, step=step, asked=canonical(told), **writing.signed)
        writing.add(row)
        piece = _piece(writing, row.id or 0, content)
        writing.journal("bench-trace", {"id": row.id, "run": run, "step": step, "asked": told, **piece})
        return row.id or 0


def append_to_trace(shop: Shop, actor: Actor, number: str, trace_id: int, *, form_key: str, content: bytes) -> int:
    """Append what a logger wrote since, until the step is recorded; gives the size of the whole in bytes.

    Raises NotFound, NotPermitted, Conflict (the step is recorded, the trace confirmed), Refused.
    """
    require(actor, *BENCH)
    if not content:
        raise Refused("nothing", "Nothing was sent: send the rows that the logger wrote since.", "file")

    def append(writing: _Writing, kept: TraceInRun) -> int:
        if kept.step.key in kept.run.results or kept.kept.confirmed is not None:
            raise Conflict("trace-closed", "The step is recorded or the trace confirmed: keep another trace instead.")
        _check_size(kept.kept.size + len(content))
        piece = _piece(writing, trace_id, content)
        writing.journal("bench-trace-piece", {"id": trace_id, **piece})
        return kept.kept.size + len(content)

    return _change(shop, actor, number, trace_id, form_key, BenchTracePiece, append)


def confirm_trace(
    shop: Shop, actor: Actor, number: str, trace_id: int, *, form_key: str, asked: Mapping[str, str]
) -> None:
    """Confirm how a trace is read, or correct it; the newest is in force.

    Volume and oil are those of the run's rig where nobody states others. Raises as `keep_trace` does.
    """
    require(actor, *BENCH)
    trace, told = look_at_trace(shop, actor, number, trace_id)[0], _told(asked)
    told = stated_by_rig(trace.run.started.rig, told) | told
    # Analysed before the transaction: a long trace takes its time, and nobody else could write meanwhile.
    replace(trace, asked=told).analysed()

    def confirm(writing: _Writing, kept: TraceInRun) -> int:
        writing.add(BenchTraceReading(trace_id=trace_id, asked=canonical(told), **writing.signed))
        writing.journal("bench-trace-reading", {"id": trace_id, "asked": told, "before": dict(kept.kept.asked)})
        return kept.kept.size

    _change(shop, actor, number, trace_id, form_key, BenchTraceReading, confirm)


def reject_event(
    shop: Shop, actor: Actor, number: str, trace_id: int, *, form_key: str, event: EventAt, reason: str
) -> None:
    """Reject one detected event with a reason; it counts for nothing from then on.

    Raises NotFound, NotPermitted, Refused: no reason, no such event in the trace, rejected already.
    """
    require(actor, *BENCH)
    because = reason.strip()
    if not _LEAST_REASON <= len(because) <= _LONGEST_REASON:
        sentence = f"Say why the event does not count, in {_LEAST_REASON} to {_LONGEST_REASON} characters."
        raise Refused("reason", sentence, "reason")
    meant = events_meant(look_at_trace(shop, actor, number, trace_id)[0].analysed().analysis, event)
    if not meant:
        raise Refused("no-event", "The trace shows no such event: open the page again.", "event")
    named = event_of(meant[0])

    def reject(writing: _Writing, kept: TraceInRun) -> int:
        if any(one.event.means(meant[0]) for one in kept.kept.rejections):
            raise Refused("event-rejected", "This event is rejected already.", "event")
        at = f"{named.at_s:.3f}"
        writing.add(
            BenchTraceRejection(trace_id=trace_id, event=named.kind.value, at_s=at, reason=because, **writing.signed)
        )
        writing.journal("bench-trace-rejection", {"id": trace_id, "event": named.kind.value, "at_s": at}, because)
        return kept.kept.size

    _change(shop, actor, number, trace_id, form_key, BenchTraceRejection, reject)


def _change(
    shop: Shop,
    actor: Actor,
    number: str,
    trace_id: int,
    form_key: str,
    table: type[BenchTracePiece] | type[BenchTraceReading] | type[BenchTraceRejection],
    act: Callable[[_Writing, TraceInRun], int],
) -> int:
    """One change to a trace that is kept; a form sent again changes nothing."""
    form = Form(form_key, 0)
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        again = session.exec(select(table.trace_id).where(table.form_key == form.key)).first()
        if again is not None:
            return kept_trace(session, loaded, again).size
        kept = trace_in_run(shop, loaded, kept_trace(session, loaded, trace_id))
        check_traceable(loaded.record, kept.run.number, kept.step)
        return act(_Writing(session, shop, actor, loaded, form), kept)


def _piece(writing: _Writing, trace_id: int, content: bytes) -> dict[str, Any]:
    told: dict[str, Any] = {"size": len(content), "sha256": hashlib.sha256(content).hexdigest()}
    writing.add(BenchTracePiece(trace_id=trace_id, content=content, **told, **writing.signed))
    return told


def _told(asked: Mapping[str, str]) -> dict[str, str]:
    told = {name: text.strip() for name, text in asked.items() if name in FIELDS and text.strip()}
    asked_of(told)
    return told


def _check_size(size: int) -> None:
    if size > TRACE_LIMIT_BYTES:
        raise Refused("trace-large", "At most 80 MB are kept of one trace: cut it at the strokes that count.", "file")


def _same(overhaul_id: int, loaded: LoadedOverhaul, made: int | None) -> int:
    if overhaul_id != loaded.row.id:
        raise Refused("form-key", "This form was used on another injector: open the page again.", "form_key")
    return made or 0

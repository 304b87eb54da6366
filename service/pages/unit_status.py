"""What the unit's status page shows: the newest overhaul's stage, findings, bench results and work, and the past."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache

from service.metrology.typed_numbers import grouped
from service.pages.overhauls.head import StageMark, stage_marks
from service.pages.pressure_drift import DriftTold
from service.pages.rendering import day
from service.pages.seat_history import SeatTold
from service.pages.verdict_words import VERDICTS
from service.records.unit_reads import EntryLine, Passage, UnitRow
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    CertificateWithdrawn,
    ConcessionDecided,
    Condemned,
    DiscsChanged,
    Examined,
    Held,
    OfficeAnswered,
    PartFitted,
    PartReworked,
    PartSettled,
    Reopened,
    Returned,
    Torqued,
)
from service.workshop.vocabulary import Disposition, RunPurpose, Stage

VOIDING = frozenset(kind.kind for kind in (DiscsChanged, Reopened, Torqued, PartFitted, PartReworked))
"""Kinds of entry after which a proving run no longer counts; a test holds them against the rule."""

_AGREED = frozenset(kind.kind for kind in (PartSettled, ConcessionDecided, OfficeAnswered))
_DONE = frozenset(kind.kind for kind in (PartReworked, PartFitted, DiscsChanged, Reopened, CertificateWithdrawn))
_KEPT, _AS_PROPOSED = f": {Disposition.KEEP.label.lower()}", "As the rules propose."
"""How a settlement is told that simply keeps its part; a test holds it against the narration."""


@dataclass(frozen=True, slots=True)
class Line:
    """A finding, a bench result or a piece of work; `verdict` is '' where nothing was judged."""

    title: str
    verdict: str
    verdict_label: str
    sentence: str


@dataclass(frozen=True, slots=True)
class BenchTable:
    """The results of one run; `void` says that they no longer count."""

    caption: str
    void: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class PastLine:
    """One overhaul in the history. `href` is '' for the ship's office, `certificate_href` '' without one."""

    number: str
    href: str
    received: str
    vessel: str
    running_hours: str
    stage: str
    closed: str
    certificate: str
    certificate_href: str


@dataclass(frozen=True, slots=True)
class UnitStatus:
    """The unit's status. Texts are '' and tuples empty where there is nothing to tell."""

    serial: str
    type_code: str
    type_name: str
    vessel: str
    imo_number: str
    cylinder: str
    stage: str
    stages: tuple[StageMark, ...]
    side_exit: str
    exit_reason: str
    held: str
    late: str
    received: str
    promised: str
    closed: str
    running_hours: str
    overhaul: str
    overhaul_href: str
    certificate: str
    certificate_href: str
    findings: tuple[Line, ...]
    bench: tuple[BenchTable, ...]
    agreed: tuple[Line, ...]
    kept: str
    done: tuple[Line, ...]
    seats: tuple[SeatTold, ...]
    drift: DriftTold | None
    history: tuple[PastLine, ...]


@dataclass(frozen=True, slots=True)
class _Told:
    """The entries of one overhaul, sorted for the page."""

    findings: tuple[Line, ...]
    bench: tuple[BenchTable, ...]
    agreed: tuple[Line, ...]
    kept: str
    done: tuple[Line, ...]
    held: str
    exit_reason: str


def unit_status(
    serial: str,
    unit: UnitRow,
    entries: list[EntryLine],
    today: date,
    at_bench: bool,
    seats: tuple[SeatTold, ...] = (),
    drift: DriftTold | None = None,
) -> UnitStatus:
    """The page of one unit. `at_bench` adds the links to its overhauls."""
    history = tuple(_past(passage, at_bench) for passage in unit.passages)
    told = _told(entries)
    if not unit.passages:
        return _never_here(serial, unit)
    newest, past = unit.passages[0], history[0]
    stage = Stage(newest.stage)
    side = stage in (Stage.CONDEMNED, Stage.RETURNED)
    return UnitStatus(
        serial=serial,
        type_code=unit.type_code,
        type_name=unit.type_name,
        vessel=newest.vessel,
        imo_number=newest.imo_number,
        cylinder=newest.cylinder,
        stage=past.stage,
        stages=() if side else _marks(stage),
        side_exit=past.stage if side else "",
        exit_reason=told.exit_reason,
        held=(told.held or "A manager must lift the hold.") if newest.held else "",
        late="" if stage.is_exit else _late(newest.due_on, today),
        received=past.received,
        promised=_day(newest.due_on),
        closed=past.closed,
        running_hours=past.running_hours,
        overhaul=newest.number,
        overhaul_href=past.href,
        certificate=past.certificate,
        certificate_href=past.certificate_href,
        findings=told.findings,
        bench=told.bench,
        agreed=told.agreed,
        kept=told.kept,
        done=told.done,
        seats=seats,
        drift=drift,
        history=history,
    )


def _never_here(serial: str, unit: UnitRow) -> UnitStatus:
    nothing: tuple[Line, ...] = ()
    texts = dict.fromkeys(
        ("cylinder", "stage", "side_exit", "exit_reason", "held", "late", "received", "promised", "closed"), ""
    ) | dict.fromkeys(("running_hours", "overhaul", "overhaul_href", "certificate", "certificate_href", "kept"), "")
    return UnitStatus(
        serial=serial,
        type_code=unit.type_code,
        type_name=unit.type_name,
        vessel=unit.vessel,
        imo_number=unit.imo_number,
        stages=(),
        findings=nothing,
        bench=(),
        agreed=nothing,
        done=nothing,
        seats=(),
        drift=None,
        history=(),
        **texts,
    )


def _past(passage: Passage, at_bench: bool) -> PastLine:
    hours = passage.running_hours
    return PastLine(
        number=passage.number,
        href=f"/overhauls/{passage.number}" if at_bench else "",
        received=_day(passage.received_at[:10]),
        vessel=passage.vessel,
        running_hours="not known" if hours is None else f"{grouped(hours)} h",
        stage=passage.stage.capitalize(),
        closed=_day(passage.closed_at[:10]) if passage.closed_at else "",
        certificate=passage.certificate,
        certificate_href=f"/certificates/{passage.certificate}.pdf" if passage.certificate else "",
    )


def _told(entries: Iterable[EntryLine]) -> _Told:
    """Sort the entries; of several on one subject the newest counts and keeps the first one's place."""
    findings: dict[str, Line] = {}
    agreed: dict[tuple[str, str], Line] = {}
    done: list[Line] = []
    runs: list[tuple[EntryLine, dict[str, Line]]] = []
    last_voiding, held, exit_reason = 0, "", ""
    for entry in entries:
        kind = entry.kind
        if kind == Examined.kind:
            findings[entry.subject] = _line(entry)
        elif kind in _AGREED:
            agreed[entry.subject, kind] = _line(entry)
        elif kind == BenchRunStarted.kind:
            runs.append((entry, {}))
        elif kind == BenchStepRecorded.kind and runs:
            runs[-1][1][entry.subject] = _line(entry)
        elif kind in (Held.kind, CertificateWithdrawn.kind):
            held = entry.sentence if kind == Held.kind else f"{entry.title}. {entry.sentence}"
        elif kind in (Condemned.kind, Returned.kind):
            exit_reason = entry.sentence
        if kind in VOIDING:
            last_voiding = entry.seq
        if kind in _DONE:
            done.append(_line(entry))
    return _Told(
        tuple(findings.values()),
        _bench_tables(runs, last_voiding) if runs else (),
        tuple(line for line in agreed.values() if not _simply_kept(line)),
        ", ".join(line.title.removesuffix(_KEPT) for line in agreed.values() if _simply_kept(line)),
        tuple(done),
        held,
        exit_reason,
    )


def _bench_tables(runs: list[tuple[EntryLine, dict[str, Line]]], last_voiding: int) -> tuple[BenchTable, ...]:
    """The newest run of each purpose, the as-found test first."""
    newest = {json.loads(start.payload)["purpose"]: (start, results) for start, results in runs}
    tables = []
    for purpose, words in ((RunPurpose.AS_FOUND, "As found"), (RunPurpose.PROVING, "Proving run")):
        if purpose.value in newest:
            start, results = newest[purpose.value]
            void = purpose is RunPurpose.PROVING and last_voiding > start.seq
            tables.append(
                BenchTable(
                    caption=f"{words}, {_day(start.at[:10])}",
                    void="These results no longer count: the injector was worked on afterwards." if void else "",
                    lines=tuple(results.values()),
                )
            )
    return tuple(tables)


def _simply_kept(line: Line) -> bool:
    return line.title.endswith(_KEPT) and line.sentence == _AS_PROPOSED


def _line(entry: EntryLine) -> Line:
    kind, label = VERDICTS.get(entry.verdict, ("", ""))
    return Line(entry.title, kind, label, entry.sentence)


def _late(due_on: str, today: date) -> str:
    days = (today - date.fromisoformat(due_on)).days
    return "" if days <= 0 else f"{days} day{'s' if days > 1 else ''} late"


@lru_cache(maxsize=4096)
def _day(text: str) -> str:
    return day(datetime.fromisoformat(text))


@lru_cache(maxsize=len(Stage))
def _marks(stage: Stage) -> tuple[StageMark, ...]:
    return stage_marks(stage)

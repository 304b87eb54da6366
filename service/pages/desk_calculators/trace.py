"""A pressure trace at the desk: a logger's file, how it was read, its openings and holds, the plot."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import grouped
from service.pages.choices import Option
from service.pages.desk_calculators.asking import frame_of, status_of_answer
from service.pages.desk_calculators.trace_rows import (
    HoldRow,
    OpeningRow,
    PlanRow,
    hold_row,
    opening_row,
    openings_in_words,
    plan_row,
)
from service.pages.guards import AtBench
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.plotted_trace import PlottedTrace, plotted_trace
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, TypedForm, errors_of

if TYPE_CHECKING:
    from service.hydraulics.trace.answer import TraceFound

router = APIRouter()
UPLOAD_PATHS = re.compile(r"/(?:calculators|api/v1/calculations)/trace")
UPLOAD_LIMIT_BYTES = 80_000_000
DELIMITERS = tuple(Option(one, one.capitalize()) for one in ("semicolon", "tab", "comma", "stroke", "blank", "none"))
DECIMALS = (Option("comma", "Comma"), Option("point", "Point"))
_READING = (
    *("delimiter", "decimal", "time_column", "rate_hz", "pressure_column", "pressure_unit"),
    "temperature_column",
)
_PLAN = (
    *("lower_bar", "upper_bar", "spread_max_bar", "least_openings", "decay_max_bar_per_min"),
    "gauge_uncertainty_bar",
)
_RIG = ("volume_cm3", "bulk_modulus_gpa", "bar_per_kelvin")
UNITS = tuple(Option(one, one) for one in ("bar", "MPa", "kgf/cm²", "psi", "kPa", "Pa", "mbar"))


@dataclass(frozen=True)
class TraceShown:
    """What was found, in words and figures for people."""

    heading: str
    verdicts: tuple[PlanRow, ...]
    facts: tuple[Fact, ...]
    summary: str
    openings: tuple[OpeningRow, ...]
    holds: tuple[HoldRow, ...]
    remarks: tuple[str, ...]
    plotted: PlottedTrace


@dataclass(frozen=True)
class TracePage:
    """What was asked and what the trace shows."""

    page: Frame
    form: FormState
    delimiters: tuple[Option, ...]
    decimals: tuple[Option, ...]
    units: tuple[Option, ...]
    reading_open: bool
    """Whether the fields on how the file is read stand open; those of the plan and of the rig likewise."""
    plan_open: bool
    rig_open: bool
    found: TraceShown | None


@router.get("/calculators/trace")
def show_trace(request: Request, actor: Actor = AtBench) -> Response:
    """An empty form."""
    return _answered(request, actor, Typed({}, {}), None, None)


@router.post("/calculators/trace")
def work_out_trace(request: Request, typed: Typed = TypedForm, actor: Actor = AtBench) -> Response:
    """Analyse the file; nothing is stored."""
    found, error = None, None
    try:
        found = _found(typed)
    except DomainError as refusal:
        error = refusal
    return _answered(request, actor, typed, found, error)


def _answered(
    request: Request, actor: Actor, typed: Typed, found: TraceShown | None, error: DomainError | None
) -> Response:
    errors = errors_of(error)
    form = FormState(typed.shown().values, errors)
    reading, plan, rig = (
        any(typed.text(name) or name in errors for name in fields) for fields in (_READING, _PLAN, _RIG)
    )
    frame = frame_of(request, "Pressure trace", actor)
    page = TracePage(frame, form, DELIMITERS, DECIMALS, UNITS, reading, plan, rig, found)
    return whole_or_part(request, "desk_calculators/trace", page, status_of_answer(error))


def _found(typed: Typed) -> TraceShown:
    # NumPy loads with the first trace that is analysed: the server starts without it.
    from service.documents.trace_plot import trace_plot
    from service.hydraulics.trace.answer import find
    from service.hydraulics.trace.asked import asked_of

    asked = asked_of({name: typed.text(name) for name in (*_READING, *_PLAN, *_RIG)})
    window = tuple(float(typed.quantity(name, "s")) if typed.text(name) else None for name in ("from_s", "to_s"))
    content = typed.files.get("file", b"")
    if not content:
        raise Refused("file-missing", "Choose the logger’s file: one row to a reading, time and pressure.", "file")
    found = find(content, asked)
    limits = tuple(float(one) for one in (asked.plan.lower_bar, asked.plan.upper_bar) if one is not None)
    plot = trace_plot(found.analysis, limits_bar=limits, window_s=(window[0], window[1]))
    analysis = found.analysis
    return TraceShown(
        heading=_heading(found),
        verdicts=tuple(map(plan_row, found.findings)),
        facts=tuple(Fact(what, is_) for what, is_ in (*found.recognised.facts, ("Rows", grouped(analysis.rows)))),
        summary=openings_in_words(analysis.statistics),
        openings=tuple(opening_row(number, one) for number, one in enumerate(analysis.openings, 1)),
        holds=tuple(hold_row(number, one, analysis.rig) for number, one in enumerate(analysis.holds)),
        remarks=analysis.remarks,
        plotted=plotted_trace(plot, found.recognised),
    )


def _heading(found: "TraceFound") -> str:
    statistics, holds = found.analysis.statistics, len(found.analysis.holds)
    held = f"{holds} {'hold' if holds == 1 else 'holds'}"
    if statistics is None:
        return f"No opening, {held}"
    times = f"{statistics.count} {'opening' if statistics.count == 1 else 'openings'}"
    return f"{times}, mean {statistics.mean_bar:.1f} bar; {held}"

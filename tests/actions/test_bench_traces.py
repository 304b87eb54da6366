"""Pressure traces of a bench run: kept once, appended to, confirmed, an event rejected with a reason, none invented."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.bench_traces import append_to_trace, confirm_trace, keep_trace, reject_event
from service.actions.looking_at_traces import look_at_trace, look_at_traces
from service.actions.rebuilding import reopen
from service.actions.recording import Form
from service.actions.rig_duties import fill_test_oil
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.actions.test_rigs import save_test_rig
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.accepted import EventAt, EventKind, event_of
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import RunPurpose, Stage
from tests.actions.at_the_bench import bring_to, form, key, newest_journal_row, receive
from tests.hydraulics.invented_traces import Bench, as_csv, strokes
from tests.registered_fleet import RIG, RIG_CARD, Fleet
from tests.small_findings import PASSING

TRACE = as_csv(*strokes(Bench(rate_hz=200, seed=5), (350.0, 352.0, 349.0, 351.0)).made(0.002))
"""A hold under 250 bar, then four openings about 350 bar; invented."""


def started(shop: Shop, fleet: Fleet) -> tuple[str, int]:
    """A rebuilt injector on the rig; its overhaul and run."""
    number = bring_to(shop, fleet, Stage.REBUILT)
    run = start_bench_run(
        shop, fleet.technician, number, form(shop, number), purpose=RunPurpose.PROVING, gauge="GAUGE-1"
    )
    return number, run.seq


def kept(shop: Shop, fleet: Fleet, number: str, run: int, content: bytes = TRACE, **asked: str) -> int:
    """A trace of the opening pressure."""
    return keep_trace(
        shop, fleet.technician, number, form_key=key(), run=run, step="opening", content=content, asked=asked
    )


def test_a_trace_is_kept_as_it_was_sent_with_its_journal(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run, lower_bar="340", colour="red")
    trace, _ = look_at_trace(shop, fleet.manager, number, made)
    assert (trace.content, trace.kept.size, trace.kept.confirmed) == (TRACE, len(TRACE), None)
    assert dict(trace.asked) == {"lower_bar": "340"}
    assert len(trace.analysed().analysis.openings) == 4
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("bench-trace", number, fleet.technician.name)
    assert json.loads(row.after)["size"] == len(TRACE)
    here = look_at_traces(shop, fleet.technician, number, run, "opening")
    assert [one.id for one in here.kept] == [made]
    assert look_at_traces(shop, fleet.technician, number, run, "seat").kept == ()


def test_the_leak_is_reckoned_with_the_volume_and_the_oil_of_the_runs_rig(shop: Shop, fleet: Fleet) -> None:
    oil = {"name": "Invented oil", "viscosity_mm2_s": Decimal("9.8"), "bulk_modulus_gpa": Decimal("1.5")}
    fill_test_oil(shop, fleet.technician, Form(key(), 0), code=RIG, changed_on=shop.now().date(), **oil)  # type: ignore[arg-type]
    save_test_rig(shop, fleet.manager, replace(RIG_CARD, volume_cm3=Decimal(60)), version=1)
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run)
    for read in ({}, {"pressure_unit": "bar"}):  # as a client confirms it, which states neither again
        trace, _ = look_at_trace(shop, fleet.manager, number, made)
        assert dict(trace.asked).items() >= {"volume_cm3": "60", "bulk_modulus_gpa": "1.5"}.items()
        confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked=read)
    trace, _ = look_at_trace(shop, fleet.manager, number, made)
    assert dict(trace.asked) == {"volume_cm3": "60", "bulk_modulus_gpa": "1.5", "pressure_unit": "bar"}


def test_the_same_form_keeps_appends_confirms_and_rejects_once(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    same = {"run": run, "step": "opening", "content": TRACE, "asked": {}}
    made = [keep_trace(shop, fleet.technician, number, form_key="twice-000", **same) for _ in range(2)]  # type: ignore[arg-type]
    assert made[0] == made[1]
    found = look_at_trace(shop, fleet.technician, number, made[0])[0].analysed()
    event = event_of(found.analysis.openings[0])
    for _ in range(2):
        append_to_trace(shop, fleet.technician, number, made[0], form_key="twice-001", content=b"90;1\n")
        confirm_trace(shop, fleet.technician, number, made[0], form_key="twice-002", asked={})
        reject_event(shop, fleet.technician, number, made[0], form_key="twice-003", event=event, reason="Air in it.")
    trace, _ = look_at_trace(shop, fleet.technician, number, made[0])
    assert trace.content == TRACE + b"90;1\n"
    assert len(trace.kept.rejections) == 1


def test_a_trace_grows_while_the_run_goes_on_and_not_after(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    half = TRACE.index(b"\n", len(TRACE) // 2) - 3  # in the middle of a row, as a logger sends it
    made = kept(shop, fleet, number, run, TRACE[:half])
    before, _ = look_at_trace(shop, fleet.technician, number, made)
    assert len(before.analysed().analysis.openings) < 4
    size = append_to_trace(shop, fleet.technician, number, made, form_key=key(), content=TRACE[half:])
    assert size == len(TRACE)
    assert len(look_at_trace(shop, fleet.technician, number, made)[0].analysed().analysis.openings) == 4
    confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked={})
    with pytest.raises(Conflict):
        append_to_trace(shop, fleet.technician, number, made, form_key=key(), content=b"99;1\n")
    with pytest.raises(Refused, match="Nothing was sent"):
        append_to_trace(shop, fleet.technician, number, made, form_key=key(), content=b"")


def test_nothing_is_appended_once_the_step_is_recorded(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run)
    for step in ("vent", "blow", "seat", "opening"):
        record_bench_step(shop, fleet.technician, number, form(shop, number), run=run, step=step, result=PASSING[step])
    with pytest.raises(Conflict, match="keep another trace"):
        append_to_trace(shop, fleet.technician, number, made, form_key=key(), content=b"99;1\n")


def test_how_a_trace_is_read_is_confirmed_or_corrected_and_the_newest_is_in_force(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    bare = TRACE.replace(b"pressure [bar]", b"pressure")
    with pytest.raises(HydraulicsError, match="in which unit"):
        kept(shop, fleet, number, run, bare)
    made = kept(shop, fleet, number, run, bare, pressure_unit="psi")
    confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked={"pressure_unit": "bar"})
    trace, _ = look_at_trace(shop, fleet.technician, number, made)
    assert trace.kept.confirmed is not None
    assert dict(trace.asked) == {"pressure_unit": "bar"}
    assert json.loads(newest_journal_row(shop).after)["before"] == {"pressure_unit": "psi"}
    with pytest.raises(HydraulicsError):
        confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked={"pressure_unit": "Pa"})


def test_a_rejected_event_counts_no_more_and_no_event_is_invented(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run)
    trace, _ = look_at_trace(shop, fleet.technician, number, made)
    found = trace.analysed()
    second, held = found.analysis.openings[1], found.analysis.holds[0]

    def reject(kind: EventKind, at_s: float, reason: str) -> None:
        event = EventAt(kind, Decimal(str(at_s)))
        reject_event(shop, fleet.technician, number, made, form_key=key(), event=event, reason=reason)

    reject(EventKind.OPENING, second.t_s, " The lever slipped. ")
    reject(EventKind.HOLD, held.start_s + 5, "Valve not shut.")
    row = newest_journal_row(shop)
    assert (row.action, row.reason) == ("bench-trace-rejection", "Valve not shut.")
    trace, _ = look_at_trace(shop, fleet.technician, number, made)
    accepted = trace.accepted(trace.analysed())
    assert [round(one.opening_bar) for one in accepted.openings] == [350, 349, 351]
    assert accepted.holds == ()
    assert accepted.statistics is not None
    assert accepted.statistics.count == 3
    assert [one.reason for one in trace.kept.rejections] == ["The lever slipped.", "Valve not shut."]
    for kind, at_s, reason, code in (
        (EventKind.OPENING, second.t_s, "Again", "event-rejected"),
        (EventKind.OPENING, 1.0, "Never was", "no-event"),
        (EventKind.HOLD, 0.1, "Never was", "no-event"),
        (EventKind.OPENING, found.analysis.openings[0].t_s, "  ", "reason"),
    ):
        with pytest.raises(Refused) as refused:
            reject(kind, at_s, reason)
        assert refused.value.code == code


def test_only_the_bench_keeps_traces_of_runs_and_steps_that_are_there(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run)
    with pytest.raises(Forbidden):
        keep_trace(shop, fleet.office, number, form_key=key(), run=run, step="opening", content=TRACE, asked={})
    with pytest.raises(Forbidden):
        look_at_trace(shop, fleet.office, number, made)
    for where in ({"run": run + 7, "step": "opening"}, {"run": run, "step": "polish"}):
        with pytest.raises(NotFound):
            keep_trace(shop, fleet.technician, number, form_key=key(), content=TRACE, asked={}, **where)  # type: ignore[arg-type]
    with pytest.raises(NotPermitted, match="takes no trace"):
        keep_trace(shop, fleet.technician, number, form_key=key(), run=run, step="vent", content=TRACE, asked={})
    with pytest.raises(NotFound):
        look_at_trace(shop, fleet.technician, number, made + 7)
    other = receive(shop, fleet, "B-1")[0]
    with pytest.raises(NotFound):
        look_at_trace(shop, fleet.technician, other, made)
    with pytest.raises(NotFound):
        append_to_trace(shop, fleet.technician, other, made, form_key=key(), content=b"1;2\n")


def test_a_void_run_takes_no_trace(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    made = kept(shop, fleet, number, run)
    reopen(shop, fleet.technician, number, form(shop, number), reason="Seat dripped.")
    with pytest.raises(NotPermitted, match="void"):
        kept(shop, fleet, number, run)
    with pytest.raises(NotPermitted, match="void"):
        append_to_trace(shop, fleet.technician, number, made, form_key=key(), content=b"1;2\n")
    assert look_at_trace(shop, fleet.technician, number, made)[0].content == TRACE


def test_a_file_that_is_no_trace_or_too_large_is_not_kept(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    for content in (b"", b"a letter\n", b"\x89PNG\0"):
        with pytest.raises(HydraulicsError):
            kept(shop, fleet, number, run, content)
    with pytest.raises(Refused, match="80 MB"):
        kept(shop, fleet, number, run, b"0" * 80_000_001)
    assert look_at_traces(shop, fleet.technician, number, run, "opening").kept == ()


def test_rows_of_a_trace_are_never_changed(shop: Shop, fleet: Fleet) -> None:
    number, run = started(shop, fleet)
    kept(shop, fleet, number, run)
    for change in ("UPDATE bench_trace_piece SET size = 1", "DELETE FROM bench_trace"):
        with pytest.raises(DBAPIError), shop.store.write_engine.begin() as connection:
            connection.execute(text(change))

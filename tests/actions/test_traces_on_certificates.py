"""A release prints the confirmed traces of the run that counts, and no others."""

import hashlib

import pytest

from service.actions.bench_traces import confirm_trace, keep_trace, reject_event
from service.actions.looking_at_traces import look_at_trace
from service.actions.recording import load_in_scope
from service.actions.releasing import sign_release
from service.actions.shop import Conflict, Shop
from service.actions.traces_on_certificates import analyse_for_certificate
from service.hydraulics.trace.accepted import event_of
from service.workshop.entries import BenchRunStarted
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, key, loaded
from tests.actions.test_bench_traces import TRACE
from tests.documents.printed import words_of
from tests.registered_fleet import PASSWORD, Fleet


def test_the_certificate_shows_the_confirmed_trace_and_what_was_rejected_in_it(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    run = next(seq for seq, _ in loaded(shop, number).record.all_of(BenchRunStarted))
    made = [
        keep_trace(shop, fleet.technician, number, form_key=key(), run=run, step="opening", content=TRACE, asked={})
        for _ in range(2)
    ]
    opening = look_at_trace(shop, fleet.technician, number, made[0])[0].analysed().analysis.openings[0]
    event, reason = event_of(opening), "The lever slipped."
    reject_event(shop, fleet.technician, number, made[0], form_key=key(), event=event, reason=reason)
    confirm_trace(shop, fleet.technician, number, made[0], form_key=key(), asked={})
    sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    ((content,),) = shop.store.rows("SELECT content FROM certificate_file")
    words = words_of(bytes(content))
    assert f"Pressure trace {made[0]}," in words
    assert f"Pressure trace {made[1]}," not in words
    assert "3 of 4 count" in words
    assert reason in words
    assert fleet.technician.name in words


def test_a_release_is_refused_where_a_trace_was_changed_after_it_was_analysed(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    run = next(seq for seq, _ in loaded(shop, number).record.all_of(BenchRunStarted))
    made = keep_trace(
        shop, fleet.technician, number, form_key=key(), run=run, step="opening", content=TRACE, asked={}
    )  # fmt: skip
    confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked={})
    analysed = analyse_for_certificate(shop, fleet.manager, number)
    with shop.store.reading() as session:
        same = load_in_scope(session, fleet.manager, number)
        assert analysed.still_kept(session, same) == analysed.traces
        assert [one.sha256 for one in analysed.traces] == [hashlib.sha256(TRACE).hexdigest()]
    event = event_of(analysed.traces[0].analysis.openings[0])
    reject_event(shop, fleet.technician, number, made, form_key=key(), event=event, reason="The lever slipped.")
    with shop.store.reading() as session, pytest.raises(Conflict, match="changed while you signed"):
        analysed.still_kept(session, load_in_scope(session, fleet.manager, number))


def test_a_trace_is_analysed_once_however_often_its_plot_is_looked_at_closely(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    run = next(seq for seq, _ in loaded(shop, number).record.all_of(BenchRunStarted))
    made = keep_trace(
        shop, fleet.technician, number, form_key=key(), run=run, step="opening", content=TRACE, asked={}
    )  # fmt: skip
    first, again = (look_at_trace(shop, fleet.technician, number, made)[0].analysed() for _ in range(2))
    assert again is first
    confirm_trace(shop, fleet.technician, number, made, form_key=key(), asked={"pressure_unit": "MPa"})
    other = look_at_trace(shop, fleet.technician, number, made)[0].analysed()
    assert other.analysis.openings[0].opening_bar == pytest.approx(10 * first.analysis.openings[0].opening_bar)

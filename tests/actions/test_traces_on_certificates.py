"""A release prints the confirmed traces of the run that counts, and no others."""

from service.actions.bench_traces import confirm_trace, keep_trace, reject_event
from service.actions.looking_at_traces import look_at_trace
from service.actions.releasing import sign_release
from service.actions.shop import Shop
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

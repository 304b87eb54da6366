"""Invented logger's files kept at a step of a bench run, their reading confirmed, a slip of the lever rejected."""

from decimal import Decimal

from seed_demo.logged_traces import Logged, logged_file
from service.actions.bench_traces import confirm_trace, keep_trace, reject_event
from service.actions.looking_at_traces import look_at_trace
from service.actions.shop import Actor, Shop
from service.hydraulics.trace.accepted import event_of
from service.workshop.run_traces import strokes_of


def keep_logged(shop: Shop, technician: Actor, number: str, run: int, step: str, logged: Logged) -> tuple[Decimal, ...]:
    """Keep the file at a step, confirm how it is read, reject the slip; gives the strokes that count, in bar."""
    form_key = f"demo-trace-{number}"
    made = keep_trace(
        shop, technician, number, form_key=form_key, run=run, step=step, content=logged_file(logged), asked={}
    )
    confirm_trace(shop, technician, number, made, form_key=f"{form_key}-read", asked={})
    trace, _ = look_at_trace(shop, technician, number, made)
    if logged.slip_bar is not None:
        lowest = min(trace.analysed().analysis.openings, key=lambda one: one.opening_bar)
        reject_event(
            shop,
            technician,
            number,
            made,
            form_key=f"{form_key}-slip",
            event=event_of(lowest),
            reason="The lever slipped under the opening pressure, and nothing sprayed.",
        )
        trace, _ = look_at_trace(shop, technician, number, made)
    return strokes_of(trace.accepted(trace.analysed()))

"""As-found against as-left opening pressures, read out of overhauls."""

from decimal import Decimal as D

from service.workshop.opening_history import OpeningVisit, opening_visit, times_in_service, usual_hours
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import RunPurpose
from tests.small_findings import PASSING
from tests.workshop.overhaul_by_hand import ByHand


def _run(hand: ByHand, purpose: RunPurpose, bar: str) -> None:
    run = hand.start_run(purpose)
    for key, result in PASSING.items():
        opening = OpeningPressureResult(strokes_bar=(D(bar),) * 3)
        outcome = hand.step(run, key, opening if key == "opening" else result)
        if not outcome.passed:
            break


def _visit(hand: ByHand) -> OpeningVisit:
    return opening_visit(7, 8000, [(entry.seq, entry.content) for entry in hand.record.entries])


def test_an_overhaul_tells_what_was_found_and_what_the_last_passing_run_left() -> None:
    hand = ByHand()
    _run(hand, RunPurpose.AS_FOUND, "331")
    hand.strip()
    hand.examine_all()
    hand.settle_all()
    hand.rebuild()
    _run(hand, RunPurpose.PROVING, "335")
    assert _visit(hand) == OpeningVisit(overhaul_id=7, hours=8000, as_found_bar=D(331), as_left_bar=None)
    hand.discs()
    hand.rebuild()
    _run(hand, RunPurpose.PROVING, "352")
    assert _visit(hand) == OpeningVisit(overhaul_id=7, hours=8000, as_found_bar=D(331), as_left_bar=D(352))


def test_an_injector_still_in_its_crate_tells_nothing() -> None:
    assert _visit(ByHand()) == OpeningVisit(overhaul_id=7, hours=8000, as_found_bar=None, as_left_bar=None)


def _seen(number: int, hours: int | None, found: str, left: str) -> OpeningVisit:
    return OpeningVisit(
        overhaul_id=number,
        hours=hours,
        as_found_bar=D(found) if found else None,
        as_left_bar=D(left) if left else None,
    )


def test_a_time_in_service_needs_hours_and_both_pressures() -> None:
    visits = [
        _seen(1, 9000, "330", "350"),
        _seen(2, 8000, "342", "351"),
        _seen(3, None, "340", "352"),
        _seen(4, 6000, "345", ""),
        _seen(5, 7000, "330", "350"),
    ]
    told = times_in_service(visits)
    assert [(one.hours, one.as_found_bar - one.as_left_bar) for one in told] == [(8000, D(-8)), (6000, D(-7))]
    assert usual_hours(visits) == 7500
    assert usual_hours([_seen(1, None, "", "")]) is None

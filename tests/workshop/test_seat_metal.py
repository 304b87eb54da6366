"""The metal of a seat as an overhaul records it: before and after each recut, and what is left."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Content, Examined, PartFitted, PartReworked
from service.workshop.examination import examine
from service.workshop.limit_sheet import LimitSheet, SizeCharacteristic, SizeLimits
from service.workshop.measurements import Outcome
from service.workshop.recuts import LimitSide
from service.workshop.seat_metal import SeatMetal, rework_side, seat_metal, seats_of
from service.workshop.vocabulary import Disposition, InstrumentKind, Phase, VerdictKind
from tests.small_findings import sizes
from tests.small_sheet import SMALL_SHEET

_NOTHING = Outcome(verdict=VerdictKind.CONFORMS, value="", limit="", sentence="", rule="")


def seat(limits: SizeLimits | None = None, until: str | None = "12.60", **changes: object) -> SizeCharacteristic:
    """The diameter of an invented seat that grows by each recut, 12.60 mm at most."""
    fields: dict[str, object] = {
        "key": "seat",
        "part": "body",
        "title": "Diameter of the body's seat",
        "how": "Across.",
        "unit": "mm",
        "consequence": Disposition.REWORK,
        "limits": limits or SizeLimits(upper=D("12.60")),
        "readings": 1,
        "instruments": (InstrumentKind.MICROMETER,),
        "rework_until": None if until is None else D(until),
    }
    return SizeCharacteristic(**(fields | changes))  # type: ignore[arg-type]


def size(*readings: str, phase: Phase = Phase.FOUND, rejudged_from: int | None = None) -> Examined:
    """One examination of the seat, with U = 1 µm."""
    return Examined(
        characteristic="seat",
        part="body",
        phase=phase,
        measurement=sizes("MIC-1", *readings),
        outcome=_NOTHING,
        rejudged_from=rejudged_from,
    )


def after(*readings: str) -> Examined:
    return size(*readings, phase=Phase.AFTER_REWORK)


def cut(method: str = "Milled.") -> PartReworked:
    return PartReworked(part="body", method=method)


def metal(*contents: Content, item: SizeCharacteristic | None = None) -> SeatMetal:
    return seat_metal(contents, item or seat(), frozenset({"body", "body-set"}))


def sizes_of(found: SeatMetal) -> list[tuple[str, str]]:
    """Before and after of each recut, '' where not known."""
    ends = [(one.before, one.after) for one in found.recuts]
    return [tuple("" if end is None else str(end.size_mm) for end in pair) for pair in ends]  # type: ignore[misc]


def test_each_recut_has_the_size_before_and_after_it_and_what_it_took() -> None:
    found = metal(size("12.30"), cut(), after("12.36"), cut("Again."), after("12.41"))
    assert sizes_of(found) == [("12.30", "12.36"), ("12.36", "12.41")]
    assert [one.depth_mm(found.side) for one in found.recuts] == [D("0.06"), D("0.05")]
    assert found.taken_mm == D("0.11")
    assert found.remaining is not None
    assert (found.remaining.remaining_mm, found.remaining.expanded_uncertainty_mm) == (D("0.19"), D("0.001"))


def test_before_the_first_cut_the_metal_is_that_of_the_size_found() -> None:
    found = metal(size("12.30"))
    assert (found.recuts, found.waits_for_size) == ((), False)
    assert found.remaining is not None
    assert found.remaining.remaining_mm == D("0.30")


def test_since_a_cut_nothing_is_known_until_it_is_measured() -> None:
    found = metal(size("12.30"), cut())
    assert (sizes_of(found), found.measured, found.remaining) == ([("12.30", "")], None, None)
    assert found.waits_for_size
    assert not metal(size("12.30"), cut(), after("12.36")).waits_for_size


def test_a_size_measured_again_stands_for_the_one_before_it() -> None:
    found = metal(size("12.03"), size("12.30"), cut(), after("12.63"), after("12.36"))
    assert sizes_of(found) == [("12.30", "12.36")]


def test_a_finding_corrected_after_the_cut_corrects_the_size_before_it() -> None:
    found = metal(size("12.03"), cut(), after("12.36"), size("12.30"))
    assert sizes_of(found) == [("12.30", "12.36")]
    assert found.measured is not None
    assert found.measured.size_mm == D("12.36")


def test_two_reworks_without_a_size_between_them_are_one_recut() -> None:
    found = metal(size("12.30"), cut("Milled."), cut("Lapped."), after("12.38"))
    assert sizes_of(found) == [("12.30", "12.38")]
    assert found.recuts[0].method == "Milled.; Lapped."


def test_a_verdict_judged_again_is_no_size() -> None:
    found = metal(size("12.30"), cut(), size("12.30", rejudged_from=1), after("12.36"))
    again = metal(size("12.30"), cut(), size("12.36", phase=Phase.AFTER_REWORK, rejudged_from=1))
    assert sizes_of(found) == [("12.30", "12.36")]
    assert again.waits_for_size


@pytest.mark.parametrize("fitted", ["body", "body-set"])
def test_a_new_part_begins_anew(fitted: str) -> None:
    new = PartFitted(item=fitted, batch="B-1")
    found = metal(size("12.30"), cut(), new, cut(), after("12.10"))
    assert sizes_of(found) == [("12.30", ""), ("", "12.10")]
    assert [one.depth_mm(found.side) for one in found.recuts] == [None, None]
    assert metal(size("12.30"), cut(), after("12.36"), new).measured is None
    assert metal(size("12.30"), PartFitted(item="seal-ring", batch="B"), cut(), after("12.36")).measured is not None


def test_another_part_s_rework_cuts_nothing_here() -> None:
    assert metal(size("12.30"), PartReworked(part="nozzle", method="Cleaned.")).recuts == ()


def test_of_several_readings_the_one_nearest_the_limit_counts() -> None:
    assert metal(size("12.30", "12.34", "12.32")).measured.size_mm == D("12.34")  # type: ignore[union-attr]
    lower = seat(SizeLimits(lower=D("12.0")), "12.0")
    assert metal(size("12.30", "12.34"), item=lower).measured.size_mm == D("12.30")  # type: ignore[union-attr]


def test_a_height_loses_by_each_cut_what_a_diameter_gains() -> None:
    lower = seat(SizeLimits(lower=D("12.0")), "12.0")
    found = metal(size("12.30"), cut(), after("12.24"), item=lower)
    assert (found.side, found.taken_mm) == (LimitSide.LOWER, D("0.06"))
    assert found.remaining is not None
    assert found.remaining.remaining_mm == D("0.24")


def test_wear_ground_away_takes_nothing_towards_the_limit() -> None:
    worn = seat(SizeLimits(upper=D("0.05")), "0.20")
    found = metal(size("0.09"), cut(), after("0.01"), item=worn)
    assert not found.each_cut_nears
    assert (found.recuts[0].moved_mm(found.side), found.recuts[0].depth_mm(found.side)) == (D("-0.08"), None)
    assert found.taken_mm == 0


@pytest.mark.parametrize(
    ("limits", "until", "side", "nears"),
    [
        (SizeLimits(upper=D("12.60")), "12.60", LimitSide.UPPER, True),
        (SizeLimits(upper=D("12.60")), "12.50", LimitSide.UPPER, True),
        (SizeLimits(upper=D("12.60")), "12.70", LimitSide.UPPER, False),
        (SizeLimits(lower=D("12.00")), "12.00", LimitSide.LOWER, True),
        (SizeLimits(lower=D("12.00")), "11.90", LimitSide.LOWER, False),
        (SizeLimits(lower=D("12.00"), upper=D("12.60")), "12.60", LimitSide.UPPER, True),
        (SizeLimits(lower=D("12.00"), upper=D("12.60")), "11.80", LimitSide.LOWER, False),
        (SizeLimits(designation="25 H7"), "25.021", LimitSide.UPPER, True),
    ],
)
def test_the_rework_limit_stands_where_the_sheet_s_limits_put_it(
    limits: SizeLimits, until: str, side: LimitSide, nears: bool
) -> None:
    item = seat(limits, until)
    assert rework_side(item) is side
    assert metal(item=item).each_cut_nears is nears


@pytest.mark.parametrize(
    "item", [seat(until=None), seat(consequence=Disposition.REPLACE), seat(unit="N/mm"), seat(until="0")]
)
def test_a_size_that_is_never_recut_has_no_metal_to_tell_of(item: SizeCharacteristic) -> None:
    assert rework_side(item) is None
    with pytest.raises(ValueError, match="no rework limit"):
        metal(item=item)


def test_a_sheet_names_its_seats_part_by_part() -> None:
    sheet: LimitSheet = SMALL_SHEET
    assert [item.key for item in seats_of(sheet)] == ["body-seat-width"]
    assert [item.key for item in seats_of(sheet, "body")] == ["body-seat-width"]
    assert seats_of(sheet, "needle") == ()


def test_of_repeats_of_one_place_their_mean_counts_with_the_uncertainty_that_it_was_judged_with() -> None:
    item = seat(repeats=True, readings=3)
    measured = sizes("MIC-1", "12.30", "12.34", "12.35")
    judged = examine(item, measured, DecisionRule())
    found = metal(replace(size("12.30"), measurement=measured, outcome=judged), item=item)
    assert judged.uncertainty is not None
    assert found.measured is not None
    assert (found.measured.size_mm, found.measured.expanded_uncertainty_mm) == (
        D("12.3300"),
        judged.uncertainty.expanded,
    )
    assert found.measured.expanded_uncertainty_mm > D("0.01"), "three repeats that scatter by 0.05 mm"

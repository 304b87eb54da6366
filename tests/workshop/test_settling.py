"""What becomes of each part: proposed by rule, settled by the technician, conceded by a manager."""

import pytest

from service.workshop.disposition import DispositionRefused, possible_choices, settlement_in_force
from service.workshop.entries import ConcessionDecided
from service.workshop.measurements import Measurement
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Disposition, Stage
from tests.small_findings import REJECTED, SOUND, seen
from tests.small_sheet import SMALL_SHEET
from tests.workshop.overhaul_by_hand import ByHand, at_stage

KEEP, REWORK, REPLACE = Disposition.KEEP, Disposition.REWORK, Disposition.REPLACE
ASSEMBLY, CONDEMN = Disposition.REPLACE_ASSEMBLY, Disposition.CONDEMN


def examined(*rejected: str, **other: Measurement) -> ByHand:
    found = {key: REJECTED[key] for key in rejected}
    return at_stage(Stage.EXAMINED, {**found, **{key.replace("_", "-"): value for key, value in other.items()}})


@pytest.mark.parametrize(
    ("rejected", "part", "proposed"),
    [
        ("body-cracks", "body", CONDEMN),
        ("body-seat-width", "body", REWORK),
        ("body-pin", "body", REPLACE),
        ("nozzle-holes", "nozzle", ASSEMBLY),
        ("nozzle-ovality", "nozzle", ASSEMBLY),
        ("nozzle-tip", "nozzle", ASSEMBLY),
        ("needle-seat", "needle", ASSEMBLY),
        ("needle-guide", "needle", ASSEMBLY),
        ("spring-length", "spring", REPLACE),
        ("spring-rate", "spring", REPLACE),
    ],
)
def test_each_rejected_characteristic_names_its_consequence(rejected: str, part: str, proposed: Disposition) -> None:
    proposal = examined(rejected).proposal(part)
    assert proposal.disposition is proposed
    assert SMALL_SHEET.characteristic_by_key[rejected].title in proposal.reasons[0]


def test_a_sound_part_is_kept() -> None:
    assert examined().proposal("nozzle").disposition is KEEP


def test_the_strictest_consequence_of_a_part_counts() -> None:
    proposal = examined("body-seat-width", "body-cracks").proposal("body")
    assert proposal.disposition is CONDEMN
    assert len(proposal.reasons) == 2


def test_a_coked_tip_is_cleaned_not_replaced() -> None:
    assert examined(nozzle_tip=seen("coked")).proposal("nozzle").disposition is REWORK


def test_what_is_not_examined_is_never_good() -> None:
    hand = at_stage(Stage.STRIPPED)
    hand.examine_all(but=("body-pin",))
    proposal = hand.proposal("body")
    assert proposal.disposition is None
    assert proposal.open_characteristics == ("body-pin",)
    assert hand.stage is Stage.STRIPPED
    with pytest.raises(DispositionRefused, match="Examine first: Locating pin"):
        hand.settle("body", KEEP)


def test_an_indented_internal_seat_takes_the_matched_nozzle_with_it_but_the_spring_stays() -> None:
    hand = examined("needle-seat")
    assert hand.proposal("needle").disposition is ASSEMBLY
    nozzle = hand.proposal("nozzle")
    assert nozzle.disposition is ASSEMBLY
    assert "matched parts go together" in nozzle.reasons[-1]
    assert hand.proposal("spring").disposition is KEEP


@pytest.mark.parametrize("chosen", [KEEP, REWORK])
def test_a_matched_part_does_not_stay_when_its_mate_goes(chosen: Disposition) -> None:
    with pytest.raises(DispositionRefused, match="Matched parts go together"):
        examined("needle-seat").settle("nozzle", chosen, "It is sound.")


def test_a_matched_part_is_not_replaced_singly() -> None:
    hand = examined()
    with pytest.raises(DispositionRefused, match="not replaced singly: replace the assembly"):
        hand.settle("nozzle", REPLACE, "New nozzle at hand.")


def test_the_spring_of_a_matched_assembly_is_replaced_singly() -> None:
    hand = examined("spring-rate")
    assert hand.settle("spring").chosen is REPLACE
    assert hand.proposal("nozzle").disposition is KEEP


def test_a_part_without_mates_has_no_assembly_to_replace() -> None:
    with pytest.raises(DispositionRefused, match="belongs to no matched assembly"):
        examined().settle("body", ASSEMBLY, "Why not.")
    assert possible_choices(SMALL_SHEET.part_by_key["spring"]) == tuple(Disposition)


def test_choosing_the_whole_assembly_by_hand_takes_the_mates_along() -> None:
    hand = examined()
    hand.settle("nozzle", ASSEMBLY, "Worn by its looks.")
    assert hand.proposal("needle").disposition is ASSEMBLY


@pytest.mark.parametrize("chosen", [KEEP, REWORK])
def test_a_seal_is_always_renewed(chosen: Disposition) -> None:
    hand = at_stage(Stage.STRIPPED)
    assert hand.proposal("seal-ring").disposition is REPLACE
    with pytest.raises(DispositionRefused, match="Every seal is renewed at each overhaul"):
        hand.settle("seal-ring", chosen, "As good as new.")


def test_going_against_the_rule_needs_a_reason() -> None:
    hand = examined("body-pin")
    with pytest.raises(DispositionRefused, match="Say why") as refusal:
        hand.settle("body", KEEP, "  ")
    assert refusal.value.field == "reason"


def test_a_milder_choice_waits_for_a_concession() -> None:
    hand = examined("body-pin")
    for part in hand.sheet.parts:
        if part.key == "body":
            hand.settle("body", KEEP, "The pin is sound enough.")
        else:
            hand.settle(part.key)
    assert hand.stage is Stage.EXAMINED
    assert "no-concession" in [blocker.code for blocker in hand.blockers]
    hand.concede("body", granted=False)
    assert "concession-refused" in [blocker.code for blocker in hand.blockers]
    hand.concede("body")
    assert hand.stage is Stage.AGREED


def test_a_stricter_choice_needs_a_reason_but_no_concession() -> None:
    hand = examined("body-seat-width")
    for part in hand.sheet.parts:
        if part.key == "body":
            hand.settle("body", REPLACE, "Ground twice before.")
        else:
            hand.settle(part.key)
    assert hand.stage is Stage.AGREED


def test_nobody_concedes_what_nobody_asks_for() -> None:
    hand = examined("body-pin")
    hand.settle("body")
    with pytest.raises(NotPermitted, match="Nobody asks for a concession"):
        hand.put(ConcessionDecided(part="body", chosen=KEEP, granted=True, reason="Unasked."))


def test_a_concession_ends_with_the_settlement_that_it_was_given_for() -> None:
    hand = examined("body-pin")
    hand.settle("body", KEEP, "Sound enough.")
    hand.concede("body")
    hand.settle("body", KEEP, "Asked again.")
    assert hand.record.concession("body") is None


def test_a_changed_proposal_is_settled_again() -> None:
    hand = examined()
    hand.settle("body")
    hand.examine("body-pin", REJECTED["body-pin"])
    assert settlement_in_force(hand.record, hand.proposal("body")) is None
    assert "Not settled again, since the proposal has changed: Injector body." in [b.sentence for b in hand.blockers]


def test_a_concession_does_not_cover_a_defect_found_after_it() -> None:
    hand = examined("needle-guide")
    hand.settle("needle", KEEP, "Guide worn by a hair.")
    hand.concede("needle")
    assert hand.proposal("nozzle").disposition is KEEP
    hand.examine("needle-seat", REJECTED["needle-seat"])
    assert settlement_in_force(hand.record, hand.proposal("needle")) is None
    assert hand.proposal("nozzle").disposition is ASSEMBLY


def test_a_concession_stands_when_a_later_finding_is_sound() -> None:
    hand = examined("needle-guide")
    hand.settle("needle", KEEP, "Guide worn by a hair.")
    hand.concede("needle")
    hand.examine("needle-seat", SOUND["needle-seat"])
    assert settlement_in_force(hand.record, hand.proposal("needle")) is not None


def test_a_part_settled_as_condemned_stops_the_injector_until_a_manager_condemns_it() -> None:
    hand = examined("body-cracks")
    hand.settle_all()
    assert hand.stage is Stage.EXAMINED
    assert ("to-condemn", "exit", "body") in [(b.code, b.place, b.key) for b in hand.blockers]

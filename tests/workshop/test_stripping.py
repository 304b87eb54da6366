"""Taking the injector apart: every part accounted for, every seal discarded."""

import pytest

from service.workshop.disposition import DispositionRefused
from service.workshop.entries import PartFound, Stripped
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Disposition, PartState, Stage
from tests.workshop.overhaul_by_hand import ByHand, at_stage

ALL_FREE = tuple(PartFound(part=key, state=PartState.FREE) for key in ("body", "nozzle", "needle", "spring"))


def test_a_part_not_accounted_for_is_refused_by_its_name() -> None:
    with pytest.raises(NotPermitted, match="Say how it came out: Spring") as refusal:
        ByHand().put(Stripped(parts=ALL_FREE[:3], seals_discarded=True))
    assert refusal.value.field == "state-spring"


def test_a_part_that_the_sheet_does_not_list_is_refused() -> None:
    odd = PartFound(part="turbocharger", state=PartState.FREE)
    with pytest.raises(NotPermitted, match="no such part"):
        ByHand().put(Stripped(parts=(*ALL_FREE, odd), seals_discarded=True))


def test_a_part_told_of_twice_is_refused() -> None:
    again = PartFound(part="nozzle", state=PartState.BROKEN)
    with pytest.raises(NotPermitted, match="Nozzle is listed twice"):
        ByHand().put(Stripped(parts=(*ALL_FREE, again), seals_discarded=True))


def test_seals_kept_are_refused() -> None:
    with pytest.raises(NotPermitted, match="all sealing rings are renewed at each overhaul") as refusal:
        ByHand().put(Stripped(parts=ALL_FREE, seals_discarded=False))
    assert refusal.value.field == "seals_discarded"


def test_an_injector_is_stripped_once() -> None:
    with pytest.raises(NotPermitted, match="Not possible while the injector is stripped"):
        at_stage(Stage.STRIPPED).strip()


@pytest.mark.parametrize("state", [PartState.MISSING, PartState.BROKEN])
def test_a_missing_or_broken_part_is_renewed_without_examination(state: PartState) -> None:
    hand = ByHand()
    hand.strip(body=state)
    proposal = hand.proposal("body")
    assert proposal.disposition is Disposition.REPLACE
    assert proposal.open_characteristics == ()
    assert proposal.reasons == (f"Injector body was {state.value} when the injector was stripped.",)


@pytest.mark.parametrize("state", [PartState.MISSING, PartState.BROKEN])
@pytest.mark.parametrize("chosen", [Disposition.KEEP, Disposition.REWORK])
def test_a_missing_or_broken_part_is_neither_kept_nor_reworked_by_anybodys_leave(
    state: PartState, chosen: Disposition
) -> None:
    hand = ByHand()
    hand.strip(body=state)
    with pytest.raises(DispositionRefused, match="is not possible here"):
        hand.settle("body", chosen, "It looked fine.")


def test_a_broken_nozzle_takes_its_matched_assembly_with_it_but_not_the_spring() -> None:
    hand = ByHand()
    hand.strip(nozzle=PartState.BROKEN)
    assert hand.proposal("nozzle").disposition is Disposition.REPLACE_ASSEMBLY
    assert hand.proposal("needle").disposition is Disposition.REPLACE_ASSEMBLY
    assert hand.proposal("spring").disposition is None


def test_a_stuck_part_is_examined_like_any_other() -> None:
    hand = ByHand()
    hand.strip(body=PartState.STUCK)
    assert hand.proposal("body").open_characteristics == ("body-cracks", "body-seat-width", "body-pin")

"""Settling one part, or all as proposed."""

import pytest

from service.actions.recording import Form, Recorded
from service.actions.settling import settle_as_proposed, settle_part
from service.actions.shop import Actor, Forbidden, NotFound, Shop
from service.workshop.disposition import DispositionRefused
from service.workshop.entries import PartSettled
from service.workshop.vocabulary import Disposition, Stage
from tests.actions.at_the_bench import bring_to, entry_count, examine, examine_all, form, loaded, receive, strip
from tests.actions.duties import Act, is_recorded_once, keeps_out, knows_no_stranger, refuses, tells_what_changed
from tests.registered_fleet import Fleet
from tests.small_findings import REJECTED

KEEP = Disposition.KEEP


def settling(shop: Shop, part: str, chosen: Disposition, reason: str = "") -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return settle_part(shop, actor, number, blank, part=part, chosen=chosen, reason=reason)

    return act


def test_a_technician_settles_an_examined_part(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED)
    act = settling(shop, "body", KEEP)
    keeps_out(shop, number, act, fleet.office)
    knows_no_stranger(shop, fleet, number, act, fleet.technician)
    done = is_recorded_once(shop, number, act, fleet.technician)
    assert done.content == PartSettled(part="body", proposed=KEEP, chosen=KEEP)
    tells_what_changed(shop, number, act, fleet.technician, fleet.second_technician)


@pytest.mark.parametrize(
    ("part", "chosen", "reason", "code"),
    [
        ("body", KEEP, "", "reason-missing"),
        ("needle", Disposition.REWORK, "Light lapping.", "forbidden"),
        ("nozzle", KEEP, "Sound.", "forbidden"),
        ("seal-ring", KEEP, "Like new.", "forbidden"),
        ("body", Disposition.REPLACE_ASSEMBLY, "Why not.", "not-a-choice"),
    ],
)
def test_a_choice_against_the_rules_of_the_trade_is_refused(
    shop: Shop, fleet: Fleet, part: str, chosen: Disposition, reason: str, code: str
) -> None:
    worn = {key: REJECTED[key] for key in ("body-pin", "needle-seat")}
    number = bring_to(shop, fleet, Stage.EXAMINED, worn)
    act = settling(shop, part, chosen, reason)
    error = refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), DispositionRefused)
    assert error.code == code


def test_a_part_not_examined_is_not_settled_and_an_unknown_one_not_found(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    for part, kind in (("body", DispositionRefused), ("propeller", NotFound)):
        act = settling(shop, part, KEEP)
        refuses(shop, number, lambda act=act: act(fleet.technician, number, form(shop, number)), kind)  # type: ignore[misc]


def test_all_parts_are_settled_as_proposed_in_one_form(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    strip(shop, fleet, number)
    examine_all(shop, fleet, number)
    with pytest.raises(Forbidden):
        settle_as_proposed(shop, fleet.office, number, form(shop, number))
    blank = form(shop, number)
    assert settle_as_proposed(shop, fleet.technician, number, blank) == 5
    before = entry_count(shop, number)
    assert settle_as_proposed(shop, fleet.technician, number, blank) == 0
    assert entry_count(shop, number) == before
    assert loaded(shop, number).row.stage == "agreed"


def test_a_form_sent_again_does_not_settle_what_was_found_since(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED)
    blank = form(shop, number)
    assert settle_as_proposed(shop, fleet.technician, number, blank) == 5
    examine(shop, fleet, number, "body-pin", REJECTED["body-pin"])
    sent_again = Form(blank.key, form(shop, number).seen)
    before = entry_count(shop, number)
    assert settle_as_proposed(shop, fleet.technician, number, sent_again) == 0
    assert entry_count(shop, number) == before

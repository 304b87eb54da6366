"""Rework, new parts, torques, discs and reopening, each with what every action owes."""

from collections.abc import Callable
from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.rebuilding import change_discs, fit_part, record_rework, record_torque, reopen
from service.actions.recording import Form, Recorded
from service.actions.settling import settle_as_proposed
from service.actions.shop import Actor, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.instrument_fitness import InstrumentRefused
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import (
    bring_to,
    examine,
    examine_all,
    form,
    loaded,
    prove,
    rebuild,
    receive,
    strip,
    torque,
)
from tests.actions.duties import (
    Act,
    is_out_of_place,
    is_recorded_once,
    keeps_out,
    knows_no_stranger,
    refuses,
    tells_what_changed,
)
from tests.registered_fleet import Fleet
from tests.small_findings import REJECTED

WORN = {"body-seat-width": REJECTED["body-seat-width"]}


def doing(shop: Shop, action: Callable[..., Recorded], **fields: Any) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return action(shop, actor, number, blank, **fields)

    return act


ACTIONS: list[tuple[Callable[..., Recorded], dict[str, Any], Stage, Stage]] = [
    (record_rework, {"part": "body", "method": "Ground 0.1 mm."}, Stage.AGREED, Stage.EXAMINED),
    (fit_part, {"item": "seal-ring", "batch": "S-9"}, Stage.AGREED, Stage.EXAMINED),
    (record_torque, {"point": "nut", "value": D("100.5"), "wrench": "WRENCH-1"}, Stage.REBUILT, Stage.EXAMINED),
    (change_discs, {"added": (D("0.10"),), "reason": "Low."}, Stage.AGREED, Stage.EXAMINED),
    (reopen, {"reason": "It drips."}, Stage.PROVED, Stage.RECEIVED),
]


@pytest.mark.parametrize(("action", "fields", "stage", "wrong"), ACTIONS, ids=lambda one: getattr(one, "__name__", ""))
def test_each_action_of_the_rebuild_keeps_its_duties(
    shop: Shop, fleet: Fleet, action: Callable[..., Recorded], fields: dict[str, Any], stage: Stage, wrong: Stage
) -> None:
    number = bring_to(shop, fleet, wrong)
    act = doing(shop, action, **fields)
    is_out_of_place(shop, number, act, fleet.technician)
    other = bring_further(shop, fleet, stage)
    keeps_out(shop, other, act, fleet.office)
    knows_no_stranger(shop, fleet, other, act, fleet.technician)
    is_recorded_once(shop, other, act, fleet.technician)
    if stage is not Stage.PROVED:
        tells_what_changed(shop, other, act, fleet.technician, fleet.second_technician)


def bring_further(shop: Shop, fleet: Fleet, stage: Stage) -> str:
    """A second injector, with a worn body."""
    number = receive(shop, fleet, "B-2")[0]
    strip(shop, fleet, number)
    examine_all(shop, fleet, number, WORN)
    settle_as_proposed(shop, fleet.technician, number, form(shop, number))
    if stage in (Stage.REBUILT, Stage.PROVED):
        rebuild(shop, fleet, number)
    if stage is Stage.PROVED:
        prove(shop, fleet, number)
    return number


BAD: list[tuple[Callable[..., Recorded], dict[str, Any], type[DomainError], str | None]] = [
    (record_rework, {"part": "body", "method": " "}, Refused, "method"),
    (record_rework, {"part": "spring", "method": "Ground."}, NotPermitted, None),
    (record_rework, {"part": "propeller", "method": "Ground."}, NotPermitted, None),
    (fit_part, {"item": "seal-ring", "batch": ""}, Refused, "batch"),
    (fit_part, {"item": "propeller", "batch": "S-9"}, NotPermitted, None),
    (record_torque, {"point": "bolt", "value": D(100), "wrench": "WRENCH-1"}, NotFound, None),
    (record_torque, {"point": "nut", "value": D("NaN"), "wrench": "WRENCH-1"}, DomainError, "value"),
    (record_torque, {"point": "nut", "value": D(100), "wrench": "MIC-1"}, InstrumentRefused, "wrench"),
    (record_torque, {"point": "nut", "value": D(100), "wrench": ""}, Refused, "wrench"),
    (change_discs, {"added": (D(99),), "reason": "Low."}, DomainError, "added"),
    (change_discs, {"removed": (D(-1),), "reason": "Low."}, DomainError, "removed"),
    (change_discs, {"added": (D("0.1"),) * 6, "reason": "Low."}, NotPermitted, "added"),
    (change_discs, {"reason": "Low."}, NotPermitted, "added"),
    (change_discs, {"added": (D("0.1"),), "reason": ""}, Refused, "reason"),
    (reopen, {"reason": ""}, Refused, "reason"),
]


def test_bad_input_is_refused_by_its_field_and_nothing_is_stored(shop: Shop, fleet: Fleet) -> None:
    number = bring_further(shop, fleet, Stage.REBUILT)
    for action, fields, kind, field in BAD:
        act = doing(shop, action, **fields)
        error = refuses(shop, number, lambda act=act: act(fleet.technician, number, form(shop, number)), kind)  # type: ignore[misc]
        assert error.field == field, (action.__name__, fields)


@pytest.mark.parametrize("opening", ["discs", "reopen", "fit", "torque"])
def test_work_after_a_passed_test_takes_the_pass_away(shop: Shop, fleet: Fleet, opening: str) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    acts = {
        "discs": doing(shop, change_discs, added=(D("0.1"),), reason="Low."),
        "reopen": doing(shop, reopen, reason="It drips."),
        "fit": doing(shop, fit_part, item="seal-ring", batch="S-9"),
        "torque": doing(shop, record_torque, point="nut", value=D(100), wrench="WRENCH-1"),
    }
    acts[opening](fleet.technician, number, form(shop, number))
    if opening != "torque":
        torque(shop, fleet, number)
    assert loaded(shop, number).row.stage == "rebuilt"
    prove(shop, fleet, number)
    assert loaded(shop, number).row.stage == "proved"


def test_a_defect_found_on_a_proved_injector_takes_it_back(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    assert examine(shop, fleet, number, "body-pin", REJECTED["body-pin"]).stage is Stage.EXAMINED

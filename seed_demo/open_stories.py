"""Consignments that are in the shop now, at every stage, with whatever stops them."""

from decimal import Decimal

from seed_demo import readings
from seed_demo.cast import ALDER, BEN, BIRCH, CEDAR, OLGA, PETRA, TOM
from seed_demo.consignments import Sent, receive
from seed_demo.decisions import answer, keep_against_the_rule
from seed_demo.foundation import Foundation
from seed_demo.logged_traces import Logged
from seed_demo.past_stories import RETURNING_SERIAL
from seed_demo.rigs import SECOND_RIG, USUAL_RIG, check_before_the_first_run
from service.actions.course import hold
from service.actions.rebuilding import change_discs
from service.workshop.entries import BenchRunStarted
from service.workshop.step_results import EmissionResult, SeatTightnessResult
from service.workshop.vocabulary import Fuel, Packing, PartState, RunPurpose, SendReason


def late_consignment(on: Foundation) -> None:
    """Promised for three days ago: held, waiting for a concession, stripped, and one not touched yet."""
    sent = (
        Sent(serial="A2-2001", cylinder=1, hours=7400, reason=SendReason.DRIBBLING, packing=Packing.PLUGS_MISSING),
        Sent(serial="A2-2002", cylinder=2, hours=7400),
        Sent(serial="A2-2003", cylinder=3, hours=7400, reason=SendReason.TEMPERATURE),
        Sent(serial="A2-2004", cylinder=4, hours=7400),
    )
    stopped, stripped, asking, _untouched = receive(
        on, PETRA, ALDER.vessels[1], *sent, days_ago=17, promised_days=14, remark="Two crates, one wet"
    )
    stopped.strip({"spindle-guide": PartState.STUCK}, "Rust in the fuel bore")
    stopped.examine(stop_after=5)
    on.clock.wait(5)
    reason = "Water in the fuel bore: the ship is asked for its fuel analysis."
    hold(on.shop, stopped.technician, stopped.number, stopped.form(), reason=reason, password=PETRA.password)
    stripped.strip()
    asking.strip()
    near = readings.ovality(on.shop, asking.item("nozzle-ovality"), Decimal("0.018"), 2)
    asking.examine({"nozzle-ovality": near})
    keep_against_the_rule(on, asking, "nozzle", "No new nozzle in stock before the ship sails.")
    asking.settle()


def alder_one_again(on: Foundation) -> None:
    """The serial that was here three times before, half examined; its neighbours at four other places."""
    sent = (
        Sent(serial=RETURNING_SERIAL, cylinder=1, position="exhaust side", hours=7900, reason=SendReason.SMOKE),
        Sent(serial="A1-1002", cylinder=1, position="manoeuvring side", hours=15900),
        Sent(serial="A1-1003", cylinder=2, position="exhaust side", hours=7900, reason=SendReason.KNOCKING),
        Sent(serial="A1-1004", cylinder=2, position="manoeuvring side", hours=7900),
        Sent(serial="A1-1005", cylinder=3, position="exhaust side", hours=7900),
    )
    again, worn, indented, ready, accepted = receive(on, PETRA, ALDER.vessels[0], *sent, days_ago=12, promised_days=17)
    ready.through()
    worn.through({"nozzle-holes": readings.pins(on.shop, worn.item("nozzle-holes"), worn=(4,))})
    for passage in (indented, accepted):
        passage.strip()
        passage.examine({"guide-seat": readings.seen(on.shop, passage.item("guide-seat"), "indentation")})
        passage.settle()
    answer(on, accepted, OLGA, "Agreed: new spindle guide assembly.", accepted=True)
    again.test({"opening-pressure": readings.opening(342, 341, 342)}, purpose=RunPurpose.AS_FOUND)
    again.strip(remark="Carbon trumpets on the nozzle")
    again.examine(
        {
            "nozzle-ovality": readings.ovality(on.shop, again.item("nozzle-ovality"), Decimal("0.011"), 3),
            "guide-seat": readings.seen(on.shop, again.item("guide-seat"), "light-marks"),
        },
        stop_after=9,
    )


def birch_dawn(on: Foundation) -> None:
    """Declined, void after a disc change, being rebuilt, and failed on the rig."""
    sent = tuple(
        Sent(serial=f"BD-400{place}", cylinder=place, hours=5300, fuel=Fuel.DISTILLATE, reason=reason)
        for place, reason in enumerate(
            (SendReason.DRIBBLING, SendReason.PLANNED, SendReason.PLANNED, SendReason.TEMPERATURE), start=1
        )
    )
    declined, void, building, failed = receive(on, TOM, BIRCH.vessels[0], *sent, days_ago=9, promised_days=14)
    declined.strip()
    declined.examine({"nozzle-holes": readings.pins(on.shop, declined.item("nozzle-holes"), worn=(1, 6))})
    declined.settle()
    answer(on, declined, BEN, "Too dear for this ship: what else can be done?", accepted=False)
    void.through()
    on.clock.wait(10)
    form, disc = void.form(), (Decimal("0.20"),)
    change_discs(on.shop, void.technician, void.number, form, added=disc, reason="Raised by 5 bar on request.")
    void.rebuild()
    building.strip()
    building.examine({"thrust-face": readings.size(on.shop, building.item("thrust-face"), "0.08")})
    building.settle()
    failed.strip()
    failed.examine()
    failed.settle()
    failed.rebuild()
    failed.test({"emission": EmissionResult(spraying=(1, 2, 3, 5, 6, 7, 8))})


def cedar_autumn(on: Foundation) -> None:
    """Half way through its bench run with a trace, proved, not proven, opening too early, on a rig that leaks."""
    sent = (
        Sent(serial="CA-9001", cylinder=1, hours=10200),
        Sent(serial="CA-9002", cylinder=2, hours=10200),
        Sent(serial="CA-9003", cylinder=3, hours=10200, reason=SendReason.OTHER, remark="Seized after bunkering"),
        Sent(serial="CA-9004", cylinder=4, hours=10200, reason=SendReason.SMOKE),
        Sent(serial="CA-9005", cylinder=5, hours=10200),
    )
    on_the_rig, ready, near_limit, early, indicative = receive(
        on, TOM, CEDAR.vessels[1], *sent, days_ago=6, promised_days=10
    )
    ready.through({"spring-length": readings.size(on.shop, ready.item("spring-length"), "79.1")})
    on_the_rig.strip()
    on_the_rig.examine()
    on_the_rig.settle()
    on_the_rig.rebuild()
    on_the_rig.test(stop_after=3)
    run = next(seq for seq, _ in on_the_rig.record.all_of(BenchRunStarted))
    on_the_rig.keep_logged(run, "opening-pressure", Logged((351.0, 354.0, 352.5, 353.2), seed=9, slip_bar=311.0))
    near_limit.strip({"needle": PartState.STUCK})
    coarse = readings.size(on.shop, near_limit.item("guide-bore"), "12.004", "12.005", instrument="BG-03")
    near_limit.examine({"guide-bore": coarse})
    early.strip()
    early.examine()
    early.settle()
    early.rebuild()
    early.test({"opening-pressure": readings.opening(331, 332, 331)})
    indicative.strip()
    indicative.examine()
    indicative.settle()
    indicative.rebuild()
    indicative.test(rig=SECOND_RIG)


def cedar_auxiliaries(on: Foundation) -> None:
    """Two small injectors: a missing part and blocked holes."""
    sent = (
        Sent(serial="CS-8001", engine=1, cylinder=1, hours=2900, fuel=Fuel.DISTILLATE),
        Sent(serial="CS-8002", engine=1, cylinder=2, hours=2900, fuel=Fuel.DISTILLATE),
    )
    missing, blocked = receive(on, PETRA, CEDAR.vessels[0], *sent, days_ago=4, promised_days=9)
    missing.strip({"thrust-piece": PartState.MISSING})
    missing.examine()
    missing.settle()
    blocked.strip()
    blocked.examine({"nozzle-holes": readings.pins(on.shop, blocked.item("nozzle-holes"), blocked=(2,))})


def arrived_lately(on: Foundation) -> None:
    """Came yesterday: one leaked as found, of one a hole cannot be told yet, one is still in its crate."""
    sent = tuple(
        Sent(serial=f"BU-600{place}", cylinder=place, hours=4800, fuel=Fuel.BIOFUEL_BLEND, reason=reason)
        for place, reason in enumerate((SendReason.DRIBBLING, SendReason.PLANNED, SendReason.PLANNED), start=1)
    )
    wet, _in_the_crate, unclear = receive(on, PETRA, BIRCH.vessels[2], *sent, days_ago=1, promised_days=14)
    dripping = SeatTightnessResult(pressure_bar=Decimal(300), held_s=5, dry=False, leaks=("at-holes",))
    wet.test({"seat-tightness": dripping}, purpose=RunPurpose.AS_FOUND)
    in_the_mist = EmissionResult(spraying=(1, 2, 3, 4, 5, 7, 8), unclear=(6,))
    unclear.test({"emission": in_the_mist}, purpose=RunPurpose.AS_FOUND)


def this_morning(on: Foundation) -> None:
    """Somebody has checked the usual rig today, the other one not yet."""
    on.clock.at(0, 6)
    check_before_the_first_run(on.shop, on.actor(TOM), USUAL_RIG)


STORIES = (late_consignment, alder_one_again, birch_dawn, cedar_autumn, cedar_auxiliaries, arrived_lately, this_morning)

"""Consignments that are over: released, condemned, returned; among them a serial that has been here twice before."""

from decimal import Decimal

from seed_demo import readings
from seed_demo.cast import ALDER, BEN, BIRCH, CEDAR, KARL, OLGA, PETRA, TOM
from seed_demo.consignments import Sent, receive
from seed_demo.decisions import answer, concede, keep_against_the_rule, release, scrap, send_back
from seed_demo.foundation import Foundation
from seed_demo.instruments import FAILED
from seed_demo.logged_traces import Logged
from service.actions.rebuilding import change_discs
from service.workshop.step_results import SeatTightnessResult
from service.workshop.vocabulary import Fuel, Packing, PartState, RunPurpose, SendReason

RETURNING_SERIAL = "A1-1001"
"""It has been overhauled three times before, so that its opening pressure shows how it drifts, and is here again."""


def first_visit(on: Foundation) -> None:
    """Two years ago: nothing to find, nothing to ask."""
    sent = (
        Sent(serial=RETURNING_SERIAL, cylinder=1, position="exhaust side", hours=8000),
        Sent(serial="A1-1002", cylinder=1, position="manoeuvring side", hours=8000),
    )
    for passage in receive(on, PETRA, ALDER.vessels[0], *sent, days_ago=760, promised_days=14):
        passage.through()
        release(on, passage)


def early_visit(on: Foundation) -> None:
    """The same serial came back after half its hours, knocking: nothing was worn, its pressure was set again."""
    sent = Sent(serial=RETURNING_SERIAL, cylinder=1, position="exhaust side", hours=3900, reason=SendReason.KNOCKING)
    (passage,) = receive(on, PETRA, ALDER.vessels[0], sent, days_ago=570, promised_days=14)
    passage.test({"opening-pressure": readings.opening(347, 346, 347)}, purpose=RunPurpose.AS_FOUND)
    passage.through()
    release(on, passage)


def second_visit(on: Foundation) -> None:
    """A year ago it came back with one worn spray hole and got a new nozzle."""
    sent = Sent(
        serial=RETURNING_SERIAL,
        cylinder=2,
        position="exhaust side",
        hours=4300,
        reason=SendReason.SMOKE,
        remark="Dark smoke at low load",
    )
    (passage,) = receive(on, TOM, ALDER.vessels[0], sent, days_ago=380, promised_days=14)
    passage.test({"opening-pressure": readings.opening(344, 343, 344)}, purpose=RunPurpose.AS_FOUND)
    passage.through({"nozzle-holes": readings.pins(on.shop, passage.item("nozzle-holes"), worn=(3,))})
    release(on, passage)


def conceded_and_condemned(on: Foundation) -> None:
    """One released under a concession that the certificate prints, one plain, one with a cracked housing.

    The plain one's needle was measured with the micrometer that failed, far enough inside its limits all the same.
    """
    sent = (
        Sent(serial="A3-3001", cylinder=4, hours=6100),
        Sent(serial="A3-3002", cylinder=5, hours=6100, reason=SendReason.TEMPERATURE),
        Sent(serial="A3-3003", cylinder=6, hours=6100, reason=SendReason.KNOCKING, packing=Packing.DAMAGED),
    )
    plain, near_limit, cracked = receive(on, PETRA, ALDER.vessels[2], *sent, days_ago=52, promised_days=15)
    thick = readings.size(on.shop, plain.item("needle-diameter"), "11.990", "11.990", instrument=FAILED)
    plain.through({"needle-diameter": thick})
    release(on, plain, KARL)
    near_limit.strip()
    near_limit.examine(
        {"nozzle-ovality": readings.ovality(on.shop, near_limit.item("nozzle-ovality"), Decimal("0.019"), 4)}
    )
    keep_against_the_rule(on, near_limit, "nozzle", "Inside the limit on every reading; measured three times.")
    near_limit.settle()
    concede(on, near_limit, "nozzle", "One more period of at most 4000 hours, then renew the nozzle.")
    near_limit.rebuild()
    near_limit.test()
    release(on, near_limit)
    cracked.strip({"thrust-piece": PartState.STUCK}, "Struck marks on the union nut")
    cracked.examine({"housing-bore": readings.seen(on.shop, cracked.item("housing-bore"), "cracked")})
    cracked.settle()
    scrap(on, cracked, "Crack from the fuel bore to the outside: fire danger.")


def reworked_returned_adjusted(on: Foundation) -> None:
    """Four-stroke injectors: reworked, sent back on the owner's word, and adjusted with a disc before it passed."""
    sent = (
        Sent(serial="BN-5001", cylinder=1, hours=4200, fuel=Fuel.DISTILLATE),
        Sent(serial="BN-5002", cylinder=2, hours=4200, fuel=Fuel.DISTILLATE, reason=SendReason.DRIBBLING),
        Sent(serial="BN-5003", cylinder=3, hours=4200, fuel=Fuel.BIOFUEL_BLEND, reason=SendReason.SMOKE),
    )
    ground, unwanted, adjusted = receive(on, TOM, BIRCH.vessels[1], *sent, days_ago=66, promised_days=20)
    worn_face = {"housing-face": readings.size(on.shop, ground.item("housing-face"), "0.09")}
    ground.through(worn_face)
    release(on, ground)

    unwanted.strip()
    unwanted.examine({"nozzle-seat": readings.seen(on.shop, unwanted.item("nozzle-seat"), "indentation")})
    unwanted.settle()
    answer(on, unwanted, BEN, "A new assembly is on board already: send it back as it is.", accepted=False)
    send_back(on, unwanted, "The ship's office declined the new nozzle assembly.")

    wet = SeatTightnessResult(pressure_bar=Decimal(320), held_s=15, dry=False)
    adjusted.test({"seat-tightness": wet}, purpose=RunPurpose.AS_FOUND)
    adjusted.strip()
    adjusted.examine()
    adjusted.settle()
    adjusted.rebuild()
    adjusted.test({"opening-pressure": readings.opening(384, 385, 384)})
    disc = (Decimal("0.25"),)
    form = adjusted.form()
    change_discs(on.shop, adjusted.technician, adjusted.number, form, added=disc, reason="Opened 15 bar too low.")
    adjusted.rebuild()
    adjusted.test()
    release(on, adjusted, KARL)


def cedar_released(on: Foundation) -> None:
    """A fleet whose standing order covers all: a new assembly fitted without asking.

    The first one's needle was measured with the micrometer that was found a few days later to read too much: corrected,
    the needle is below its limit, and the certificate is out.
    """
    sent = (
        Sent(serial="CS-7001", cylinder=1, hours=9100),
        Sent(serial="CS-7002", cylinder=2, hours=9100, reason=SendReason.DRIBBLING),
        Sent(serial="CS-7003", cylinder=3, hours=9100),
    )
    first, dribbling, third = receive(on, PETRA, CEDAR.vessels[0], *sent, days_ago=34, promised_days=12)
    thin = readings.size(on.shop, first.item("needle-diameter"), "11.981", "11.980", instrument=FAILED)
    first.through({"needle-diameter": thin})
    dribbling.through({"guide-seat": readings.seen(on.shop, dribbling.item("guide-seat"), "burnt")})
    third.through({"spring-rate": readings.size(on.shop, third.item("spring-rate"), "184")})
    for passage in (first, dribbling, third):
        release(on, passage)


def auxiliaries_released(on: Foundation) -> None:
    """Small injectors of an auxiliary engine: one's certificate shows the logger's trace, one has a new assembly."""
    sent = (
        Sent(serial="A2-8001", engine=1, cylinder=1, hours=3000, fuel=Fuel.DISTILLATE),
        Sent(serial="A2-8002", engine=1, cylinder=2, hours=3000, fuel=Fuel.DISTILLATE),
    )
    sound, worn = receive(on, TOM, ALDER.vessels[1], *sent, days_ago=27, promised_days=10)
    sound.through(logged=Logged((281.0, 283.4, 282.2), seed=7))
    release(on, sound)
    worn.strip()
    worn.examine({"nozzle-holes": readings.pins(on.shop, worn.item("nozzle-holes"), worn=(2, 5))})
    worn.settle()
    answer(on, worn, OLGA, "Agreed, go ahead.", accepted=True)
    worn.rebuild()
    worn.test()
    release(on, worn, KARL)


STORIES = (
    second_visit,
    reworked_returned_adjusted,
    conceded_and_condemned,
    cedar_released,
    auxiliaries_released,
)

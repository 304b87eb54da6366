"""Receiving the invented consignments."""

from dataclasses import dataclass
from datetime import timedelta

from seed_demo.cast import CastPerson, CastVessel
from seed_demo.foundation import Foundation
from seed_demo.passage import Passage
from service.actions.receiving import InjectorReceived, receive_consignment
from service.workshop.vocabulary import Fuel, Packing, SendReason


@dataclass(frozen=True, kw_only=True)
class Sent:
    """One injector as the ship sent it; `engine` is its place among the vessel's engines."""

    serial: str
    cylinder: int
    hours: int
    engine: int = 0
    position: str = ""
    reason: SendReason = SendReason.PLANNED
    fuel: Fuel = Fuel.RESIDUAL
    packing: Packing = Packing.SOUND
    remark: str = ""


def receive(
    on: Foundation,
    technician: CastPerson,
    vessel: CastVessel,
    *sent: Sent,
    days_ago: int,
    promised_days: int,
    remark: str = "",
) -> list[Passage]:
    """Receive a consignment so many days ago, promised so many days later; gives its injectors' passages."""
    on.clock.at(days_ago)
    injectors = tuple(
        InjectorReceived(
            serial=one.serial,
            engine_id=on.engines[vessel.name, vessel.engines[one.engine].designation],
            cylinder=one.cylinder,
            position=one.position,
            running_hours=one.hours,
            fuel=one.fuel,
            reason=one.reason,
            packing=one.packing,
            remark=one.remark,
        )
        for one in sent
    )
    received = receive_consignment(
        on.shop,
        on.actor(technician),
        imo=vessel.imo,
        due_on=on.clock().date() + timedelta(days=promised_days),
        injectors=injectors,
        reference=f"INVENTED-PO-{days_ago:03d}",
        remark=remark,
        form_key=f"demo-consignment-{vessel.first_six}-{days_ago:03d}",
    )
    on.clock.wait(10 * len(sent))
    return [
        Passage(on.shop, on.clock, number, on.actor(technician), variant)
        for variant, number in enumerate(received.overhauls)
    ]

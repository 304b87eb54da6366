"""Housings whose sealing face was ground again and again: the workshop's own cuts, and two that wait for another."""

from seed_demo import readings
from seed_demo.cast import CEDAR, PETRA, TOM
from seed_demo.consignments import Sent, receive
from seed_demo.decisions import release
from seed_demo.foundation import Foundation
from seed_demo.passage import Passage
from service.actions.rebuilding import record_rework
from service.workshop.vocabulary import Phase, SendReason

GROUND_SERIAL = "CS-7013"
"""Its sealing face was ground on an earlier visit, and is worn again."""
_FACE, _HEIGHT = "housing-face", "housing-height"
_HEIGHTS = {
    "CS-7011": ("39.92", "39.86", "39.81", "39.77"),
    "CS-7012": ("39.95", "39.90", "39.83", "39.77"),
    GROUND_SERIAL: ("39.88", "39.82", "39.78", "39.71"),
}
"""As found, then after each grinding, mm."""


def faces_ground(on: Foundation) -> None:
    """Half a year ago three sealing faces were ground until they were even: nine cuts in all."""
    sent = (Sent(serial=serial, cylinder=place, hours=9100) for place, serial in enumerate(_HEIGHTS, start=1))
    passages = receive(on, PETRA, CEDAR.vessels[0], *sent, days_ago=190, promised_days=20)
    for passage, heights in zip(passages, _HEIGHTS.values(), strict=True):
        _worn(on, passage, heights[0])
        for height in heights[1:]:
            _grind(on, passage, height)
        passage.rebuild()
        passage.test()
        release(on, passage)


def faces_worn_again(on: Foundation) -> None:
    """One of them is worn again and bears a few cuts more; another's face is so low that none is left."""
    sent = (
        Sent(serial=GROUND_SERIAL, cylinder=3, hours=4300),
        Sent(serial="CS-7021", cylinder=5, hours=13400, reason=SendReason.DRIBBLING),
    )
    again, low = receive(on, TOM, CEDAR.vessels[0], *sent, days_ago=3, promised_days=9)
    _worn(on, again, "39.58")
    low.strip()
    low.examine(_defects(on, low, "39.43"))


def _worn(on: Foundation, passage: Passage, height: str) -> None:
    passage.strip()
    passage.examine(_defects(on, passage, height))
    passage.settle()


def _defects(on: Foundation, passage: Passage, height: str) -> dict[str, readings.Measure]:
    return {
        _FACE: readings.size(on.shop, passage.item(_FACE), "0.12"),
        _HEIGHT: readings.size(on.shop, passage.item(_HEIGHT), height),
    }


def _grind(on: Foundation, passage: Passage, height: str) -> None:
    on.clock.wait(20)
    method = "Sealing face ground flat on the lathe"
    record_rework(on.shop, passage.technician, passage.number, passage.form(), part="housing", method=method)
    passage.measure(passage.item(_HEIGHT), readings.size(on.shop, passage.item(_HEIGHT), height), Phase.AFTER_REWORK)

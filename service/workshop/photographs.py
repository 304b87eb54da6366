"""What a photograph may show, when one may be added, and of which characteristics a hole can be measured in one."""

from service.metrology.errors import DomainError
from service.workshop.limit_sheet import AnyCharacteristic, LimitSheet, OvalityCharacteristic, PinCharacteristic
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import NotPermitted
from service.workshop.stages import stage_of
from service.workshop.wording import as_sentence

ARRIVAL = "arrival"
"""The subject of a photograph that shows how the injector came: its packing, its plugs."""


class UnknownSubject(DomainError):
    """A photograph of something that the limit sheet does not list."""


class NoSuchHole(DomainError):
    """A hole that the characteristic does not have, or a characteristic without holes."""


def check_photographable(record: OverhaulRecord) -> None:
    """Raise NotPermitted, with the remedy, where the overhaul is over or held: it takes nothing then."""
    stage = stage_of(record)
    if stage.is_exit:
        raise NotPermitted("over", f"This overhaul is over ({stage.value}): nothing is added to it any more.")
    if record.held is not None:
        raise NotPermitted("held", f"Held: {as_sentence(record.held.reason)} A manager must lift the hold first.")


def subject_words(sheet: LimitSheet, subject: str) -> str:
    """What a photograph shows, in words. Raises UnknownSubject."""
    if subject == ARRIVAL:
        return "As it arrived"
    item = sheet.characteristic_by_key.get(subject)
    if item is None:
        raise UnknownSubject("photograph-subject", "Choose what the photograph shows from the list.", "subject")
    return item.title


def holes_of(item: AnyCharacteristic | None) -> int:
    """How many holes the characteristic has; 0 for one that is about no hole."""
    match item:
        case PinCharacteristic():
            return item.holes
        case OvalityCharacteristic() if "hole" in item.section_name.casefold().split():
            return item.sections
        case _:
            return 0


def check_hole(item: AnyCharacteristic | None, hole: int) -> None:
    """Raise NoSuchHole unless the characteristic has a hole of that number, counted from 1."""
    count = holes_of(item)
    if not count:
        raise NoSuchHole("no-holes", "This photograph shows no spray holes: add it to the examination of the holes.")
    if not 1 <= hole <= count:
        raise NoSuchHole("no-hole-number", f"There are holes 1 to {count}: choose one of them.", "hole")

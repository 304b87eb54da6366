"""The recuts of an overhaul on its certificate: a note beside the size after rework, and facts for machines."""

from collections.abc import Iterator
from typing import Any

from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import AnyCharacteristic, SizeCharacteristic
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.recut_outlook import recut_outlook, recut_words
from service.workshop.seat_metal import MeasuredSize, SeatMetal, renewed_by, rework_side, seat_metal, seats_of


def recut_note(record: OverhaulRecord, item: AnyCharacteristic) -> str:
    """Before and after each recut and what is left to the rework limit; '' where the size was not recut."""
    if not isinstance(item, SizeCharacteristic) or rework_side(item) is None:
        return ""
    metal = _metal(record, item)
    if not metal.recuts:
        return ""
    # What the certificate states was measured; how many more recuts are likely is no finding of this overhaul.
    left = recut_outlook(metal, None).remaining_words if metal.measured is not None else ""
    return " ".join(filter(None, (*(recut_words(recut, metal) for recut in metal.recuts), left)))


def recut_facts(record: OverhaulRecord) -> list[dict[str, Any]]:
    """Every recut with its sizes in mm as text; null for a size that is not known."""
    return [fact for item in seats_of(record.sheet) for fact in _facts(_metal(record, item))]


def _metal(record: OverhaulRecord, item: SizeCharacteristic) -> SeatMetal:
    contents = (entry.content for entry in record.entries)
    return seat_metal(contents, item, renewed_by(record.sheet, item.part))


def _facts(metal: SeatMetal) -> Iterator[dict[str, Any]]:
    for recut in metal.recuts:
        taken = recut.depth_mm(metal.side)
        yield {
            "characteristic": metal.characteristic,
            "before_mm": _text(recut.before),
            "after_mm": _text(recut.after),
            "taken_mm": None if taken is None else plain(taken),
            "rework_limit_mm": plain(metal.limit_mm),
        }


def _text(size: MeasuredSize | None) -> str | None:
    return None if size is None else f"{size.size_mm:f}"

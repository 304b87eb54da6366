"""The seats of a part before and after a recut: what was taken, what is left, and how many cuts it likely bears."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.records.overhaul_store import LoadedOverhaul
from service.records.recut_reads import cuts_on_type
from service.records.store import Store
from service.workshop.disposition import Proposal, propose, settlement_in_force
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.recut_outlook import RecutOutlook, recut_outlook, recut_words
from service.workshop.seat_metal import renewed_by, seat_metal, seats_of
from service.workshop.vocabulary import Disposition


@dataclass(frozen=True)
class SeatShown:
    """One seat in words; texts are '' and `recuts` empty where there is nothing to tell."""

    title: str
    recuts: tuple[str, ...]
    remaining: str
    forecast: str
    warning: str


def seats_shown(store: Store, loaded: LoadedOverhaul) -> Mapping[str, tuple[SeatShown, ...]]:
    """The measured seats of each part. The workshop's cuts are read only for a part that is, or is to be, reworked."""
    record = loaded.record
    proposals = propose(record)
    shown: dict[str, list[SeatShown]] = {}
    for item in seats_of(record.sheet):
        renewed_as = renewed_by(record.sheet, item.part)
        metal = seat_metal((entry.content for entry in record.entries), item, renewed_as)
        if metal.measured is None and not metal.recuts:
            continue
        reworked = bool(metal.recuts) or _to_rework(record, proposals[item.part])
        depths = cuts_on_type(store, loaded.row.id or 0, item, renewed_as) if reworked else None
        shown.setdefault(item.part, []).append(_shown(recut_outlook(metal, depths)))
    return {part: tuple(seats) for part, seats in shown.items()}


def _to_rework(record: OverhaulRecord, proposal: Proposal) -> bool:
    settled = settlement_in_force(record, proposal)
    return Disposition.REWORK in (proposal.disposition, settled.chosen if settled else None)


def _shown(outlook: RecutOutlook) -> SeatShown:
    return SeatShown(
        title=outlook.metal.title,
        recuts=tuple(recut_words(recut, outlook.metal) for recut in outlook.metal.recuts),
        remaining=outlook.remaining_words,
        forecast=outlook.forecast_words,
        warning=outlook.warning,
    )

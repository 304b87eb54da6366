"""Recuts straight from SQL: the workshop's own cuts on an injector type, and one seat over its overhauls."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from service.records.json_text import content_from_json
from service.records.sheet_file import stored_sheet
from service.records.store import Store
from service.workshop.entries import Content
from service.workshop.limit_sheet import LimitSheet, SizeCharacteristic
from service.workshop.recut_outlook import cuts_of
from service.workshop.seat_metal import SeatMetal, renewed_by, seat_metal, seats_of
from service.workshop.vocabulary import Phase

NEWEST_OVERHAULS = 100
"""A forecast rests on the cuts of so many overhauls: the newest say best how the workshop cuts now."""


@dataclass(frozen=True, slots=True)
class SeatPassage:
    """One seat in one overhaul; `renewed` where a new part was fitted in it."""

    overhaul_id: int
    metal: SeatMetal
    renewed: bool


@dataclass(frozen=True, slots=True)
class SeatHistory:
    """One seat of an injector over its overhauls, the newest first, by the newest sheet that names it."""

    part: str
    item: SizeCharacteristic
    renewed_as: frozenset[str]
    passages: tuple[SeatPassage, ...]


_TYPE_OF = "(SELECT t.injector_type_id FROM overhaul a JOIN unit t ON t.id = a.unit_id WHERE a.id = ?)"


def cuts_on_type(
    store: Store, like_overhaul: int, item: SizeCharacteristic, renewed_as: frozenset[str]
) -> tuple[Decimal, ...]:
    """Depths (mm) of the recuts of this characteristic on the type of that overhaul's injector, over all fleets.

    Those of the newest `NEWEST_OVERHAULS` overhauls in which the part was reworked, that overhaul included.
    """
    subjects = _subjects(item, renewed_as)
    rows = store.rows(
        "SELECT e.overhaul_id, e.payload FROM entry e WHERE e.overhaul_id IN ("  # noqa: S608 - marks only
        "SELECT r.overhaul_id FROM entry r JOIN overhaul o ON o.id = r.overhaul_id JOIN unit u ON u.id = o.unit_id "
        f"WHERE r.kind = 'reworked' AND r.subject = ? AND u.injector_type_id = {_TYPE_OF} "
        "GROUP BY r.overhaul_id ORDER BY r.overhaul_id DESC LIMIT ?) "
        f"AND e.subject IN ({_marks(subjects)}) ORDER BY e.overhaul_id, e.seq",
        (f"rework:{item.part}", like_overhaul, NEWEST_OVERHAULS, *subjects),
    )
    told = groupby(rows, key=lambda row: row[0])
    return cuts_of(seat_metal(_contents(lines), item, renewed_as) for _, lines in told)


def seat_histories(store: Store, overhauls: Sequence[int]) -> tuple[SeatHistory, ...]:
    """Every seat that was recut in one of those overhauls of an injector, in the order of the newest sheet."""
    sheets = {
        overhaul_id: stored_sheet(content)
        for overhaul_id, content in store.rows(
            "SELECT o.id, s.content FROM overhaul o JOIN sheet_revision s ON s.id = o.sheet_id "  # noqa: S608
            f"WHERE o.id IN ({_marks(overhauls)}) ORDER BY o.id DESC",
            tuple(overhauls),
        )
    }
    seats = {(number, item.key): item for number, sheet in sheets.items() for item in seats_of(sheet)}
    subjects = {
        subject
        for (number, _), item in seats.items()
        for subject in _subjects(item, renewed_by(sheets[number], item.part))
    }
    if not subjects:
        return ()
    rows = store.rows(
        "SELECT overhaul_id, payload, subject FROM entry "  # noqa: S608 - marks only
        f"WHERE overhaul_id IN ({_marks(overhauls)}) AND subject IN ({_marks(sorted(subjects))}) "
        "ORDER BY overhaul_id DESC, seq",
        (*overhauls, *sorted(subjects)),
    )
    told = {number: tuple(lines) for number, lines in groupby(rows, key=lambda row: row[0])}
    keys = dict.fromkeys(key for _, key in seats)
    histories = (_history(key, sheets, seats, told) for key in keys)
    return tuple(one for one in histories if any(passage.metal.recuts for passage in one.passages))


def _history(
    key: str,
    sheets: dict[int, LimitSheet],
    seats: dict[tuple[int, str], SizeCharacteristic],
    told: dict[int, tuple[Sequence[str], ...]],
) -> SeatHistory:
    passages = []
    for number, sheet in sheets.items():
        item = seats.get((number, key))
        if item is None or number not in told:
            continue
        fitted = renewed_by(sheet, item.part)
        metal = seat_metal(_contents(told[number]), item, fitted)
        renewed = any(line[2] in {f"fit:{one}" for one in fitted} for line in told[number])
        if metal.recuts or metal.measured is not None or renewed:
            passages.append(SeatPassage(number, metal, renewed))
    newest = next(number for number, named in seats if named == key)
    item, sheet = seats[newest, key], sheets[newest]
    name = sheet.part_by_key[item.part].name
    return SeatHistory(name, item, renewed_by(sheet, item.part), tuple(passages))


def _subjects(item: SizeCharacteristic, renewed_as: frozenset[str]) -> tuple[str, ...]:
    examined = (f"examined:{item.key}:{phase.value}" for phase in Phase)
    return (*examined, f"rework:{item.part}", *(f"fit:{one}" for one in sorted(renewed_as)))


def _contents(rows: Iterable[Sequence[str]]) -> Iterable[Content]:
    return (content_from_json(row[1]) for row in rows)


def _marks(values: Sequence[object]) -> str:
    return ", ".join("?" * len(values))

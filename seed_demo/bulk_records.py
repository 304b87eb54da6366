"""The few shortened records that bulk units share, judged and narrated once by the rules.

Each begins with a size measured with an instrument of the register, and every fourth has a seal from a shared batch:
a recall of either can be looked at with as many units as there are.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from seed_demo.bulk_fleet import BulkInstrument
from service.records.json_text import content_to_json
from service.records.recall_reads import batch_key
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import (
    Condemned,
    Content,
    Entry,
    Examined,
    PartFitted,
    PartFound,
    Released,
    Returned,
    Stripped,
)
from service.workshop.examination import examine
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    LimitSheet,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import (
    InstrumentUse,
    Measurement,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.narration import instruments_of, narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.stages import stage_of
from service.workshop.vocabulary import FindingOutcome, PartState, Phase

_COMMON_ENDS = 16
_NO_CERTIFICATE = "none: bulk data"
SEAL_BATCH = "BULK-SEALS"
"""What the batches of bulk seals begin with; a number follows."""
_READINGS, _FINEST = 20, Decimal("0.0005")


@dataclass(frozen=True)
class EntryTemplate:
    """An entry's stored columns, apart from whose and when; what a recall finds it by, None where by nothing."""

    kind: str
    subject: str
    title: str
    verdict: str
    sentence: str
    payload: str
    instrument_id: int | None
    batch: str | None


@dataclass(frozen=True)
class RecordTemplate:
    """A record's entries with the stage that follows from them."""

    entries: tuple[EntryTemplate, ...]
    stage: str
    closed: bool
    condemned: bool


def templates(sheet: LimitSheet, instruments: Sequence[BulkInstrument]) -> tuple[RecordTemplate, ...]:
    """Twenty records of three to six entries: mostly released, some open, one returned, one condemned.

    Without an instrument for any size of the sheet nothing is measured in them.
    """
    parts = tuple(PartFound(part=part.key, state=PartState.FREE) for part in sheet.parts if not part.seal)
    start = Stripped(parts=parts, seals_discarded=True)
    looked_at, sizes = _examinations(sheet), _sizes(sheet, instruments)
    released = Released(certificate=_NO_CERTIFICATE, signed_on=date(2020, 1, 1))

    def seen(number: int, count: int) -> tuple[Examined, ...]:
        measured = (sizes[number % len(sizes)],) if sizes else ()
        return (*measured, *looked_at)[:count]

    records: list[tuple[Content, ...]] = [
        (start, *seen(number, 1 + number % 4), *_fitted(sheet, number), released) for number in range(_COMMON_ENDS)
    ]
    records += [
        (start, *seen(16, 2)),
        (start, *seen(17, 4)),
        (start, *seen(18, 2), Returned(reason="Bulk data: returned unrepaired.")),
        (start, *seen(19, 3), Condemned(reason="Bulk data: condemned.")),
    ]
    ids = {one.use.code: one.id for one in instruments}
    return tuple(_template(sheet, record, ids) for record in records)


def _fitted(sheet: LimitSheet, number: int) -> tuple[PartFitted, ...]:
    """The shortest records have a seal fitted as well."""
    seals = [part.key for part in sheet.parts if part.seal]
    if number % 4 or not seals:
        return ()
    return (PartFitted(item=seals[0], batch=f"{SEAL_BATCH}-{number // 4 + 1}"),)


def _sizes(sheet: LimitSheet, instruments: Sequence[BulkInstrument]) -> list[Examined]:
    """The first size with two limits that an instrument can measure: twenty readings, ever nearer to the lower one."""
    for item in sheet.characteristics:
        if not isinstance(item, SizeCharacteristic) or None in item.limits.bounds:
            continue
        use = next(
            (one.use for one in instruments if one.use.kind in item.instruments and one.use.unit == item.unit), None
        )
        if use is not None:
            return [_measured(item, use, Decimal(step) / _READINGS) for step in range(1, _READINGS + 1)]
    return []


def _measured(item: SizeCharacteristic, use: InstrumentUse, part: Decimal) -> Examined:
    """A reading so far from the nearer limit, as a part of half the room between both limits."""
    lower, upper = item.limits.bounds
    assert lower is not None
    assert upper is not None
    value = (lower + (upper - lower) / 2 * part).quantize(_FINEST)
    measurement = SizeMeasurement(readings=(value,) * item.readings, instrument=use)
    return _examined(item, measurement)


def _examinations(sheet: LimitSheet) -> list[Examined]:
    """Whatever is looked at without an instrument, sound and rejected in turn."""
    found = []
    for number, item in enumerate(sheet.characteristics):
        measurement: Measurement
        if isinstance(item, YesNoCharacteristic):
            measurement = YesNoMeasurement(answer=item.required if number % 2 else not item.required)
        elif isinstance(item, VisualCharacteristic) and item.magnification_min is None:
            good = next(choice.key for choice in item.findings if choice.outcome is FindingOutcome.ACCEPTABLE)
            measurement = VisualMeasurement(findings=(good,), magnification=None, instrument=None)
        else:
            continue
        found.append(_examined(item, measurement))
    return found


def _examined(item: AnyCharacteristic, measurement: Measurement) -> Examined:
    outcome = examine(item, measurement, DecisionRule())
    return Examined(
        characteristic=item.key, part=item.part, phase=Phase.FOUND, measurement=measurement, outcome=outcome
    )


def _template(sheet: LimitSheet, contents: tuple[Content, ...], ids: Mapping[str, int]) -> RecordTemplate:
    at = datetime(2020, 1, 1, tzinfo=UTC)
    entries = tuple(Entry(seq=seq, at=at, person="", content=content) for seq, content in enumerate(contents, start=1))
    stage = stage_of(OverhaulRecord(sheet=sheet, standing_order=frozenset(), entries=entries))
    return RecordTemplate(
        entries=tuple(_entry(sheet, content, ids) for content in contents),
        stage=stage.value,
        closed=stage.is_exit,
        condemned=any(isinstance(content, Condemned) for content in contents),
    )


def _entry(sheet: LimitSheet, content: Content, ids: Mapping[str, int]) -> EntryTemplate:
    words = narrate(content, sheet)
    uses = instruments_of(content)
    return EntryTemplate(
        kind=content.kind,
        subject=words.subject,
        title=words.title,
        verdict=words.verdict,
        sentence=words.sentence,
        payload=content_to_json(content),
        instrument_id=ids[uses[0].code] if uses else None,
        batch=batch_key(content.batch) if isinstance(content, PartFitted) else None,
    )

"""The few shortened records that bulk units share, judged and narrated once by the rules."""

from dataclasses import dataclass
from datetime import UTC, date, datetime

from service.records.json_text import content_to_json
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Condemned, Content, Entry, Examined, PartFound, Released, Returned, Stripped
from service.workshop.examination import examine
from service.workshop.limit_sheet import LimitSheet, VisualCharacteristic, YesNoCharacteristic
from service.workshop.measurements import Measurement, VisualMeasurement, YesNoMeasurement
from service.workshop.narration import narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.stages import stage_of
from service.workshop.vocabulary import FindingOutcome, PartState, Phase

_COMMON_ENDS = 16
_NO_CERTIFICATE = "none: bulk data"


@dataclass(frozen=True)
class EntryTemplate:
    """An entry's stored columns, apart from whose and when."""

    kind: str
    subject: str
    title: str
    verdict: str
    sentence: str
    payload: str


@dataclass(frozen=True)
class RecordTemplate:
    """A record's entries with the stage that follows from them."""

    entries: tuple[EntryTemplate, ...]
    stage: str
    closed: bool
    condemned: bool


def templates(sheet: LimitSheet) -> tuple[RecordTemplate, ...]:
    """Twenty records of three to six entries: mostly released, some open, one returned, one condemned."""
    parts = tuple(PartFound(part=part.key, state=PartState.FREE) for part in sheet.parts if not part.seal)
    start = Stripped(parts=parts, seals_discarded=True)
    seen = _examinations(sheet)
    released = Released(certificate=_NO_CERTIFICATE, signed_on=date(2020, 1, 1))
    records: list[tuple[Content, ...]] = [
        (start, *seen[: 1 + number % min(4, len(seen))], released) for number in range(_COMMON_ENDS)
    ]
    records += [
        (start, *seen[:2]),
        (start, *seen[:4]),
        (start, *seen[:2], Returned(reason="Bulk data: returned unrepaired.")),
        (start, *seen[:3], Condemned(reason="Bulk data: condemned.")),
    ]
    return tuple(_template(sheet, record) for record in records)


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
        outcome = examine(item, measurement, DecisionRule())
        found.append(
            Examined(
                characteristic=item.key,
                part=item.part,
                phase=Phase.FOUND,
                measurement=measurement,
                outcome=outcome,
            )
        )
    return found


def _template(sheet: LimitSheet, contents: tuple[Content, ...]) -> RecordTemplate:
    at = datetime(2020, 1, 1, tzinfo=UTC)
    entries = tuple(Entry(seq=seq, at=at, person="", content=content) for seq, content in enumerate(contents, start=1))
    stage = stage_of(OverhaulRecord(sheet=sheet, standing_order=frozenset(), entries=entries))
    return RecordTemplate(
        entries=tuple(_entry(sheet, content) for content in contents),
        stage=stage.value,
        closed=stage.is_exit,
        condemned=any(isinstance(content, Condemned) for content in contents),
    )


def _entry(sheet: LimitSheet, content: Content) -> EntryTemplate:
    words = narrate(content, sheet)
    return EntryTemplate(
        content.kind, words.subject, words.title, words.verdict, words.sentence, content_to_json(content)
    )

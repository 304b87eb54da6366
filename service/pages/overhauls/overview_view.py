"""What the page of an overhaul says: the next thing to do, how it arrived, what was recorded."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.metrology.typed_numbers import grouped
from service.pages.overhauls.places import Remedy, next_step
from service.pages.overhauls.small_forms import Fact, Link
from service.pages.rendering import minute
from service.pages.verdict_words import VERDICTS
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.narration import narrate
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Fuel, Packing, Role, RunPurpose, SendReason, Stage


@dataclass(frozen=True)
class NextStep:
    """The next thing to do: `sentence` says why, `href` is '' where this person can only wait."""

    sentence: str
    href: str
    label: str
    also: Link | None = None
    """What may be done instead of it."""


@dataclass(frozen=True)
class HistoryLine:
    """One entry: who recorded what and when; `mark` is '' where there is no verdict."""

    title: str
    sentence: str
    mark: str
    verdict: str
    who: str
    when: str


def what_next(loaded: LoadedOverhaul, lines: Sequence[Remedy], role: Role) -> NextStep:
    """The first thing that this person can do now."""
    if loaded.record.exit is not None:
        return NextStep("This overhaul is over.", "", "")
    if not lines:
        if role is Role.MANAGER:
            return NextStep("Nothing stands in the way.", f"/overhauls/{loaded.row.number}/release", "Sign the release")
        return NextStep("Nothing stands in the way: it waits for a manager to sign the release.", "", "")
    step = next_step(lines)
    if step is None:
        return NextStep(f"{lines[0].sentence} {_waits(lines)}", "", "")
    also = Link(f"/overhauls/{loaded.row.number}/proving", "Or test it as found first") if _as_found(loaded) else None
    return NextStep(step.sentence, step.href, step.remedy, also)


def _as_found(loaded: LoadedOverhaul) -> bool:
    """Whether an as-found test may still be made: what the owner sent is what trends are made of."""
    record = loaded.record
    untested = record.newest_run(RunPurpose.AS_FOUND) is None
    return untested and record.held is None and stage_of(record) is Stage.RECEIVED


def _waits(lines: Sequence[Remedy]) -> str:
    """For whom this person waits, if the first line does not say it already."""
    word = next((line.remedy for line in lines if not line.href), "")
    return "" if "manager lifts" in lines[0].sentence or not word else f"{word}."


def arrival_facts(loaded: LoadedOverhaul) -> tuple[Fact, ...]:
    """How it arrived."""
    row = loaded.row
    hours = "not known" if row.running_hours is None else f"{grouped(row.running_hours)} h"
    facts = (
        Fact("Why it was sent", SendReason(row.reason).label),
        Fact("Running hours", hours),
        Fact("Fuel", Fuel(row.fuel).label),
        Fact("Packing", Packing(row.packing).label),
        Fact("Remark", row.remark),
        Fact("Received", minute(loaded.consignment.received_at)),
        Fact("Promised for", f"{loaded.consignment.due_on.day} {loaded.consignment.due_on:%b %Y}"),
        Fact("Ship's reference", loaded.consignment.reference),
        Fact("Limit sheet", f"{loaded.record.sheet.title}, revision {loaded.sheet.revision}"),
    )
    return tuple(fact for fact in facts if fact.value)


def history(loaded: LoadedOverhaul) -> tuple[HistoryLine, ...]:
    """Every entry, newest first."""
    lines = []
    for entry in reversed(loaded.record.entries):
        words = narrate(entry.content, loaded.record.sheet)
        mark, verdict = VERDICTS.get(words.verdict, ("", ""))
        lines.append(HistoryLine(words.title, words.sentence, mark, verdict, entry.person, minute(entry.at)))
    return tuple(lines)

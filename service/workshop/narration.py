"""An entry in words: the title and the sentence that lists, the unit's history and the journal show."""

from dataclasses import dataclass

from service.metrology.typed_numbers import plain
from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    CertificateWithdrawn,
    ConcessionDecided,
    Condemned,
    Content,
    DiscsChanged,
    Examined,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartFitted,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Returned,
    Stripped,
    Torqued,
)
from service.workshop.limit_sheet import LimitSheet
from service.workshop.measurements import InstrumentUse
from service.workshop.step_results import BackLeakageResult
from service.workshop.vocabulary import PartState, Phase, RunPurpose


@dataclass(frozen=True)
class Narration:
    """`subject` says what the entry is about: two entries on one subject may contradict each other."""

    subject: str
    title: str
    sentence: str
    verdict: str = ""


def narrate(content: Content, sheet: LimitSheet) -> Narration:
    """The entry in words, by the names of its limit sheet."""
    match content:
        case Stripped():
            return Narration("strip", "Stripped and cleaned", _strip_sentence(content, sheet))
        case Examined():
            title = sheet.characteristic_by_key[content.characteristic].title
            again = " (after rework)" if content.phase is Phase.AFTER_REWORK else ""
            again += ", judged again" if content.rejudged_from is not None else ""
            outcome = content.outcome
            subject = f"examined:{content.characteristic}:{content.phase.value}"
            return Narration(subject, f"{title}{again}", outcome.sentence, outcome.verdict.value)
        case PartSettled():
            return Narration(
                f"part:{content.part}",
                f"{sheet.part_by_key[content.part].name}: {content.chosen.label.lower()}",
                content.reason or "As the rules propose.",
            )
        case ConcessionDecided():
            word = "granted" if content.granted else "refused"
            return Narration(
                f"part:{content.part}",
                f"Concession {word}: {sheet.part_by_key[content.part].name}, {content.chosen.label.lower()}",
                content.reason,
            )
        case OfficeAnswered():
            word = "accepted" if content.accepted else "declined"
            name = sheet.part_by_key[content.part].name
            title = f"Office {word}: {name}, {content.disposition.label.lower()}"
            return Narration(f"part:{content.part}", title, content.note or "No remark.")
        case _:
            return _narrate_work(content, sheet)


def _narrate_work(content: Content, sheet: LimitSheet) -> Narration:
    match content:
        case PartReworked():
            title = f"Reworked: {sheet.part_by_key[content.part].name}"
            return Narration(f"rework:{content.part}", title, content.method)
        case PartFitted():
            title = f"Fitted new: {item_name(sheet, content.item)}"
            return Narration(f"fit:{content.item}", title, f"Batch or serial {content.batch}.")
        case Torqued():
            title = next(point.title for point in sheet.torques if point.key == content.point)
            outcome = content.outcome
            return Narration(f"torque:{content.point}", f"Tightened: {title}", outcome.sentence, outcome.verdict.value)
        case DiscsChanged():
            changes = [f"{plain(disc)} mm added" for disc in content.added]
            changes += [f"{plain(disc)} mm taken out" for disc in content.removed]
            return Narration("opening", "Adjusting discs changed", f"{', '.join(changes)}. {content.reason}")
        case Reopened():
            return Narration("opening", "Reopened", content.reason)
        case BenchRunStarted():
            name = "As-found test" if content.purpose is RunPurpose.AS_FOUND else "Proving run"
            where = "Gauge" if content.rig is None else f"Rig {content.rig.code}, gauge"
            doubt = f" Indicative only: {content.indicative}" if content.indicative else ""
            return Narration("bench", f"{name} started", f"{where} {content.gauge.code}.{doubt}")
        case BenchStepRecorded():
            step = sheet.test_plan.step_by_key[content.step]
            verdict = content.outcome.verdict.value
            return Narration(f"bench:{content.run}:{step.key}", step.title, content.outcome.sentence, verdict)
        case _:
            return _narrate_course(content)


def _narrate_course(content: Content) -> Narration:
    match content:
        case Held():
            return Narration("hold", "Held", content.reason)
        case HoldLifted():
            return Narration("hold", "Hold lifted", content.reason)
        case Returned():
            return Narration("exit", "Returned unrepaired", content.reason)
        case Condemned():
            return Narration("exit", "Condemned", content.reason)
        case Released():
            instead = f", in place of {content.replaces}" if content.replaces else ""
            return Narration(
                "exit", "Released", f"Certificate {content.certificate}{instead}. {content.reason}".strip()
            )
        case CertificateWithdrawn():
            return Narration("exit", f"Certificate {content.certificate} withdrawn", content.reason)
        case _:  # pragma: no cover - every kind is told above; a new kind shows itself in the test of this table
            raise TypeError(f"no words for {type(content).__name__}")


def item_name(sheet: LimitSheet, key: str) -> str:
    """The name of a part or of a matched assembly."""
    if key in sheet.part_by_key:
        return sheet.part_by_key[key].name
    return sheet.assembly_by_key[key].name


def instruments_of(content: Content) -> tuple[InstrumentUse, ...]:
    """The instruments that an entry was made with."""
    match content:
        case Examined(measurement=measurement):
            use = getattr(measurement, "instrument", None)
            return (use,) if use is not None else ()
        case Torqued(wrench=use) | BenchRunStarted(gauge=use):
            return (use,)
        case BenchStepRecorded(result=BackLeakageResult(cylinder=InstrumentUse() as use)):
            return (use,)
        case _:
            return ()


def _strip_sentence(content: Stripped, sheet: LimitSheet) -> str:
    odd = [found for found in content.parts if found.state is not PartState.FREE]
    told = "; ".join(f"{sheet.part_by_key[found.part].name}: {found.state.label.lower()}" for found in odd)
    start = told or "Every part came out freely"
    return f"{start}. All seals discarded.{' ' + content.remark if content.remark else ''}"

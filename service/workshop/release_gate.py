"""The release gate: everything that still stands between an injector and its certificate, one line each."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.workshop.agreement import agreement_lines
from service.workshop.disposition import Proposal, propose, settlement_in_force
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import proving_run
from service.workshop.rebuild import rebuild_gaps
from service.workshop.stages import unexamined
from service.workshop.vocabulary import Disposition
from service.workshop.wording import as_sentence


@dataclass(frozen=True, kw_only=True)
class Blocker:
    """One thing missing, in words, and the place where it is mended.

    `place` is one of 'hold', 'strip', 'examination', 'settlement', 'concession', 'agreement', 'rebuild',
    'proving', 'exit'; `key` names the characteristic, part or task there, empty where the place is enough.
    """

    code: str
    sentence: str
    place: str
    key: str = ""


def release_blockers(record: OverhaulRecord) -> tuple[Blocker, ...]:
    """All that is missing, none left out because another stands before it. Empty: the manager may sign."""
    return tuple(_blockers(record))


def _blockers(record: OverhaulRecord) -> Iterator[Blocker]:
    if record.exit is not None:
        yield Blocker(code="over", sentence="This overhaul is over.", place="exit")
        return
    if record.held is not None:
        sentence = f"Held: {as_sentence(record.held.reason)} A manager lifts it."
        yield Blocker(code="held", sentence=sentence, place="hold")
    if record.stripped is None:
        yield Blocker(code="not-stripped", sentence="Not stripped and cleaned yet.", place="strip")
    proposals = propose(record)
    for key in unexamined(record, proposals):
        title = record.sheet.characteristic_by_key[key].title
        yield Blocker(code="not-examined", sentence=f"Not examined: {title}.", place="examination", key=key)
    yield from _settlement_blockers(record, proposals)
    for line in agreement_lines(record, proposals):
        if line.accepted is None:
            sentence = f"The ship's office has not answered: {line.disposition.label}, {line.part_name}."
            yield Blocker(code="not-answered", sentence=sentence, place="agreement", key=line.part)
        elif not line.accepted:
            sentence = (
                f"The ship's office declined: {line.disposition.label}, {line.part_name}. "
                "Settle it otherwise or return the injector unrepaired."
            )
            yield Blocker(code="declined", sentence=sentence, place="settlement", key=line.part)
    for task in rebuild_gaps(record, proposals):
        yield Blocker(code=f"rebuild-{task.kind}", sentence=f"{task.sentence}.", place="rebuild", key=task.key)
    yield from _proving_blockers(record)


def _settlement_blockers(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> Iterator[Blocker]:
    for part in record.sheet.parts:
        proposal = proposals[part.key]
        settled = settlement_in_force(record, proposal)
        if settled is None:
            if proposal.disposition is not None:
                again = " again, since the proposal has changed" if part.key in record.settled else ""
                sentence = f"Not settled{again}: {part.name}."
                yield Blocker(code="not-settled", sentence=sentence, place="settlement", key=part.key)
            continue
        if settled.chosen is Disposition.CONDEMN:
            sentence = f"{part.name} condemns the injector: a manager confirms it."
            yield Blocker(code="to-condemn", sentence=sentence, place="exit", key=part.key)
        if settled.milder:
            concession = record.concession(part.key)
            if concession is None:
                sentence = f"A manager's concession is needed: {part.name}, {settled.chosen.label.lower()}."
                yield Blocker(code="no-concession", sentence=sentence, place="concession", key=part.key)
            elif not concession.granted:
                sentence = f"The concession was refused: {part.name}. Settle it otherwise."
                yield Blocker(code="concession-refused", sentence=sentence, place="settlement", key=part.key)


def _proving_blockers(record: OverhaulRecord) -> Iterator[Blocker]:
    run = proving_run(record)
    if run is None:
        yield Blocker(code="not-proved", sentence="Not proved on the test rig.", place="proving")
    elif run.void_reason:
        sentence = f"The last bench run is void. {run.void_reason} Repeat the whole test."
        yield Blocker(code="run-void", sentence=sentence, place="proving")
    elif run.started.indicative:
        sentence = (
            f"The last bench run is indicative. {run.started.indicative} Check the rig and repeat the whole test."
        )
        yield Blocker(code="run-indicative", sentence=sentence, place="proving")
    elif run.failed_step is not None:
        title = record.sheet.test_plan.step_by_key[run.failed_step].title
        yield Blocker(code="run-failed", sentence=f"The last bench run failed: {title}.", place="proving")
    elif run.undecided_step is not None:
        title = record.sheet.test_plan.step_by_key[run.undecided_step].title
        yield Blocker(code="run-unclear", sentence=f"Cannot tell yet: {title}: record it again.", place="proving")
    elif run.next_step is not None:
        sentence = f"The bench run is not complete: {run.next_step.title} comes next."
        yield Blocker(code="run-open", sentence=sentence, place="proving")

"""What is still missing before the injector is rebuilt."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.workshop.disposition import Proposal, settlement_in_force
from service.workshop.limit_sheet import AnyCharacteristic, Part, SizeCharacteristic
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.seat_metal import rework_side
from service.workshop.vocabulary import Disposition, Phase, VerdictKind


@dataclass(frozen=True, kw_only=True)
class RebuildTask:
    """One thing to do at the rebuild: fit, rework, recheck or torque `key`."""

    kind: str
    """'fit', 'rework', 'recheck' or 'torque'."""
    key: str
    sentence: str
    done: bool


def rebuild_tasks(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> tuple[RebuildTask, ...]:
    """Every task that the settled dispositions and the sheet ask for, done or not, in working order."""
    tasks: list[RebuildTask] = []
    assemblies: dict[str, int] = {}
    for part in record.sheet.parts:
        settled = settlement_in_force(record, proposals[part.key])
        if settled is None:
            continue
        settled_seq = record.settled[part.key][0]
        if settled.chosen is Disposition.REWORK:
            tasks.extend(_rework_tasks(record, part, settled_seq))
        elif settled.chosen is Disposition.KEEP and part.key in record.reworked:
            # Ground already, and kept after all: what the grinding left is measured, whatever comes of it.
            tasks.extend(_recheck_tasks(record, part, record.reworked[part.key][0], must_conform=False))
        elif settled.chosen is Disposition.REPLACE:
            what = "Renew the seal" if part.seal else "Fit the new part"
            tasks.append(_fit(record, part.key, f"{what}: {part.name}", settled_seq))
        elif settled.chosen is Disposition.REPLACE_ASSEMBLY and part.assembly:
            assemblies[part.assembly] = max(settled_seq, assemblies.get(part.assembly, 0))
    for key, seq in assemblies.items():
        name = record.sheet.assembly_by_key[key].name
        tasks.append(_fit(record, key, f"Fit the new matched assembly: {name}", seq))
    tasks.extend(_torque_tasks(record))
    return tuple(tasks)


def rebuild_gaps(record: OverhaulRecord, proposals: Mapping[str, Proposal]) -> tuple[RebuildTask, ...]:
    """The tasks not done."""
    return tuple(task for task in rebuild_tasks(record, proposals) if not task.done)


def _fit(record: OverhaulRecord, key: str, sentence: str, settled_seq: int) -> RebuildTask:
    fitted = record.fitted.get(key)
    done = fitted is not None and fitted[0] > settled_seq
    return RebuildTask(kind="fit", key=key, sentence=sentence, done=done)


def _rework_tasks(record: OverhaulRecord, part: Part, settled_seq: int) -> list[RebuildTask]:
    reworked = record.reworked.get(part.key)
    done = reworked is not None and reworked[0] > settled_seq
    tasks = [RebuildTask(kind="rework", key=part.key, sentence=f"Rework: {part.name}", done=done)]
    return tasks + _recheck_tasks(record, part, reworked[0] if reworked and done else None, must_conform=True)


def _recheck_tasks(
    record: OverhaulRecord, part: Part, reworked_seq: int | None, *, must_conform: bool
) -> list[RebuildTask]:
    """What to measure again since the rework with that sequence; None where the rework is still to come."""
    tasks = []
    for characteristic in rechecks(record, part.key):
        again = record.examined.get((characteristic.key, Phase.AFTER_REWORK))
        measured = again is not None and reworked_seq is not None and again[0] > reworked_seq
        good = measured and again is not None and (again[1].conforms or not must_conform)
        sentence = f"Measure again after rework: {characteristic.title}"
        tasks.append(RebuildTask(kind="recheck", key=characteristic.key, sentence=sentence, done=good))
    return tasks


def rechecks(record: OverhaulRecord, part: str) -> tuple[AnyCharacteristic, ...]:
    """What must be examined again after the part's rework: all that failed, what the sheet marks so, and every seat.

    A size with a rework limit is measured after each recut, or nobody could say what metal is left.
    """
    again = []
    for characteristic in record.sheet.characteristics_of(part):
        finding = record.finding(characteristic.key)
        failed = finding is not None and not finding.conforms
        seat = isinstance(characteristic, SizeCharacteristic) and rework_side(characteristic) is not None
        if failed or seat or characteristic.recheck_after_rework:
            again.append(characteristic)
    return tuple(again)


def _torque_tasks(record: OverhaulRecord) -> list[RebuildTask]:
    tasks = []
    for point in record.sheet.torques:
        torqued = record.torqued.get(point.key)
        done = (
            torqued is not None
            and torqued[0] > record.opened_seq
            and torqued[1].outcome.verdict is VerdictKind.CONFORMS
        )
        sentence = f"Tighten: {point.title}, {point.lower} to {point.upper} N·m"
        tasks.append(RebuildTask(kind="torque", key=point.key, sentence=sentence, done=done))
    return tasks

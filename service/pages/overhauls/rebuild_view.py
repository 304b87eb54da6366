"""What the rebuild page shows: every task with its mark and its form, the discs, the reopening."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.discs import added_discs
from service.metrology.typed_numbers import plain
from service.pages.choices import Option
from service.pages.overhauls.bench_words import at_stake
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.recordable import refusal_of
from service.pages.overhauls.seat_view import SeatShown
from service.pages.overhauls.setting_view import SettingCard
from service.pages.overhauls.small_forms import Link, PageForms, SmallForm
from service.pages.rendering import FormState, Frame, day
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import REBUILDING, REWORKING, Caution, cautions
from service.workshop.disposition import propose
from service.workshop.entries import DiscsChanged, Reopened
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.rebuild import RebuildTask, rebuild_tasks
from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True)
class TaskCard:
    """One task. `recorded` says what was done, `failed` what went wrong the last time."""

    kind: str
    key: str
    sentence: str
    done: bool
    recorded: str
    failed: str
    seats: tuple[SeatShown, ...]
    field_label: str
    href: str
    form: SmallForm | None


@dataclass(frozen=True)
class DiscsCard:
    """Adjusting discs: how many are in, and the form to change them."""

    allowance: str
    boxes: tuple[str, ...]
    form: SmallForm
    is_open: bool


@dataclass(frozen=True)
class SettingShown:
    """The proposal where an opening pressure is off, and what a set chosen from it puts into the form of the discs."""

    card: SettingCard | None
    discs: Mapping[str, str | list[str]]


@dataclass(frozen=True)
class RebuildPage:
    """The whole page. `waiting` says why nothing can be recorded yet, `at_stake` which run a change voids."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    waiting: str
    cautions: tuple[Caution, ...]
    progress: str
    tasks: tuple[TaskCard, ...]
    wrenches: tuple[Option, ...]
    setting: SettingCard | None
    discs: DiscsCard | None
    reopening: SmallForm | None
    at_stake: str
    next_step: Link | None


def rebuild_page(
    frame: Frame,
    head: OverhaulHead,
    loaded: LoadedOverhaul,
    wrenches: tuple[Option, ...],
    seats: Mapping[str, tuple[SeatShown, ...]],
    setting: SettingShown,
    forms: PageForms,
) -> RebuildPage:
    """The page of one overhaul; `seats` by part."""
    record = loaded.record
    # Taking a disc out is refused only where the rebuild itself is: its answer is the page's.
    waiting = refusal_of(record, DiscsChanged(added=(), removed=(Decimal(1),), reason="asked"))
    may_record = not waiting
    tasks = rebuild_tasks(record, propose(record))
    cards = tuple(_task(record, head, task, may_record, seats, forms) for task in tasks)
    may_reopen = not refusal_of(record, Reopened(reason="asked"))
    reworking = any(task.kind == "rework" and not task.done for task in tasks)
    return RebuildPage(
        page=frame,
        head=head,
        waiting=waiting,
        cautions=cautions(*(REWORKING if reworking else ()), *REBUILDING),
        progress=f"{sum(task.done for task in tasks)} of {len(tasks)} done",
        tasks=cards,
        wrenches=wrenches,
        setting=setting.card,
        discs=_discs(record, head, setting.discs, forms) if may_record else None,
        reopening=forms.form("reopening", f"{head.address}/reopenings") if may_reopen else None,
        at_stake=at_stake(record),
        next_step=Link(f"{head.address}/proving", "Go on to the bench") if may_reopen else None,
        unplaced=forms.unplaced,
    )


_ADDRESSES = {"rework": "reworks", "fit": "fittings", "torque": "torques"}


def _task(
    record: OverhaulRecord,
    head: OverhaulHead,
    task: RebuildTask,
    may_record: bool,
    seats: Mapping[str, tuple[SeatShown, ...]],
    forms: PageForms,
) -> TaskCard:
    open_now = may_record and not task.done
    form = None
    if open_now and task.kind in _ADDRESSES:
        form = forms.form(f"task-{task.kind}-{task.key}", f"{head.address}/{_ADDRESSES[task.kind]}")
    href = f"{head.address}/examination/{task.key}?phase=after-rework"
    return TaskCard(
        kind=task.kind,
        key=task.key,
        sentence=task.sentence,
        done=task.done,
        recorded=_recorded(record, task) if task.done else "",
        failed="" if task.done else _failed(record, task),
        seats=seats.get(task.key, ()) if task.kind == "rework" else (),
        field_label=_field_label(record, task),
        href=href if open_now and task.kind == "recheck" else "",
        form=form,
    )


def _field_label(record: OverhaulRecord, task: RebuildTask) -> str:
    if task.key in record.sheet.assembly_by_key:
        return "Serial of the matched assembly"
    return "Batch or serial from the packing"


def _recorded(record: OverhaulRecord, task: RebuildTask) -> str:
    """What the entry behind a done task says, and who made it."""
    match task.kind:
        case "fit":
            seq, fitted = record.fitted[task.key]
            words = f"Batch or serial {fitted.batch}"
        case "rework":
            seq, reworked = record.reworked[task.key]
            words = reworked.method
        case "torque":
            seq, torqued = record.torqued[task.key]
            words = f"{plain(torqued.value)} N·m with {torqued.wrench.code}"
        case _:
            seq, words = _recheck_seq(record, task.key)
    entry = next(entry for entry in record.entries if entry.seq == seq)
    return f"{words.rstrip('.')} · {entry.person}, {day(entry.at)}"


def _recheck_seq(record: OverhaulRecord, key: str) -> tuple[int, str]:
    found = [(seq, item) for (name, _), (seq, item) in record.examined.items() if name == key]
    seq, newest = max(found, key=lambda pair: pair[0])
    return seq, newest.outcome.sentence


def _failed(record: OverhaulRecord, task: RebuildTask) -> str:
    if task.kind == "torque" and task.key in record.torqued:
        seq, torqued = record.torqued[task.key]
        if seq > record.opened_seq and torqued.outcome.verdict is not VerdictKind.CONFORMS:
            return torqued.outcome.sentence
    return ""


def _discs(
    record: OverhaulRecord, head: OverhaulHead, chosen: Mapping[str, str | list[str]], forms: PageForms
) -> DiscsCard:
    most = record.sheet.discs_added_max
    form = forms.form("discs", f"{head.address}/disc-changes", chosen, lists=("added", "removed"))
    boxes = max(most, 2, *(len(form.state.values.get(name, ())) for name in ("added", "removed")))
    return DiscsCard(
        allowance=added_discs(max(0, record.discs_added), 0, most).sentence,
        boxes=tuple(f"Disc {place}" for place in range(1, boxes + 1)),
        form=form,
        is_open=form.refused or bool(chosen),
    )

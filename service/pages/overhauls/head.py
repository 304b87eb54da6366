"""The head that all pages of one overhaul share: which injector it is, how far it is, where each step is done."""

from dataclasses import dataclass
from urllib.parse import quote

from service.records.overhaul_store import LoadedOverhaul
from service.workshop.stages import stage_of
from service.workshop.vocabulary import WAY, Stage

_STEPS = (
    ("", "Where it stands"),
    ("/strip", "Strip"),
    ("/examination", "Examine"),
    ("/settlement", "Settle"),
    ("/rebuild", "Rebuild"),
    ("/proving", "Prove"),
    ("/release", "Release"),
)


@dataclass(frozen=True)
class StageMark:
    """One stage of the way: 'done', 'current' or 'todo'."""

    label: str
    state: str


@dataclass(frozen=True)
class StepLink:
    """A page of this overhaul."""

    href: str
    label: str
    current: bool


@dataclass(frozen=True)
class OverhaulHead:
    """What the head prints. `seen` goes into every form on the page."""

    number: str
    address: str
    serial: str
    serial_href: str
    injector_type: str
    vessel: str
    imo_number: str
    cylinder: str
    consignment: str
    stage: Stage
    stages: tuple[StageMark, ...]
    side_exit: str
    held: str
    steps: tuple[StepLink, ...]
    seen: int
    over: bool


def overhaul_head(loaded: LoadedOverhaul, current: str) -> OverhaulHead:
    """The head of the page at `current`, an address part such as '/strip'."""
    stage = stage_of(loaded.record)
    row, address = loaded.row, f"/overhauls/{loaded.row.number}"
    held = loaded.record.held
    side = stage in (Stage.CONDEMNED, Stage.RETURNED)
    return OverhaulHead(
        number=row.number,
        address=address,
        serial=loaded.unit.serial,
        serial_href=f"/units/{quote(loaded.unit.serial)}",
        injector_type=f"{loaded.injector_type.code} · {loaded.injector_type.name}",
        vessel=loaded.vessel.name,
        imo_number=loaded.vessel.imo_number,
        cylinder=f"{row.cylinder}{f' {row.position}' if row.position else ''}",
        consignment=loaded.consignment.number,
        stage=stage,
        stages=() if side else stage_marks(stage),
        side_exit=stage.value.capitalize() if side else "",
        held=held.reason if held else "",
        steps=tuple(StepLink(f"{address}{part}", label, part == current) for part, label in _STEPS),
        seen=loaded.record.last_seq,
        over=stage.is_exit,
    )


def stage_marks(stage: Stage) -> tuple[StageMark, ...]:
    """The way with the stage marked on it; the stages before it are done."""
    here = WAY.index(stage)
    states = ["done" if place < here else "current" if place == here else "todo" for place in range(len(WAY))]
    return tuple(StageMark(one.value.capitalize(), state) for one, state in zip(WAY, states, strict=True))

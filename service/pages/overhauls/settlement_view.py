"""What the settlement page shows of each part, of the concessions and of the office's answers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from service.actions.shop import Actor
from service.pages.choices import Option
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.recordable import stage_allows
from service.pages.overhauls.seat_view import SeatShown
from service.pages.overhauls.small_forms import Link, PageForms, SmallForm
from service.pages.rendering import FormState, Frame, day
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.agreement import AgreementLine, agreement_lines
from service.workshop.disposition import Proposal, possible_choices, propose, settlement_in_force
from service.workshop.entries import ConcessionDecided, PartSettled
from service.workshop.limit_sheet import Part
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition, Role

MakeForm = Callable[[str, str, Mapping[str, str]], SmallForm]


@dataclass(frozen=True)
class PartCard:
    """One part: what the rules propose and why, what is settled, and the form where it may be settled."""

    key: str
    name: str
    marks: str
    mark: str
    state: str
    proposed: str
    reasons: tuple[str, ...]
    seats: tuple[SeatShown, ...]
    to_examine: tuple[Link, ...]
    settled: str
    settled_by: str
    settled_reason: str
    as_proposed: bool
    options: tuple[Option, ...]
    ruled_out: str
    ruled_out_because: str
    form: SmallForm | None
    is_open: bool


@dataclass(frozen=True)
class ConcessionCard:
    """A milder settlement and the manager's decision on it; the form is the manager's while it is awaited."""

    part: str
    part_name: str
    sentence: str
    asked_because: str
    mark: str
    state: str
    decided_because: str
    form: SmallForm | None


@dataclass(frozen=True)
class OfficeLine:
    """One line of work beyond the standing order, with the office's answer."""

    part_name: str
    work: str
    mark: str
    answer: str
    note: str


@dataclass(frozen=True)
class SettlementPage:
    """The whole page. `as_proposed` is None where nothing examined is open."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    progress: str
    standing_order: str
    parts: tuple[PartCard, ...]
    as_proposed: SmallForm | None
    concessions: tuple[ConcessionCard, ...]
    decisions: tuple[Option, ...]
    office_lines: tuple[OfficeLine, ...]
    next_step: Link | None


_DECISIONS = (Option("granted", "Grant the concession"), Option("refused", "Refuse it"))


def settlement_page(
    frame: Frame,
    head: OverhaulHead,
    loaded: LoadedOverhaul,
    seats: Mapping[str, tuple[SeatShown, ...]],
    actor: Actor,
    forms: PageForms,
) -> SettlementPage:
    """The page of one overhaul, for that person; `seats` by part."""
    record = loaded.record
    proposals = propose(record)
    may_settle = stage_allows(record, PartSettled)
    lines = agreement_lines(record, proposals)
    asked = {line.part: line for line in lines}
    parts = tuple(
        replace(
            _part(loaded, head, proposals[part.key], asked.get(part.key), forms.form if may_settle else None),
            seats=seats.get(part.key, ()),
        )
        for part in record.sheet.parts
    )
    decides = actor.role is Role.MANAGER and stage_allows(record, ConcessionDecided)
    concessions = tuple(
        _concession(record, head, part, settled, decides, forms)
        for part in record.sheet.parts
        if (settled := settlement_in_force(record, proposals[part.key])) is not None and settled.milder
    )
    open_parts = [card for card in parts if card.proposed and not card.settled]
    settled_parts = [card for card in parts if card.settled]
    as_proposed = None
    if may_settle and open_parts:
        as_proposed = forms.form("as-proposed", f"{head.address}/settlements/as-proposed")
    return SettlementPage(
        page=frame,
        head=head,
        unplaced=forms.unplaced,
        progress=f"{len(settled_parts)} of {len(parts)} parts settled",
        standing_order=", ".join(one.label.lower() for one in Disposition if one in record.standing_order),
        parts=parts,
        as_proposed=as_proposed,
        concessions=concessions,
        decisions=_DECISIONS,
        office_lines=_office_lines(lines),
        next_step=_next_step(head),
    )


def _part(
    loaded: LoadedOverhaul,
    head: OverhaulHead,
    proposal: Proposal,
    asked: AgreementLine | None,
    make_form: MakeForm | None,
) -> PartCard:
    record, part = loaded.record, loaded.record.sheet.part_by_key[proposal.part]
    settled = settlement_in_force(record, proposal)
    form: SmallForm | None = None
    options: tuple[Option, ...] = ()
    if make_form is not None and proposal.disposition is not None:
        options = _options(part, proposal, proposal.disposition)
        chosen = settled.chosen if settled else proposal.disposition
        form = make_form(f"part-{part.key}", f"{head.address}/settlements", {"chosen": chosen.value})
    mark, state = _state(record, proposal, settled, asked)
    return PartCard(
        key=part.key,
        name=part.name,
        marks=_marks(record, part),
        mark=mark,
        state=state,
        proposed=proposal.disposition.label if proposal.disposition else "",
        reasons=proposal.reasons,
        seats=(),
        to_examine=tuple(
            Link(f"{head.address}/examination/{key}", record.sheet.characteristic_by_key[key].title)
            for key in proposal.open_characteristics
        ),
        settled=settled.chosen.label if settled else "",
        settled_by=_who(record, record.settled[part.key][0]) if settled else "",
        settled_reason=settled.reason if settled else "",
        as_proposed=settled is not None and settled.chosen is settled.proposed,
        options=options,
        ruled_out=", ".join(one.label.lower() for one in possible_choices(part) if one in proposal.forbidden),
        ruled_out_because=proposal.forbidden_reason,
        form=form,
        is_open=settled is None or mark == "does-not-conform" or (form is not None and form.refused),
    )


def _options(part: Part, proposal: Proposal, proposed: Disposition) -> tuple[Option, ...]:
    """The allowed choices, the proposed one first: the page shows the reason's field for the others only."""
    allowed = [choice for choice in possible_choices(part) if choice not in proposal.forbidden]
    others = (choice for choice in allowed if choice is not proposed)
    return tuple(Option(one.value, one.label, _note(one, proposed)) for one in (proposed, *others))


def _note(choice: Disposition, proposed: Disposition) -> str:
    if choice is proposed:
        return "Proposed by the rules"
    if choice.severity < proposed.severity:
        return "Milder than the rules: say why, and a manager must concede it"
    return "Stricter than the rules: say why"


def _state(
    record: OverhaulRecord, proposal: Proposal, settled: PartSettled | None, asked: AgreementLine | None
) -> tuple[str, str]:
    if proposal.disposition is None:
        return "not-measured", "Not fully examined"
    if settled is None:
        again = proposal.part in record.settled
        return "not-measured", "To settle again: the proposal has changed" if again else "To settle"
    if settled.milder:
        conceded = record.concession(proposal.part)
        if conceded is None:
            return "not-proven", "Concession awaited"
        if not conceded.granted:
            return "does-not-conform", "Concession refused: settle it otherwise"
    if asked is None or asked.accepted:
        return "conforms", "Settled"
    if asked.accepted is None:
        return "not-proven", "The ship’s office is asked"
    return "does-not-conform", "The ship’s office declined: settle it otherwise"


def _marks(record: OverhaulRecord, part: Part) -> str:
    assembly = f"Matched in: {record.sheet.assembly_by_key[part.assembly].name}" if part.assembly else ""
    words = (assembly, "Seal" if part.seal else "", "NOx-relevant" if part.nox_relevant else "")
    return " · ".join(word for word in words if word)


def _who(record: OverhaulRecord, seq: int) -> str:
    entry = next(entry for entry in record.entries if entry.seq == seq)
    return f"{entry.person}, {day(entry.at)}"


def _concession(
    record: OverhaulRecord, head: OverhaulHead, part: Part, settled: PartSettled, decides: bool, forms: PageForms
) -> ConcessionCard:
    decision = record.concession(part.key)
    awaited = decision is None
    mark = "not-proven" if decision is None else "conforms" if decision.granted else "does-not-conform"
    state = "Awaited from a manager" if decision is None else "Granted" if decision.granted else "Refused"
    return ConcessionCard(
        part=part.key,
        part_name=part.name,
        sentence=f"{settled.chosen.label} instead of: {settled.proposed.label.lower()}.",
        asked_because=settled.reason,
        mark=mark,
        state=state,
        decided_because="" if decision is None else decision.reason,
        form=forms.form(f"concession-{part.key}", f"{head.address}/concessions") if awaited and decides else None,
    )


def _office_lines(lines: tuple[AgreementLine, ...]) -> tuple[OfficeLine, ...]:
    marks = {None: ("not-proven", "Awaited"), True: ("conforms", "Accepted"), False: ("does-not-conform", "Declined")}
    return tuple(OfficeLine(line.part_name, line.disposition.label, *marks[line.accepted], line.note) for line in lines)


def _next_step(head: OverhaulHead) -> Link | None:
    """Where to go once every part is settled and agreed."""
    on = {"agreed": "rebuild", "rebuilt": "proving", "proved": "release"}
    labels = {"rebuild": "Go on to the rebuild", "proving": "Go on to the bench", "release": "Go on to the release"}
    step = on.get(head.stage.value)
    return Link(f"{head.address}/{step}", labels[step]) if step else None

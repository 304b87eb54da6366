"""What happens to each part: the rules propose, the technician settles, a manager may concede."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from service.metrology.errors import DomainError
from service.workshop.entries import PartSettled
from service.workshop.limit_sheet import LimitSheet, Part
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition, PartState, Phase, VerdictKind


class DispositionRefused(DomainError):
    """A settlement that the rules of the trade do not allow."""


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What the rules propose for one part, and why."""

    part: str
    disposition: Disposition | None
    """None while something on the part is not examined."""
    reasons: tuple[str, ...]
    open_characteristics: tuple[str, ...] = ()
    forbidden: frozenset[Disposition] = frozenset()
    """Not even a concession allows these."""
    forbidden_reason: str = ""


def propose(record: OverhaulRecord) -> Mapping[str, Proposal]:
    """The proposal for every part of the sheet, in the sheet's order."""
    own = {part.key: _own_proposal(record, part) for part in record.sheet.parts}
    for assembly in record.sheet.assemblies:
        cause = _assembly_cause(record, assembly.key, own)
        if cause is not None:
            for part in record.sheet.members(assembly.key):
                own[part.key] = _escalated(own[part.key], part, cause, assembly.name)
    return own


def _own_proposal(record: OverhaulRecord, part: Part) -> Proposal:
    """What the part's own examination asks for, its assembly not yet considered."""
    if part.seal:
        return Proposal(
            part=part.key,
            disposition=Disposition.REPLACE,
            reasons=("Every seal is renewed at each overhaul.",),
            forbidden=frozenset({Disposition.KEEP, Disposition.REWORK}),
            forbidden_reason="Every seal is renewed at each overhaul.",
        )
    if _came_out(record, part.key) in (PartState.MISSING, PartState.BROKEN):
        state = _came_out(record, part.key)
        reason = f"{part.name} was {state.value if state else ''} when the injector was stripped."
        proposal = _needed(part, Disposition.REPLACE, (reason,), replace_only=False)
        return replace(
            proposal,
            forbidden=frozenset({Disposition.KEEP, Disposition.REWORK}),
            forbidden_reason=reason,
        )
    worst, reasons, missing, replace_only = Disposition.KEEP, [], [], False
    for characteristic in record.sheet.characteristics_of(part.key):
        finding = record.finding(characteristic.key)
        if finding is None or finding.outcome.verdict is VerdictKind.NOT_MEASURED:
            missing.append(characteristic.key)
            continue
        # What rework left counts as well: ground past the limit, the part is replaced.
        for again, judged in ("", finding), (" after rework", record.finding(characteristic.key, Phase.AFTER_REWORK)):
            if judged is None or judged.outcome.verdict is VerdictKind.CONFORMS:
                continue
            reasons.append(f"{characteristic.title}{again}: {judged.outcome.sentence}")
            replace_only = replace_only or characteristic.replace_only
            asked = judged.outcome.consequence or characteristic.consequence
            worst = max(worst, asked, key=lambda choice: choice.severity)
    if missing:
        return Proposal(part=part.key, disposition=None, reasons=tuple(reasons), open_characteristics=tuple(missing))
    if worst is Disposition.KEEP:
        return Proposal(part=part.key, disposition=worst, reasons=("Everything examined conforms.",))
    return _needed(part, worst, tuple(reasons), replace_only)


def _came_out(record: OverhaulRecord, part: str) -> PartState | None:
    """How the part came out, None before stripping."""
    if record.stripped is None:
        return None
    return next((found.state for found in record.stripped.parts if found.part == part), None)


def _needed(part: Part, wanted: Disposition, reasons: tuple[str, ...], replace_only: bool) -> Proposal:
    """The proposal, raised to the matched assembly where the part is not replaced singly."""
    if wanted is Disposition.REPLACE and part.assembly and not part.replaced_singly:
        wanted = Disposition.REPLACE_ASSEMBLY
        reasons = (*reasons, "Parts of a matched assembly are not replaced singly.")
    forbidden = frozenset({Disposition.REWORK}) if replace_only else frozenset()
    return Proposal(
        part=part.key,
        disposition=wanted,
        reasons=reasons,
        forbidden=forbidden,
        forbidden_reason="This seat or surface is replaced, never lapped or ground." if replace_only else "",
    )


def _assembly_cause(record: OverhaulRecord, assembly: str, own: Mapping[str, Proposal]) -> Part | None:
    """The first member that makes the whole assembly go, None where none does."""
    for part in record.sheet.members(assembly):
        settled = record.settled.get(part.key)
        if own[part.key].disposition is Disposition.REPLACE_ASSEMBLY:
            in_force = settlement_in_force(record, own[part.key])
            conceded = record.concession(part.key)
            if in_force is None or not in_force.milder or conceded is None or not conceded.granted:
                return part
        elif (
            settled is not None
            and settled[1].chosen is Disposition.REPLACE_ASSEMBLY
            and settled[1].proposed.severity < settled[1].chosen.severity
        ):
            return part
    return None


def _escalated(own: Proposal, part: Part, cause: Part, assembly: str) -> Proposal:
    """The member's proposal once its assembly goes."""
    if part.key == cause.key or own.disposition in (Disposition.REPLACE_ASSEMBLY, Disposition.CONDEMN):
        return own
    if part.replaced_singly:
        return own
    return replace(
        own,
        disposition=Disposition.REPLACE_ASSEMBLY,
        reasons=(
            *own.reasons,
            f"{cause.name} takes the whole {assembly.lower()} with it: matched parts go together.",
        ),
        open_characteristics=(),
        forbidden=own.forbidden | {Disposition.KEEP, Disposition.REWORK, Disposition.REPLACE},
        forbidden_reason=f"Matched parts go together; {cause.name} takes the {assembly.lower()} with it.",
    )


def check_settlement(sheet: LimitSheet, proposal: Proposal, chosen: Disposition, reason: str) -> PartSettled:
    """The settlement to record, or a refusal that names the remedy.

    Raises DispositionRefused: part not fully examined; choice forbidden outright; reason missing.
    """
    part = sheet.part_by_key[proposal.part]
    if proposal.disposition is None:
        titles = ", ".join(sheet.characteristic_by_key[key].title for key in proposal.open_characteristics)
        raise DispositionRefused("not-examined", f"Examine first: {titles}.", "chosen")
    if chosen in proposal.forbidden:
        raise DispositionRefused(
            "forbidden", f"{chosen.label} is not possible here. {proposal.forbidden_reason}", "chosen"
        )
    if chosen not in possible_choices(part):
        raise DispositionRefused("not-a-choice", _not_a_choice(part, chosen), "chosen")
    if chosen is not proposal.disposition and not reason.strip():
        raise DispositionRefused(
            "reason-missing", "Say why you choose differently from what the rules propose.", "reason"
        )
    return PartSettled(part=part.key, proposed=proposal.disposition, chosen=chosen, reason=reason.strip())


def possible_choices(part: Part) -> tuple[Disposition, ...]:
    """The dispositions that make sense for the part, mildest first."""
    if part.assembly is None:
        return tuple(choice for choice in Disposition if choice is not Disposition.REPLACE_ASSEMBLY)
    if part.replaced_singly:
        return tuple(Disposition)
    return tuple(choice for choice in Disposition if choice is not Disposition.REPLACE)


def _not_a_choice(part: Part, chosen: Disposition) -> str:
    if chosen is Disposition.REPLACE:
        return f"{part.name} belongs to a matched assembly and is not replaced singly: replace the assembly."
    return f"{part.name} belongs to no matched assembly: replace the part itself."


def settlement_in_force(record: OverhaulRecord, proposal: Proposal) -> PartSettled | None:
    """The settlement that answers the proposal as it stands; a changed proposal must be settled again.

    A milder choice lapses with every later finding against the part: nobody conceded what nobody had seen.
    """
    settled = record.settled.get(proposal.part)
    if settled is None or settled[1].proposed is not proposal.disposition:
        return None
    if settled[1].milder and record.last_adverse_seq(proposal.part) > settled[0]:
        return None
    return settled[1]

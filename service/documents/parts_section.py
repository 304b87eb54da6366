"""The parts on a certificate: what came out, what was decided and why, what was fitted, what was conceded."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.documents.printed_values import Block, cell, day, notice, row, table, text
from service.workshop.disposition import Proposal, propose, settlement_in_force
from service.workshop.entries import PartFitted, PartReworked, PartSettled
from service.workshop.limit_sheet import Part
from service.workshop.narration import item_name
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition

COLUMNS = ("Part", "Came out", "Disposition", "Reason", "New part: batch or serial")
_DONE = {
    Disposition.KEEP: "Kept",
    Disposition.REWORK: "Reworked",
    Disposition.REPLACE: "Replaced",
    Disposition.REPLACE_ASSEMBLY: "Replaced with its matched assembly",
    Disposition.CONDEMN: "Condemned",
}


def parts_table(record: OverhaulRecord) -> Block:
    """Every part of the sheet with its disposition; marks for seals, matched and NOx-relevant parts."""
    proposals = propose(record)
    return table("parts", COLUMNS, [_part_row(record, part, proposals) for part in record.sheet.parts])


def _part_row(record: OverhaulRecord, part: Part, proposals: Mapping[str, Proposal]) -> dict[str, Any]:
    proposal = proposals[part.key]
    settled = settlement_in_force(record, proposal)
    if settled is None:
        done, strong = "Not settled", True
    else:
        done = "Renewed" if part.seal and settled.chosen is Disposition.REPLACE else _DONE[settled.chosen]
        strong = settled.chosen is not settled.proposed
    return row(
        cell(part.name, ", ".join(_marks(record, part))),
        cell(_came_out(record, part)),
        cell(done, strong=strong),
        cell(_reason(record, part, proposal, settled)),
        cell(_new_part(record, part, settled)),
    )


def _marks(record: OverhaulRecord, part: Part) -> Iterator[str]:
    if part.seal:
        yield "seal"
    if part.nox_relevant:
        yield "NOx-relevant"
    if part.assembly is not None:
        yield f"matched: {record.sheet.assembly_by_key[part.assembly].name}"


def _came_out(record: OverhaulRecord, part: Part) -> str:
    found = record.stripped.parts if record.stripped is not None else ()
    return next((one.state.label for one in found if one.part == part.key), "–")


def _reason(record: OverhaulRecord, part: Part, proposal: Proposal, settled: PartSettled | None) -> str:
    if settled is None or part.seal:
        return " ".join(proposal.reasons)
    lines = [] if settled.proposed is Disposition.KEEP else list(proposal.reasons)
    if settled.chosen is not settled.proposed:
        lines.append(f"The rules propose: {settled.proposed.label.lower()}. Decided otherwise: {settled.reason}")
    answer = record.office_answer(part.key, settled.chosen)
    if answer is not None and answer.accepted:
        lines.append(f"Accepted by the ship's office.{' ' + answer.note if answer.note else ''}")
    return " ".join(lines) or "Everything examined conforms."


def _new_part(record: OverhaulRecord, part: Part, settled: PartSettled | None) -> str:
    if settled is None:
        return "–"
    key = part.assembly if settled.chosen is Disposition.REPLACE_ASSEMBLY and part.assembly else part.key
    fitted = record.fitted.get(key)
    return "–" if fitted is None else fitted[1].batch


def concession_blocks(record: OverhaulRecord) -> list[Block]:
    """Each concession in force with who decided it, when and why, in a frame; one sentence where there is none."""
    blocks = [_concession(record, part) for part in record.sheet.parts if record.concession(part.key) is not None]
    return blocks or [text("None: no part was settled more mildly than the rules propose.")]


def concessions_granted(record: OverhaulRecord) -> int:
    """How many concessions stand behind this release."""
    decided = (record.concession(part.key) for part in record.sheet.parts)
    return sum(1 for one in decided if one is not None and one.granted)


def _concession(record: OverhaulRecord, part: Part) -> Block:
    settled, decided = record.settled[part.key][1], record.concession(part.key)
    entry = next(entry for entry in reversed(record.entries) if entry.content == decided)
    word = "granted" if decided is not None and decided.granted else "refused"
    why = decided.reason if decided is not None else ""
    return notice(
        f"Concession {word}: {part.name}",
        f"Decided: {settled.chosen.label.lower()}, where the rules propose: {settled.proposed.label.lower()}. "
        f"Asked for because: {settled.reason} "
        f"{word.capitalize()} by {entry.person} on {day(entry.at)}: {why}",
    )


def rework_block(record: OverhaulRecord) -> Block:
    """What was ground, milled or cleaned, by whom; sizes before and after stand under the findings."""
    rows = [
        row(
            cell(record.sheet.part_by_key[entry.content.part].name),
            cell(entry.content.method),
            cell(entry.person, day(entry.at)),
        )
        for entry in record.entries
        if isinstance(entry.content, PartReworked)
    ]
    return table("rework", ("Part", "Work done", "By"), rows) if rows else text("No part was reworked.")


def fitted_block(record: OverhaulRecord) -> Block:
    """New parts, matched assemblies and seals, with batch or serial and who fitted them."""
    rows = [
        row(
            cell(item_name(record.sheet, entry.content.item)),
            cell(entry.content.batch),
            cell(entry.person, day(entry.at)),
        )
        for entry in record.entries
        if isinstance(entry.content, PartFitted)
    ]
    return table("fitted", ("Fitted new", "Batch or serial", "By"), rows) if rows else text("No new part was fitted.")

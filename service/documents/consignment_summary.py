"""One sheet for a whole consignment: each injector with its outcome, what was done, and its certificate."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from service.documents.legible_text import legible
from service.documents.letterhead import Letterhead
from service.documents.printed_values import day, instant
from service.documents.typesetting import set_pdf

_TEMPLATE = "consignment_summary"
_DEMO = "DEMONSTRATION with invented data. Not a report on any real injector."
_SCOPE = (
    "This summary tells where each injector of the consignment stood on the day it was made. What was found, measured "
    "and tested stands on the certificate of each; only that releases an injector, and only the page under its address "
    "says whether it is still in force. It does not replace class approval."
)


@dataclass(frozen=True, kw_only=True)
class SummaryLine:
    """One injector. `certificate` and `check_url` are "" where none is in force."""

    serial: str
    injector_type: str
    place: str
    outcome: str
    done: Sequence[str]
    certificate: str
    check_url: str


@dataclass(frozen=True, kw_only=True)
class ConsignmentSummary:
    """What the summary says."""

    workshop_name: str
    workshop_address: str
    operator: str
    vessel: str
    imo_number: str
    number: str
    reference: str
    received_at: datetime
    lines: Sequence[SummaryLine]
    made_at: datetime
    demo: bool


def consignment_summary_pdf(summary: ConsignmentSummary, letterhead: Letterhead) -> bytes:
    """The summary dated `made_at`, tagged. Raises ValueError: the time has no zone."""
    return set_pdf(_TEMPLATE, _content(summary, letterhead), summary.made_at)


def _content(summary: ConsignmentSummary, letterhead: Letterhead) -> dict[str, Any]:
    facts = [
        ("Consignment", summary.number),
        ("Customer", summary.operator),
        ("Vessel", f"{summary.vessel}, IMO {summary.imo_number}"),
        ("Ship's reference", summary.reference or "none given"),
        ("Received", day(summary.received_at)),
        ("Made", instant(summary.made_at)),
    ]
    return {
        "title": f"Summary of consignment {legible(summary.number)}",
        "workshop_name": legible(summary.workshop_name),
        "workshop_address": legible(summary.workshop_address),
        "facts": [[label, legible(value)] for label, value in facts],
        "columns": ["Injector", "Outcome", "Done", "Certificate"],
        "rows": [_row(line) for line in summary.lines],
        "counts": _counts(summary.lines),
        "scope": _SCOPE,
        "end": f"End of summary {legible(summary.number)}",
        "demo": _DEMO if summary.demo else "",
        "paper": letterhead.paper.value,
        "logo_svg": letterhead.logo_svg,
    }


def _row(line: SummaryLine) -> list[list[str]]:
    return [
        [legible(line.serial), legible(f"{line.injector_type}, {line.place}")],
        [legible(line.outcome), ""],
        [legible("; ".join(line.done)) or "nothing renewed or reworked", ""],
        [legible(line.certificate) or "none in force", legible(line.check_url)],
    ]


def _counts(lines: Sequence[SummaryLine]) -> str:
    certified = sum(1 for line in lines if line.certificate)
    return f"{len(lines)} injectors, {certified} of them with a certificate in force."

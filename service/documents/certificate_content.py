"""What stands on a release certificate, as plain strings in their order; how it looks is the template's matter.

The list of contents follows ISO/IEC 17025:2017, 7.8.2.1 (title, laboratory, customer, item, dates, method, results
with units, the relation to the item, who authorises, page numbers and end mark) and 7.8.6 (decision rule).
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from service.documents import certificate_words as words
from service.documents.bench_section import as_found_blocks, disc_block, proving_blocks, torque_block
from service.documents.certificate_header import CertificateHeader
from service.documents.findings_section import findings_table
from service.documents.instruments_section import instruments_block
from service.documents.legible_text import legible
from service.documents.nozzle_section import nozzle_blocks
from service.documents.parts_section import (
    concession_blocks,
    concessions_granted,
    fitted_block,
    parts_table,
    rework_block,
)
from service.documents.printed_values import Block, day, facts, instant, notice, period, section, statements, text
from service.documents.section_figures import section_figures
from service.workshop.entries import Released
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import bench_runs, is_proved
from service.workshop.vocabulary import Phase, RunPurpose

if TYPE_CHECKING:
    from service.documents.trace_figures import RunTrace


def certificate_content(
    header: CertificateHeader, record: OverhaulRecord, traces: "Sequence[RunTrace]" = ()
) -> dict[str, Any]:
    """Every word of the certificate. All strings are legible in the document's fonts and are data, never markup."""
    content = {
        "title": words.TITLE,
        "subtitle": words.SUBTITLE,
        "number": header.number,
        "serial": header.serial,
        "issued": day(header.issued_at),
        "workshop_name": header.workshop_name,
        "workshop_address": header.workshop_address,
        "demo": words.DEMO if header.demo else "",
        "check_url": header.check_url,
        "qr_caption": words.QR_CAPTION,
        "qr_alternative": words.QR_ALTERNATIVE.format(url=header.check_url),
        "summary": [*_instead(header), *_summary(record)],
        "sections": _sections(header, record, traces),
        "signed_label": "Released and signed by",
        "signed_by": header.signed_by,
        "signed_at": instant(header.issued_at),
        "end": f"{words.END} {header.number}",
    }
    legible_content: dict[str, Any] = _legible(content)
    return legible_content


def _legible(value: Any) -> Any:
    match value:
        case str():
            return legible(value)
        case dict():
            return {key: _legible(one) for key, one in value.items()}
        case list() | tuple():
            return [_legible(one) for one in value]
        case _:
            return value


def _instead(header: CertificateHeader) -> list[str]:
    """A new report names the one that it replaces (ISO/IEC 17025:2017, 7.8.8.3)."""
    if not header.replaces:
        return []
    why = f" Reason: {header.replaces_because}" if header.replaces_because else ""
    return [words.INSTEAD.format(number=header.replaces) + why]


def _summary(record: OverhaulRecord) -> list[str]:
    """The outcome in three sentences, for who reads no further than the first page."""
    proved = "passed every step" if is_proved(record) else "has NOT passed every step"
    total = len(record.sheet.characteristics)
    found = sum(1 for item in record.sheet.characteristics if record.finding(item.key) is not None)
    again = sum(1 for item in record.sheet.characteristics if record.finding(item.key, Phase.AFTER_REWORK))
    granted = concessions_granted(record)
    asked = any(record.concession(part.key) for part in record.sheet.parts)
    none = "No concession was granted." if asked else "No concession was needed."
    conceded = {0: none, 1: "One concession was granted and is printed below."}
    return [
        f"On the test rig the injector {proved} of the test plan after the last change to it.",
        f"{found} of {total} characteristics were examined as found, {again} again after rework.",
        conceded.get(granted, f"{granted} concessions were granted and are printed below."),
    ]


def _sections(header: CertificateHeader, record: OverhaulRecord, traces: "Sequence[RunTrace]") -> list[dict[str, Any]]:
    return [
        section("Injector and customer", _unit_facts(header), _date_facts(header, record), _wide_facts(header, record)),
        section("Method and decision rule", *_method(header, record)),
        section("Findings", findings_table(record), *section_figures(record)),
        *([section("Spray holes", *nozzle)] if (nozzle := list(nozzle_blocks(record))) else []),
        section("Parts", parts_table(record)),
        section("Concessions", *concession_blocks(record)),
        section("Rework", rework_block(record)),
        section("New parts and seals", fitted_block(record)),
        section("Tightening torques", torque_block(record)),
        section("Test as found", *as_found_blocks(record), *_drawn(record, traces, RunPurpose.AS_FOUND)),
        section("Adjusting discs", disc_block(record)),
        section("Proving on the test rig", *proving_blocks(record), *_drawn(record, traces, RunPurpose.PROVING)),
        section("Instruments used", instruments_block(record)),
        section("Statements", statements(words.STATEMENTS)),
        section("Cautions", statements(words.CAUTIONS)),
    ]


def _drawn(record: OverhaulRecord, traces: "Sequence[RunTrace]", purpose: RunPurpose) -> list[Block]:
    """The traces of the runs that the section tells step by step: each as found, the last of proving."""
    if not traces:
        return []
    from service.documents.trace_figures import trace_figures  # NumPy comes with it, and only with a trace

    runs = bench_runs(record, purpose)
    return trace_figures(traces, [run.number for run in (runs if purpose is RunPurpose.AS_FOUND else runs[-1:])])


def _unit_facts(header: CertificateHeader) -> Block:
    hours = "not known" if header.running_hours is None else f"{header.running_hours:,} h".replace(",", " ")
    place = ", ".join(filter(None, (f"cylinder {header.cylinder}", header.position)))
    return facts(
        [
            ("Serial or marking", header.serial),
            ("Customer", header.operator_name),
            ("Type", " – ".join(filter(None, (header.injector_type, header.injector_type_name)))),
            ("Vessel", f"{header.vessel_name}, IMO {header.imo_number}"),
            ("Engine", ", ".join(filter(None, (header.engine, place)))),
            ("Fuel", header.fuel),
            ("Running hours", f"{hours} since the last overhaul"),
            ("Sent because", header.reason),
            ("Overhaul", header.overhaul_number),
            ("Consignment", header.consignment_number),
            ("Packing on receipt", header.packing),
        ]
    )


def _date_facts(header: CertificateHeader, record: OverhaulRecord) -> Block:
    work = [entry for entry in record.entries if not isinstance(entry.content, Released)]
    span = period(work[0].at, work[-1].at) if work else "nothing recorded"
    return facts(
        [
            ("Received", instant(header.received_at)),
            ("Issued", instant(header.issued_at)),
            ("Work performed", span),
            ("Signed by", header.signed_by),
        ]
    )


def _wide_facts(header: CertificateHeader, record: OverhaulRecord) -> Block:
    people = dict.fromkeys(entry.person for entry in record.entries if not isinstance(entry.content, Released))
    return facts(
        [
            ("Work recorded by", ", ".join(people)),
            ("Remark on receipt", header.remark),
            ("Journal head", header.journal_head),
        ],
        wide=True,
    )


def _method(header: CertificateHeader, record: OverhaulRecord) -> list[Block]:
    sheet, plan = record.sheet, record.sheet.test_plan
    blocks = [
        facts(
            [
                ("Limit sheet", sheet.title),
                ("Sheet revision", str(header.sheet_revision)),
                ("Document", sheet.document_reference),
                ("Document revision", sheet.document_revision),
                ("Decision rule", header.decision_rule),
                (
                    "Opening pressure",
                    f"set {plan.opening_set_bar} bar, band {plan.opening_lower_bar} to {plan.opening_upper_bar} bar",
                ),
            ]
        )
    ]
    if sheet.notice.strip():
        blocks.append(notice("Notice of the limit sheet", sheet.notice))
    blocks.append(text(words.WITHOUT_GUARD_BAND))
    return blocks

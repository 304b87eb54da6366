"""The key facts of a certificate for machines: attached to the PDF as certificate.json."""

from dataclasses import asdict
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from service.documents.budget_facts import budget_facts
from service.documents.certificate_header import CertificateHeader
from service.documents.nozzle_section import nozzle_attached
from service.documents.recut_words import recut_facts
from service.documents.section_figures import section_facts
from service.metrology.typed_numbers import plain
from service.workshop.entries import Examined
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import RoundnessMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import is_proved, proving_run


def attached_facts(header: CertificateHeader, record: OverhaulRecord) -> dict[str, Any]:
    """Header, every examination, the proving run: text as entered, times in UTC (ISO 8601)."""
    run = proving_run(record)
    return {
        "certificate": {key: _utc(value) for key, value in asdict(header).items()},
        "limit_sheet": {
            "title": record.sheet.title,
            "document_reference": record.sheet.document_reference,
            "document_revision": record.sheet.document_revision,
            "notice": record.sheet.notice,
        },
        "findings": [
            {
                "characteristic": item.characteristic,
                "title": record.sheet.characteristic_by_key[item.characteristic].title,
                "phase": item.phase.value,
                "value": item.outcome.value,
                "limit": item.outcome.limit,
                "verdict": item.outcome.verdict.value,
                "rule": item.outcome.rule,
                "uncertainty": budget_facts(item.outcome.uncertainty),
                **nozzle_attached(item),
                "probability_of_conformity": _number(item.outcome.probability_of_conformity),
                **_section(record, item),
            }
            for _, item in record.examined.values()
        ],
        "recuts": recut_facts(record),
        "proved": is_proved(record),
        "proving": []
        if run is None
        else [
            {
                "step": key,
                "value": done.outcome.value,
                "limit": done.outcome.limit,
                "passed": done.outcome.passed,
                "uncertainty": budget_facts(done.outcome.uncertainty),
            }
            for key, done in run.results.items()
        ],
    }


def _section(record: OverhaulRecord, item: Examined) -> dict[str, Any]:
    """The measured section behind a roundness finding; nothing for another one."""
    asked = record.sheet.characteristic_by_key[item.characteristic]
    if isinstance(asked, RoundnessCharacteristic) and isinstance(item.measurement, RoundnessMeasurement):
        return {"section": section_facts(asked, item.measurement)}
    return {}


def _number(value: Decimal | None) -> str | None:
    return None if value is None else plain(value)


def _utc(value: Any) -> Any:
    return value.astimezone(UTC).isoformat() if isinstance(value, datetime) else value

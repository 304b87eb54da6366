"""The whole record of an overhaul for machines, attached to its certificate, and the JSON Schema that it follows.

`entries` holds everything that was recorded, in order, as it is stored: nothing of the certificate has to be read off
its pages. The other members tell the same by finding, as the pages print it.
"""

from collections.abc import Sequence
from dataclasses import fields
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, TypeAdapter

from service.documents.attached_facts import attached_facts
from service.documents.certificate_header import CertificateHeader
from service.workshop.entries import Content
from service.workshop.overhaul_record import OverhaulRecord

if TYPE_CHECKING:
    from service.documents.trace_figures import RunTrace

FORMAT = "spindlebook certificate 1"
_PRINTED: dict[str, dict[str, Any]] = {
    "limit_sheet": {"type": "object", "description": "The limit sheet that was pinned at receipt."},
    "findings": {
        "type": "array",
        "description": "Each characteristic with value, limit, verdict, rule and uncertainty as printed.",
        "items": {
            "type": "object",
            "required": ["characteristic", "title", "phase", "value", "limit", "verdict", "rule"],
        },
    },
    "recuts": {"description": "Size before and after each recut, and the metal left."},
    "proved": {"type": "boolean", "description": "Whether the last undisturbed run passed every step."},
    "proving": {
        "type": "array",
        "description": "The steps of that run.",
        "items": {"type": "object", "required": ["step", "value", "limit", "passed"]},
    },
}


@cache
def _entries() -> TypeAdapter[Any]:
    return TypeAdapter(Annotated[Content, Field(discriminator="kind")])


def attached_record(
    header: CertificateHeader, record: OverhaulRecord, traces: "Sequence[RunTrace]" = ()
) -> dict[str, Any]:
    """The record as plain JSON values: times in UTC (ISO 8601), decimal numbers as text, so that none is rounded.

    What a trace shows is worked out from its bytes, whose digest stands beside it: those are plain numbers.
    """
    return {
        "format": FORMAT,
        **attached_facts(header, record),
        "traces": _traces(traces),
        "entries": [
            {
                "seq": entry.seq,
                "at": entry.at.isoformat(),
                "person": entry.person,
                "content": _entries().dump_python(entry.content, mode="json"),
            }
            for entry in record.entries
        ],
    }


def _traces(traces: "Sequence[RunTrace]") -> list[dict[str, Any]]:
    if not traces:  # NumPy comes with the first one
        return []
    from service.documents.trace_facts import trace_facts

    return [trace_facts(one) for one in traces]


def certificate_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the attachment, as published in shared/schemas/."""
    from service.documents.trace_facts import trace_facts_schema

    content = _entries().json_schema(mode="serialization", ref_template="#/$defs/{model}")
    trace = trace_facts_schema("#/$defs/{model}")
    definitions = {**content.pop("$defs"), **trace.pop("$defs")}
    names = sorted(field.name for field in fields(CertificateHeader))
    header = {name: {"type": ["string", "integer", "boolean", "null"]} for name in names}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Spindlebook release certificate",
        "type": "object",
        "required": ["format", "certificate", *_PRINTED, "entries"],
        "properties": {
            "format": {"const": FORMAT},
            "certificate": {"type": "object", "properties": header, "required": names},
            **_PRINTED,
            "traces": {
                "type": "array",
                "description": "The confirmed pressure traces of the runs that are told; absent in older certificates.",
                "items": trace,
            },
            "entries": {
                "type": "array",
                "items": {
                    "type": "object",
                    "required": ["seq", "at", "person", "content"],
                    "properties": {
                        "seq": {"type": "integer", "minimum": 1},
                        "at": {"type": "string", "format": "date-time"},
                        "person": {"type": "string"},
                        "content": content,
                    },
                },
            },
        },
        "$defs": definitions,
    }

"""The record attached to a certificate: whole, and by the published schema, as a validator of others reads it."""

import json

import jsonschema
import pytest

from service.documents.certificate import certificate_pdf
from service.documents.certificate_record import attached_record, certificate_schema
from service.paths import SHARED
from service.workshop.overhaul_record import OverhaulRecord
from tests.documents.invented_record import HEADER, sixty_characteristics, worn_injector
from tests.documents.printed import reader_of

PUBLISHED = SHARED / "schemas" / "certificate.schema.json"


def test_the_published_schema_is_the_one_in_force_and_a_schema_itself() -> None:
    published = json.loads(PUBLISHED.read_text(encoding="utf-8"))
    assert published == certificate_schema()
    jsonschema.Draft202012Validator.check_schema(published)


@pytest.mark.parametrize("record", [worn_injector(), sixty_characteristics()])
def test_the_attached_record_follows_the_schema_and_leaves_no_entry_out(record: OverhaulRecord) -> None:
    attached = reader_of(certificate_pdf(HEADER, record)).attachments["certificate.json"][0]
    told = json.loads(attached)
    jsonschema.validate(told, json.loads(PUBLISHED.read_text(encoding="utf-8")), jsonschema.Draft202012Validator)
    assert [(entry["seq"], entry["person"]) for entry in told["entries"]] == [
        (entry.seq, entry.person) for entry in record.entries
    ]


def test_a_record_with_an_entry_of_no_known_kind_breaks_the_schema() -> None:
    told = attached_record(HEADER, worn_injector())
    told["entries"][0]["content"]["kind"] = "polished"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(json.loads(json.dumps(told)), certificate_schema(), jsonschema.Draft202012Validator)


def test_no_number_is_rounded_on_its_way_into_the_record() -> None:
    told = json.dumps(attached_record(HEADER, worn_injector()))
    readings = [
        item["content"]["measurement"] for item in json.loads(told)["entries"] if "measurement" in item["content"]
    ]
    sizes = [value for one in readings for value in one.get("readings", ())]
    assert sizes
    assert all(isinstance(value, str) for value in sizes)

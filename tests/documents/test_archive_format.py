"""The certificate as a file for the archive and for readers who do not see it.

Metadata keys: ISO 19005-3:2012 6.6.4 (pdfaid), ISO 14289-1:2014 clause 5 (pdfuaid), ISO 32000-1 14.7 and 14.8
(structure tree, MarkInfo); from memory. No validator is at hand: these tests show that the file declares itself
and holds what the declaration needs, Typst refuses the rest; they do not prove validity.
"""

import json
import subprocess
import sys
from dataclasses import replace
from datetime import timedelta

from service.documents.certificate import certificate_pdf
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of

RECORD = worn_injector()
PDF = certificate_pdf(HEADER, RECORD)


def test_the_same_record_gives_the_same_bytes() -> None:
    assert certificate_pdf(HEADER, worn_injector()) == PDF


def test_another_date_of_issue_gives_other_bytes() -> None:
    assert certificate_pdf(replace(HEADER, issued_at=HEADER.issued_at + timedelta(seconds=1)), RECORD) != PDF


def test_the_file_declares_pdf_a_3a_and_pdf_ua_1() -> None:
    metadata = reader_of(PDF).trailer["/Root"]["/Metadata"].get_data().decode("utf-8")
    assert "<pdfaid:part>3</pdfaid:part>" in metadata
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in metadata
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata


def test_the_file_is_tagged_and_names_its_title_and_language() -> None:
    root = reader_of(PDF).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value is True
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    info = reader_of(PDF).metadata
    assert info is not None
    assert info.title == "Release certificate RC-2026-0042"
    assert info.creation_date == HEADER.issued_at


def test_tables_have_header_cells_and_the_qr_code_has_words() -> None:
    tags, alternatives = _structure(reader_of(PDF).trailer["/Root"]["/StructTreeRoot"]["/K"])
    for tag in ("/Table", "/TH", "/TD", "/H1", "/Figure"):
        assert tag in tags
    assert [text for text in alternatives if HEADER.check_url in text and "QR code" in text]


def test_every_font_is_embedded_and_comes_with_the_package() -> None:
    for page in reader_of(PDF).pages:
        for font in page["/Resources"]["/Font"].values():
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            assert descendant["/FontDescriptor"].keys() & {"/FontFile2", "/FontFile3"}
            assert "Libertinus" in descendant["/BaseFont"] or "DejaVu" in descendant["/BaseFont"]


def test_the_key_facts_are_attached_for_machines_as_they_were_entered() -> None:
    reader = reader_of(certificate_pdf(replace(HEADER, vessel_name="日本丸"), RECORD))
    (attached,) = reader.attachments["certificate.json"]
    facts = json.loads(attached)
    assert facts["certificate"]["serial"] == "SN-48213-B"
    assert facts["certificate"]["vessel_name"] == "日本丸"
    assert facts["certificate"]["issued_at"] == "2026-03-09T14:05:00+00:00"
    assert facts["proved"] is True
    verdicts = {(item["characteristic"], item["phase"]): item["verdict"] for item in facts["findings"]}
    assert verdicts["holes", "found"] == "does-not-conform"
    assert verdicts["face", "after-rework"] == "conforms"
    assert len(facts["proving"]) == 7


def test_the_whole_budget_of_a_value_is_attached() -> None:
    (attached,) = reader_of(PDF).attachments["certificate.json"]
    facts = json.loads(attached)
    budgets = {item["characteristic"]: item["uncertainty"] for item in facts["findings"]}
    assert budgets["holes"] is None, "pins are tried, not measured"
    size = next(found for found in budgets.values() if found is not None)
    assert size["contributions"][0]["name"] == "Calibration"
    assert float(size["expanded"]) >= float(size["contributions"][0]["stated"])
    opening = next(step["uncertainty"] for step in facts["proving"] if step["uncertainty"] is not None)
    assert [line["type"] for line in opening["contributions"]] == ["B", "A"], "the gauge states no resolution"


def test_the_typesetter_loads_on_first_use_so_that_the_server_starts_fast() -> None:
    asked = "import sys, service.documents.certificate, service.documents.tray_label; "
    asked += "print([name for name in ('typst', 'segno') if name in sys.modules])"
    answer = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "[]"


def _structure(node: object) -> tuple[set[str], list[str]]:
    """Names of the structure elements and their alternative texts, in the whole tree."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        branches = [_structure(one) for one in node]
    elif isinstance(node, dict):
        branches = [_structure(node["/K"])] if "/K" in node else []
        branches.append(({str(node.get("/S"))}, [str(node["/Alt"])] if "/Alt" in node else []))
    else:
        return set(), []
    return set().union(*(tags for tags, _ in branches)), [text for _, texts in branches for text in texts]

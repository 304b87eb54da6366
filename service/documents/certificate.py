"""The release certificate as a PDF: PDF/A-3a and PDF/UA-1, the same bytes for the same record."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from service.documents.certificate_content import certificate_content
from service.documents.certificate_header import CertificateHeader
from service.documents.certificate_record import attached_record
from service.documents.letterhead import Letterhead
from service.documents.qr import qr_svg
from service.documents.typesetting import set_pdf, set_png
from service.workshop.overhaul_record import OverhaulRecord

if TYPE_CHECKING:
    from service.documents.trace_figures import RunTrace

_TEMPLATE = "certificate"
_PLAIN = Letterhead()


def certificate_pdf(
    header: CertificateHeader,
    record: OverhaulRecord,
    letterhead: Letterhead = _PLAIN,
    traces: "Sequence[RunTrace]" = (),
) -> bytes:
    """The certificate dated `header.issued_at`, tagged, with its whole record attached as JSON (PDF/A-3).

    The pressure `traces` of the runs it reports stand in it as vector graphics.
    Raises ValueError: a time in the header has no zone.
    """
    data = _data(header, record, letterhead, traces)
    return set_pdf(_TEMPLATE, data, header.issued_at, attached_record(header, record, traces))


def certificate_pictures(
    header: CertificateHeader, record: OverhaulRecord, ppi: float = 144, letterhead: Letterhead = _PLAIN
) -> list[bytes]:
    """The same pages as PNG, to look at before signing."""
    return set_png(_TEMPLATE, _data(header, record, letterhead), ppi)


def _data(
    header: CertificateHeader, record: OverhaulRecord, letterhead: Letterhead, traces: "Sequence[RunTrace]" = ()
) -> dict[str, Any]:
    return certificate_content(header, record, traces) | {
        "qr_svg": qr_svg(header.check_url),
        "paper": letterhead.paper.value,
        "logo_svg": letterhead.logo_svg,
    }
